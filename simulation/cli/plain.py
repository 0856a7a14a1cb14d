"""Keeps what planners, files and errors say from speaking to the terminal itself: control characters are shown, not sent."""

from __future__ import annotations

import re

#: Control characters but tab and line feed, marks that turn the direction of text, and separators that break a line unseen.
_CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]")


def plain(text: str) -> str:
    r"""Return a text with its control characters as they would be written in a scenario, such as ``\u001b``."""
    return _CONTROL.sub(lambda found: f"\\u{ord(found[0]):04x}", text)
