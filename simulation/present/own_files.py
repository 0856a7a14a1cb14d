"""How do files appear in a folder whole or not at all, and which may be replaced? Those that the same command wrote there.

A folder in which this program wrote holds a record of it: of each file the command that wrote it, and the SHA-256 of what was
written. What no record tells of, what was changed since and what another command wrote is somebody's own. Of a picture it also
tells what it was drawn from, so that the same one need not be drawn again.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import socket
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

from simulation.replicate.store import alive
from simulation.scenario.types.texts.bounded import read_text

#: The record's name in its folder, and the most bytes that are read of one.
RECORD = ".keystrip-files.json"
_MOST = 2**20
_PREFIX = ".draft-"
#: Seconds for which another process may be moving its files into the folder.
_PATIENCE = 5.0
#: What answers are made from, links followed: never replaced by one.
_inputs: set[Path] = set()


class _Told(NamedTuple):
    """What a record tells of a file: who wrote it, the SHA-256 of what was written last and of what that replaced, its origin."""

    by: str = ""
    digests: tuple[str, ...] = ()
    made_from: str = ""


class NotReplaced(FileExistsError):
    """A file that would be replaced is not the command's own: why it is left, and what would be right."""


def keep(inputs: Iterable[Path]) -> None:
    """Note files that no answer may replace, whatever it is called: a scenario and its data."""
    _inputs.update(file.resolve() for file in inputs)


def refusal(file: Path, command: str, force: bool) -> str:
    """Return why a command may not write a file, and what would be right; empty where it may.

    Parameters
    ----------
    file : Path
    command : str
        Which answer the file holds, as the record tells it, such as ``"trace"``.
    force : bool
        Whether a file that is not the command's own may be replaced all the same; what an answer is made from never is.
    """
    if file.name == RECORD:
        return f"{file} is the record of what keystrip wrote in its folder; name another file"
    if not os.path.lexists(file):
        return ""
    left = "and is not replaced; write elsewhere, or add --force"
    try:
        if file.resolve() in _inputs:
            return f"{file} is what the answer is made from, and is never replaced; write elsewhere"
        if not file.is_file():
            return f"{file} is no file, and is never replaced; write elsewhere"
        if force:
            return ""
        by, digests, _ = _recorded(file.parent).get(file.name, _Told())
        if not digests:
            return f"{file} stands in no record ({RECORD}) of what keystrip wrote there, {left}"
        if _digest(file) not in digests:
            return f"{file} was changed since keystrip wrote it, {left}"
    except OSError as error:
        return f"{file} is there and cannot be read ({error.strerror or error}), so it is not replaced; write elsewhere"
    return "" if by == command else f"{file} was written by keystrip {by}, not by keystrip {command}, {left}"


def copy_same(folder: Path, draft: Path, made_from: Mapping[str, str]) -> list[Path]:
    """Copy files of a folder into a draft that were made from the same and are as they were written; none, unless all are.

    Parameters
    ----------
    folder, draft : Path
    made_from : mapping of str to str
        Names of files, each with what it is made from, in one word; nothing where that is not known.
    """
    known = _recorded(folder)
    for name, origin in made_from.items():
        own, file = known.get(name, _Told()), folder / name
        if not origin or own.made_from != origin or not file.is_file() or own.digests[:1] != (_digest(file),):
            return []
    return [Path(shutil.copyfile(folder / name, draft / name)) for name in made_from]


def write_whole(
    folder: Path,
    write: Callable[[Path], list[Path]],
    command: str,
    force: bool = False,
    made_from: Mapping[str, str] | None = None,
) -> list[Path]:
    """Have files written beside a folder's own, move them in when all are done, and return their paths.

    Parameters
    ----------
    folder : Path
        Made where it is missing.
    write : callable
        Given an empty folder, writes files into it and returns their paths.
    command, force
        As for `refusal`.
    made_from : mapping of str to str, optional
        As for `copy_same`.

    Raises
    ------
    NotReplaced
        If one would replace what is not the command's own, or what the answer is made from; then nothing has changed.
    OSError
        If the folder or a file in it cannot be written; then none has changed.
    """
    folder.mkdir(parents=True, exist_ok=True)
    _sweep(folder)
    with TemporaryDirectory(prefix=f"{_PREFIX}{socket.gethostname()}-{os.getpid()}-", dir=folder) as beside:
        made = write(Path(beside))
        with _alone_in(folder):
            for file in made:
                if why := refusal(folder / file.name, command, force):
                    raise NotReplaced(why)
            _record(folder, made, command, made_from or {}).replace(folder / RECORD)
            return [file.replace(folder / file.name) for file in made]


def write_file(file: Path, write: Callable[[Path], object], command: str, force: bool = False) -> Path:
    """Write one file as `write_whole` writes several, and return its path.

    Parameters
    ----------
    file : Path
    write : callable
        Given a path of the same name elsewhere, writes the file there.
    command, force
        As for `refusal`.

    Raises
    ------
    OSError
        As `write_whole`.
    """

    def made(draft: Path) -> list[Path]:
        write(draft / file.name)
        return [draft / file.name]

    return write_whole(file.parent, made, command, force)[0]


def write_new(file: Path, text: str) -> None:
    """Write a file that there is not yet, whole or not at all.

    Raises
    ------
    FileExistsError
        If there is one; then it is as it was.
    OSError
        If it cannot be written; then there is none.
    """
    if file.exists():
        raise FileExistsError(file)
    with TemporaryDirectory(dir=file.parent) as beside:
        made = Path(beside) / file.name
        made.write_text(text, encoding="utf-8")
        try:
            file.hardlink_to(made)  # refused where another one has appeared meanwhile
        except FileExistsError:
            raise
        except OSError:  # a disk that knows no links
            made.rename(file)


def _recorded(folder: Path) -> dict[str, _Told]:
    """Return what a folder's record tells of each file; nothing where none can be read."""
    try:
        content = json.loads(read_text(folder / RECORD, _MOST))
        return {
            name: _Told(str(entry["by"]), tuple(str(digest) for digest in entry["sha256"]), str(entry.get("from", "")))
            for name, entry in content.items()
        }
    except (OSError, ValueError, RecursionError, AttributeError, KeyError, TypeError):
        return {}


def _record(folder: Path, made: list[Path], command: str, made_from: Mapping[str, str]) -> Path:
    """Write a folder's new record beside the files that are to be moved in, and return its path.

    It is moved in before them, so it tells of what they replace as well: a kill in between leaves files that it knows.
    """
    before = {name: entry for name, entry in _recorded(folder).items() if (folder / name).is_file()}
    entries = dict(before)
    for file in made:
        replaced = [digest for digest in before.get(file.name, _Told()).digests if digest == _digest(folder / file.name)]
        entries[file.name] = _Told(command, tuple(dict.fromkeys([_digest(file), *replaced])), made_from.get(file.name, ""))
    written = {
        name: {"by": by, "sha256": list(digests), **({"from": origin} if origin else {})}
        for name, (by, digests, origin) in entries.items()
    }
    record = made[0].parent / RECORD
    record.write_text(json.dumps(written, indent=2) + "\n", encoding="utf-8")
    return record


def _digest(file: Path) -> str:
    with file.open("rb") as content:
        return hashlib.file_digest(content, "sha256").hexdigest()


@contextmanager
def _alone_in(folder: Path) -> Iterator[None]:
    """Let no other process move files into a folder meanwhile, as far as the system sees to it."""
    try:
        import fcntl

        handle = os.open(folder, os.O_RDONLY)
    except (ImportError, OSError):
        yield
        return
    try:
        end = time.monotonic() + _PATIENCE
        while time.monotonic() < end:
            try:
                fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
                break
            except BlockingIOError:
                time.sleep(0.01)
            except OSError:  # a disk that knows no locks
                break
        yield
    finally:
        os.close(handle)


def _sweep(folder: Path) -> None:
    """Take away what programs of this machine left when they were killed; a draft of one that lives is not touched."""
    mine = f"{_PREFIX}{socket.gethostname()}-"
    for draft in folder.glob(f"{mine}*"):
        process = draft.name.removeprefix(mine).partition("-")[0]
        if process.isdecimal() and not alive(int(process)):
            shutil.rmtree(draft, ignore_errors=True)
