"""What are the files of an answer called? Apart from what writes them, because it is asked before the first run begins."""

from __future__ import annotations

import re
from collections.abc import Sequence
from zlib import crc32

#: What a picture can be written as: sharp at any size, or in pixels.
FORMS = ("svg", "png")
#: Letters of a file's name before its suffix: far below what any file system takes, in any script.
_LONGEST = 48


def answer_files(stem: str, figures: tuple[str, ...] | None = None, sheets: tuple[str, ...] = ()) -> list[str]:
    """Return the names of the files that an answer may leave; its pictures bear its name unless they have others."""
    pictures = [f"{name}.{form}" for name in ((stem,) if figures is None else figures) for form in FORMS]
    return [f"{stem}.json", f"{stem}.txt", *sheets, *pictures]


def file_stem(command: str, names: Sequence[str] = ()) -> str:
    """Return the name of files on some things: letters, digits and strokes only, and short.

    Examples
    --------
    >>> file_stem("slip", ["supply", "crew.A"])
    'slip_supply_crew-A'
    """
    stem = "_".join([command, *(re.sub(r"[^\w-]+", "-", name).strip("-") for name in names)])
    if len(stem) <= _LONGEST:
        return stem
    return f"{stem[:_LONGEST]}_{crc32(' '.join(names).encode()):08x}"
