"""`keystrip conditions`: what calendar, sun and weather take from each kind of work, before anything is built."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from simulation.session import session as talk

if TYPE_CHECKING:
    from simulation.questions.conditions.study import ExpectedLosses
    from simulation.questions.conditions.work_lost import WorkLost

#: As in `analysis.expected_losses`, which would load the rooms before it.
SEASONS, WORK_DAYS, MOST_SEASONS, MOST_MONTHS, MOST_DAYS = 200, 10, 10_000, 36, 1000


def conditions(
    scenario: talk.SCENARIO = None,
    seasons: Annotated[int, typer.Option("--seasons", min=1, max=MOST_SEASONS, metavar="N", help="Seasons to draw.")] = SEASONS,
    months: Annotated[
        int | None,
        typer.Option(
            "--months",
            min=1,
            max=MOST_MONTHS,
            metavar="N",
            help="Months from the start on. Default: to the last day simulated.",
            show_default=False,
        ),
    ] = None,
    work: Annotated[
        str | None,
        typer.Option("--work", metavar="NAME", help="Kind of work told by month and drawn. Default: laying.", show_default=False),
    ] = None,
    work_days: Annotated[
        int, typer.Option("--work-days", min=1, max=MOST_DAYS, metavar="N", help="How many days on shift do N days of work take?")
    ] = WORK_DAYS,
    units: talk.UNITS = None,
    seed: talk.SEED = None,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="DIR", help="Folder of picture and files. Default: reports/SCENARIO.", show_default=False),
    ] = None,
    force: talk.FORCE = False,
    as_json: talk.JSON = False,
) -> None:
    """Say what hours and days calendar, light and weather take from each kind of work, month by month; nothing is built.

    Season n is the weather of run n of a forecast with the same seed.
    """  # fmt: skip
    from simulation.present.answer_files import answer_files
    from simulation.questions.conditions.picture import write_losses
    from simulation.questions.conditions.study import expected_losses
    from simulation.questions.conditions.tables import losses_record, print_losses

    name, loaded = talk.load(scenario, units)
    folder = out or Path("reports") / Path(name).stem
    talk.may_write("--out", "conditions", force, *(folder / file for file in answer_files("conditions")))
    with talk.mistakes_of(name):
        talk.warn(name, loaded)
        found = expected_losses(loaded, seasons, seed, months, work_days)
    shown = _shown(found, work)
    talk.show(as_json, lambda: losses_record(found), lambda console: print_losses(found, shown, console))
    talk.leave(lambda: write_losses(found, shown, folder, force), folder, "")


def _shown(found: ExpectedLosses, work: str | None) -> WorkLost:
    """Return the kind of work that is asked for: by its name, or one of the names that share its clock."""
    if work is None:
        return found.first
    chosen = [one for one in found.works if work.lower() in (one.work.name.lower(), *one.work.name.lower().split(", "))]
    if not chosen:
        names = " or ".join(one.work.name for one in found.works)
        talk.stop(f"--work: {work} is no kind of work of the scenario; write {names}")
    return chosen[0]
