"""What does a question leave in its folder? Its picture, and a record of the same name that says what was asked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from simulation.present.own_files import write_whole
from simulation.present.record import as_json
from simulation.present.record import file_stem as file_stem
from simulation.present.spreadsheet import format_csv

if TYPE_CHECKING:
    from simulation.study.outcomes import Outcome


def answer_files(stem: str, *, table: bool = False) -> list[str]:
    """Return the names of the files that an answer leaves."""
    return [f"{stem}.{ending}" for ending in ("json", *(["csv"] if table else []), "svg", "png")]


def write_answer(
    folder: Path,
    command: str,
    stem: str,
    record: object,
    picture: Callable[[Path], list[Path]],
    table: Sequence[dict[str, Any]] | None = None,
    *,
    force: bool = False,
) -> list[Path]:
    """Write a record, a picture and perhaps a table into a folder, which is made where it is missing, and return their paths.

    Parameters
    ----------
    folder : Path
    command : str
        That asked the question.
    stem : str
        The name of all files before their suffix.
    record : object
        What JSON can hold.
    picture : callable
        Given a path without suffix, saves the picture beside it and returns the paths.
    table : sequence of dict, optional
        Rows of a CSV.
    force : bool
        Whether files that are not the command's own are replaced.

    Raises
    ------
    OSError
        If the folder or a file in it cannot be written, or is not to be replaced: see `own_files.write_whole`.
    """

    def write(draft: Path) -> list[Path]:
        file = draft / f"{stem}.json"
        file.write_text(as_json(record) + "\n", encoding="utf-8")
        rows = draft / f"{stem}.csv"
        if table is not None:
            rows.write_text(format_csv(table), encoding="utf-8")
        return [file, *([] if table is None else [rows]), *picture(draft / stem)]

    return write_whole(folder, write, command, force)


def question_record(command: str, outcome: Outcome, seed: int, asked: int, **more: Any) -> dict[str, Any]:
    """Return what was asked, so that an answer is told from that to another question."""
    return {
        "command": command,
        **more,
        "deadline": None if outcome.deadline is None else outcome.deadline.text,
        "runs": asked,
        "seed": seed,
    }
