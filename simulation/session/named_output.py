"""Writes the one file that an option names, or says why it cannot."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from simulation.session.lines import say, stop


def write_named(
    option: str, file: Path, write: Callable[[Path], object], command: str, force: bool, said: str = "{} written"
) -> None:
    """Write the file that an option names, and say so; `write` is given a path of the same name elsewhere."""
    from simulation.present.own_files import NotReplaced, write_file

    if not file.parent.is_dir():
        stop(f"{option}: {file} cannot be written: there is no folder {file.parent}; name a file in one that exists")
    try:
        write_file(file, write, command, force)
    except NotReplaced as error:
        stop(f"{option}: {error}")
    except OSError as error:
        stop(f"{option}: {file} cannot be written: {error.strerror or error}; name a file that can be written")
    say(said.format(file))
