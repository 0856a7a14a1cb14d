"""Says which files a brief can be, and whether this one can be written, before anything is computed."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryFile
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from simulation.present.answer import Answer


#: Endings of a file -> what it is.
FORMS = {
    ".html": "one page that needs no network",
    ".htm": "the same",
    ".pdf": "two to four pages of paper, then every input and long tables whole",
}


def misnamed(file: Path) -> str:
    """Return why a file cannot be a brief by its name, and what would be right; empty where it can."""
    if file.suffix.lower() not in FORMS:
        return f"{file} is no form of a brief; end it in .html or .pdf"
    return f"{file} is a folder; name a file that ends in .html or .pdf" if file.is_dir() else ""


def unable(file: Path) -> str:
    """Return why a brief cannot be written to a file, and what would be right; empty where it can."""
    if why := misnamed(file):
        return why
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with TemporaryFile(dir=file.parent):
            pass
    except OSError as error:
        return f"{file} cannot be written ({(error.strerror or str(error)).lower()}); name a file in a folder that can be"
    return ""


def write_brief(brief: Answer, file: Path, force: bool = False, progress: Callable[[int, int], None] | None = None) -> Path:
    """Write a brief in the form that its file's ending says, whole or not at all, and return the path.

    How much of it is drawn is told to `progress`.

    Raises
    ------
    OSError
        If it cannot be written, or is not to be replaced; then nothing has changed.
    """
    from simulation.present.own_files import write_file

    if file.suffix.lower() == ".pdf":
        from simulation.present.renderers.paper import render_paper

        content = render_paper(brief, progress)
    else:
        from simulation.present.renderers.page import render_page

        content = render_page(brief, progress).encode()

    return write_file(file, lambda made: made.write_bytes(content), "brief", force)
