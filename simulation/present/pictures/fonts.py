"""Finds fonts for names in any script: which installed font has the letters that the usual one lacks?

Pictures and paper are set in one font. A name may hold letters that it lacks; then the installed font that has most of them helps
out. Letters that no font has are drawn as boxes, and page and paper say so.
"""

from __future__ import annotations

import logging
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, cast
from unicodedata import bidirectional, name

if TYPE_CHECKING:
    from matplotlib.figure import Figure

#: The font of all pictures, and the one that has a box for every letter; both come with matplotlib.
USUAL, BOXES = "DejaVu Sans", "Last Resort High-Efficiency"
_BLANKS = frozenset("\n\r\t")
#: How the names of letters begin in scripts, written from the left, whose letters join, change places or stack.
_SHAPED = (
    *("DEVANAGARI", "BENGALI", "GURMUKHI", "GUJARATI", "ORIYA", "TAMIL", "TELUGU", "KANNADA", "MALAYALAM", "SINHALA"),
    *("KHMER", "MYANMAR", "TIBETAN", "BALINESE"),
)
# The font of boxes has one weight, which matplotlib would warn of at every bold word.
logging.getLogger("matplotlib.font_manager").addFilter(lambda record: not ("weight" in record.msg and BOXES in str(record.args)))


@cache
def _letters(file: str) -> frozenset[int]:
    from matplotlib.ft2font import FT2Font

    return frozenset(FT2Font(file).get_charmap())


@cache
def _usual() -> frozenset[int]:
    from matplotlib.font_manager import FontProperties, findfont

    return _letters(findfont(FontProperties(family=[USUAL])))


def lacking(text: str) -> frozenset[str]:
    """Return the letters of a text that the usual font lacks."""
    return frozenset(letter for letter in set(text) - _BLANKS if ord(letter) > 0x7E and ord(letter) not in _usual())


class Helper(NamedTuple):
    """An installed font that has letters which the usual one lacks: its name and file, and which of these letters."""

    name: str
    file: Path
    letters: frozenset[str]


@cache
def find_font(letters: frozenset[str], truetype: bool = False) -> Helper | None:
    """Return the installed font that has most of some letters; None where none has any.

    Parameters
    ----------
    letters : frozenset of str
    truetype : bool
        Whether only files ending in .ttf count, which is what paper can be set in.
    """
    from matplotlib.font_manager import fontManager

    best: Helper | None = None
    for font in sorted(fontManager.ttflist, key=lambda font: (font.style != "normal", str(font.weight), font.name)):
        if font.name == BOXES or (truetype and not font.fname.lower().endswith(".ttf")):
            continue
        try:
            known = _letters(font.fname)
        except (OSError, RuntimeError):  # a file that cannot be read is no help
            continue
        has = frozenset(letter for letter in letters if ord(letter) in known)
        if has and (best is None or len(has) > len(best.letters)):
            best = Helper(font.name, Path(font.fname), has)
    return best


def without_font(text: str, truetype: bool = False) -> str:
    """Return the letters of a text that neither the usual font nor the one that helps out has, each once."""
    letters = lacking(text)
    helper = find_font(letters, truetype) if letters else None
    return "".join(sorted(letters - (frozenset() if helper is None else helper.letters)))


def boxes_note(text: str, where: str, truetype: bool = False) -> str:
    """Return the sentence on letters that are shown as boxes; empty where every letter has a font.

    Parameters
    ----------
    text : str
        All that is written.
    where : str
        What shows boxes.
    truetype : bool
        As for `find_font`.
    """
    boxes = without_font(text, truetype)
    if not boxes:
        return ""
    shown = f"{boxes[:20]}{' …' if len(boxes) > 20 else ''}"
    return (
        f"{where} boxes for letters that no font of this computer has: {shown} Install a font that has them, and write it again."
    )


def unshaped_note(text: str) -> str:
    """Return the sentence on words whose letters paper does not put together, as its library sets one letter after another from
    the left; empty where there are none.
    """
    from_right = any(bidirectional(letter) in ("R", "AL") for letter in text)
    joined = any(name(letter, "").startswith(_SHAPED) for letter in set(text))
    if not (from_right or joined):
        return ""
    scripts = ["written from right to left"] if from_right else []
    scripts += ["whose letters change beside each other, such as Devanagari, Bengali, Tamil or Khmer,"] if joined else []
    return (
        f"Words of a script {' or '.join(scripts)} stand in this paper's text from the left and with their letters apart. "
        "Pictures and the HTML show them right; print the HTML where it matters."
    )


def use_fonts(figure: Figure) -> None:
    """Let the words of a figure be drawn with the installed font that has the letters which the usual one lacks."""
    from matplotlib.text import Text

    for words in cast("list[Text]", figure.findobj(Text)):
        letters = lacking(words.get_text())
        helper = find_font(letters) if letters else None
        if helper is not None:
            words.set_fontfamily([USUAL, helper.name, BOXES])
