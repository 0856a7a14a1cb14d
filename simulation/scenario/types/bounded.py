"""Reads a text that may be anything: of files only, and no more than a limit."""

from __future__ import annotations

import errno
import stat
from pathlib import Path

#: Bytes of the largest scenario, and of the largest data file: an hourly record of a hundred years has about 60 MB.
SCENARIO, DATA = 4 * 2**20, 64 * 2**20


def read_text(path: Path, most: int) -> str:
    """Return the text of a file, its line ends as they were written, without the mark that some editors put before it.

    Raises
    ------
    OSError
        If there is none, it cannot be read, it is no file (a device or a pipe has no end), or it is larger than `most` bytes.
    UnicodeDecodeError
        If it is not in UTF-8.
    """
    if not stat.S_ISREG(path.stat().st_mode):
        raise OSError(errno.EINVAL, "is a folder, a pipe or a device, and no file")
    with path.open("rb") as file:
        content = file.read(most + 1)
    if len(content) > most:
        raise OSError(errno.EFBIG, f"is larger than {most // 2**20} MB")
    return content.decode("utf-8-sig")
