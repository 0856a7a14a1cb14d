"""Which file that a planner names may be replaced? One that this program wrote, if nobody has changed it since.

A folder in which it wrote such a file holds a record of it: its name and the SHA-256 of what was written.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

from simulation.report.drafts import is_kept, write_whole
from simulation.scenario.bounded import read_text

#: The record's name in its folder.
RECORD = ".keystrip-files.json"
_MOST = 2**20


def refusal(file: Path, force: bool) -> str:
    """Return why a file may not be written, and what would be right; empty where it may.

    Parameters
    ----------
    file : Path
    force : bool
        Whether a file that this program did not write may be replaced all the same; what an answer is made from never is.
    """
    if not file.exists():
        return ""
    if is_kept(file):
        return f"{file} is what the answer is made from, and is never replaced; name another file"
    if not file.is_file():
        return f"{file} is no file; name one"
    try:
        if force or _written(file.parent).get(file.name) == _digest(file):
            return ""
    except OSError as error:
        return f"{file} is there and cannot be read ({error.strerror or error}), so it is not replaced; name another file"
    return f"{file} was not written by this program, or was changed since, and is not replaced; name another file, or add --force"


def write_named(file: Path, write: Callable[[Path], object]) -> Path:
    """Write a file that a planner named, whole or not at all, and note that it was written here.

    Parameters
    ----------
    file : Path
    write : callable
        Given a path of the same name elsewhere, writes the file there.

    Raises
    ------
    OSError
        If it cannot be written; then nothing has changed.
    """

    def made(draft: Path) -> list[Path]:
        write(draft / file.name)
        return [draft / file.name]

    return write_noted(file.parent, made)[0]


def write_noted(folder: Path, write: Callable[[Path], list[Path]]) -> list[Path]:
    """Write files into a folder that may hold a planner's own, as `write_whole` does, and note that they were written here."""

    def both(draft: Path) -> list[Path]:
        made, record = write(draft), draft / RECORD
        kept = {name: digest for name, digest in _written(folder).items() if (folder / name).exists()}
        text = json.dumps({**kept, **{file.name: _digest(file) for file in made}}, indent=2)
        record.write_text(f"{text}\n", encoding="utf-8")
        return [record, *made]

    return write_whole(folder, both)[1:]


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


def _written(folder: Path) -> dict[str, str]:
    """Return what a folder's record says; nothing where there is none that can be read."""
    try:
        found = json.loads(read_text(folder / RECORD, _MOST))
    except (OSError, ValueError, RecursionError):
        return {}
    return {name: digest for name, digest in found.items() if isinstance(digest, str)} if isinstance(found, dict) else {}


def _digest(file: Path) -> str:
    with file.open("rb") as content:
        return hashlib.file_digest(content, "sha256").hexdigest()
