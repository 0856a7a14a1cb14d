"""Reads a text that may be anything: of files only, and no more than a limit."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path

#: Bytes of the largest scenario, and of the largest data file: an hourly record of a hundred years has about 60 MB.
SCENARIO, DATA = 4 * 2**20, 64 * 2**20

_MADE_UP = "is made up by the system as it is read, and no file of a disk"
#: Not blocking: who waits for a pipe to be written to, or for a log of the system to go on, may wait for ever.
_READING = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)


def _of_a_disk(about: os.stat_result) -> None:
    if not stat.S_ISREG(about.st_mode):
        raise OSError(errno.EINVAL, "is a folder, a pipe or a device, and no file")
    for folder in ("/proc", "/sys"):  # such a file may go on for ever, and reading it may take from it
        if Path(folder).is_mount() and about.st_dev == Path(folder).stat().st_dev:
            raise OSError(errno.EINVAL, _MADE_UP)


def read_text(path: Path, most: int) -> str:
    """Return the text of a file, its line ends as they were written, without the mark that some editors put before it.

    Raises
    ------
    OSError
        If there is none, it cannot be read, it is no file of a disk (a device, a pipe or a log of the system
        has no end), or it is larger than `most` bytes.
    UnicodeDecodeError
        If it is not in UTF-8.
    """
    _of_a_disk(path.stat())
    with os.fdopen(os.open(path, _READING), "rb") as file:
        about = os.fstat(file.fileno())
        _of_a_disk(about)  # another may have taken its place
        content = file.read(most + 1) or b""
    if content and not about.st_size:
        raise OSError(errno.EINVAL, _MADE_UP)
    if len(content) > most:
        raise OSError(errno.EFBIG, f"is larger than {most // 2**20} MB")
    return content.decode("utf-8-sig")
