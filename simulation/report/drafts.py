"""How do files appear in a folder whole or not at all, whatever ends the program while they are written?"""

from __future__ import annotations

import errno
import os
import shutil
import socket
from collections.abc import Callable, Iterable
from pathlib import Path
from tempfile import TemporaryDirectory

from simulation.replicate.store import alive

_PREFIX = ".draft-"
#: What answers are made from, links followed: never replaced by one.
_inputs: set[Path] = set()


def keep(inputs: Iterable[Path]) -> None:
    """Note files that no answer may replace, whatever it is called: a scenario and its data."""
    _inputs.update(one.resolve() for one in inputs)


def is_kept(file: Path) -> bool:
    """Return whether no answer may replace a file."""
    return file.resolve() in _inputs


def write_whole(folder: Path, write: Callable[[Path], list[Path]]) -> list[Path]:
    """Have files written beside a folder's own, move them in when all are done, and return their paths.

    Parameters
    ----------
    folder : Path
        Made where it is missing.
    write : callable
        Given an empty folder, writes files into it and returns their paths.

    Raises
    ------
    OSError
        If the folder or a file in it cannot be written, or one would replace what the answer is made from; then none has changed.
    """
    folder.mkdir(parents=True, exist_ok=True)
    _sweep(folder)
    with TemporaryDirectory(prefix=f"{_PREFIX}{socket.gethostname()}-{os.getpid()}-", dir=folder) as beside:
        made = write(Path(beside))
        for target in (folder / file.name for file in made):
            if is_kept(target):
                raise FileExistsError(errno.EEXIST, f"{target.name} is what the answer is made from, and is never replaced")
        return [file.replace(folder / file.name) for file in made]


def _sweep(folder: Path) -> None:
    """Take away what programs of this machine left when they were killed; a draft of one that lives is not touched."""
    mine = f"{_PREFIX}{socket.gethostname()}-"
    for draft in folder.glob(f"{mine}*"):
        process = draft.name.removeprefix(mine).partition("-")[0]
        if process.isdecimal() and not alive(int(process)):
            shutil.rmtree(draft, ignore_errors=True)
