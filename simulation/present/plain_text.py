"""Keeps what planners, files and errors say from speaking to the terminal itself: control characters are shown, not sent."""

from __future__ import annotations

import re

#: Control characters but tab and line feed, marks that turn the direction of text, and separators that break a line unseen.
_CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]")

#: Letters of the longest word, and of the longest line, that are shown as they are: a path may be long, a sentence is not.
_WORD, _LINE = 250, 2_000


def shortened(line: str) -> str:
    """Return a line with the middle left out of words, and of itself, that nobody could read.

    Examples
    --------
    >>> len(shortened("a " + "x" * 5000))
    251
    """
    line = re.sub(rf"\S{{{_WORD},}}", lambda match: _without_middle(match[0], _WORD - 1), line)
    return line if len(line) <= _LINE else _without_middle(line, _LINE)


def _without_middle(text: str, most: int) -> str:
    half = (most - 1) // 2
    return f"{text[:half]}…{text[-half:]}"


def plain(text: str) -> str:
    r"""Return a text with its control characters as they would be written in a scenario, such as ``\u001b``."""
    return _CONTROL.sub(lambda match: f"\\u{ord(match[0]):04x}", text)


def plain_line(text: str) -> str:
    """Return a text that is to be one line as one: a line feed in a name that it quotes is shown as well."""
    return plain(text).replace("\n", "\\u000a").replace("\t", "\\u0009")
