"""`keystrip rates`: level and scatter of rates from own records, and the lines of a scenario that say the same."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from simulation.session import session
from simulation.session.asking import FolderAsking, with_folder_options
from simulation.session.lines import stop


@with_folder_options(seed=False)
def rates(
    logs: Annotated[
        list[Path],
        typer.Argument(metavar="LOGS", help="Own records as CSV: by row, shift, trip or job; a file is a job, or names it."),
    ],
    like: Annotated[
        str | None,
        typer.Option("--like", metavar="SCENARIO", help="The plan that they are set beside. Default: the shipped relief strip."),
    ] = None,
    of: Annotated[
        str | None,
        typer.Option(
            "--of", metavar="KEY", help="What the times are of, or which of several is wanted: row, or such as laying.place."
        ),
    ] = None,
    columns: Annotated[
        str | None,
        typer.Option(
            "--columns",
            metavar="WHAT=COLUMN:UNIT,…",
            help="Such as row=t:min,job=exercise. Default: those whose names say it, such as minutes_per_row, haul_min.",
        ),
    ] = None,
    area: Annotated[
        str | None,
        typer.Option("--area", metavar="NAME", help="Whose rows those of the records are like. Default: the first."),
    ] = None,
    people: Annotated[
        int | None,
        typer.Option("--people", min=1, max=10_000, metavar="N", help="How many laid them. Default: the area's first crew."),
    ] = None,
    *,
    asking: FolderAsking,
) -> None:
    """Say how much rates differ from job to job and within a job, from own records, and give lines for a scenario.

    What differs between jobs is a job-wide value (level), drawn once a run; what differs within one is task-to-task variation
    (scatter). One job alone cannot show the first.
    """
    name, scenario = asking.load(like)
    named = _pairs(columns) if columns is not None else []
    from simulation.present.answer import Answer
    from simulation.present.file_names import answer_files
    from simulation.present.own_files import keep
    from simulation.questions.rates.answer import BLOCK, rates_answer
    from simulation.questions.rates.study import fit_rates
    from simulation.scenario import ScenarioError

    keep(logs)

    def ask() -> Answer:
        try:
            return rates_answer(fit_rates(logs, scenario, of, named, area, people))
        except ScenarioError as error:
            session.refuse(ScenarioError(error.file or name, error.mistakes))

    asking.answer(str(logs[0]), [], ("rates", answer_files("rates", sheets=(BLOCK,))), ask)


def _pairs(text: str) -> list[tuple[str, str]]:
    from simulation.scenario.types.mistakes import shown

    pairs = []
    for part in text.split(","):
        what, equals, column = (word.strip() for word in part.partition("="))
        if not (what and equals and column):
            stop(f"--columns: {shown(part)} is not WHAT=COLUMN:UNIT; write such as row=minutes:min, commas between several")
        pairs.append((what, column))
    return pairs
