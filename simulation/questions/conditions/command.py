"""`keystrip conditions`: what calendar, sun and weather take from each kind of work, before any of it is done."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from simulation.session import session
from simulation.session.asking import FolderAsking, with_folder_options
from simulation.session.lines import stop
from simulation.session.options import SCENARIO

if TYPE_CHECKING:
    from simulation.present.answer import Answer
    from simulation.scenario import Scenario

#: The first two as in `questions.conditions.study`, which would load the rooms before it.
SEASONS, WORK_DAYS, MOST_SEASONS, MOST_MONTHS, MOST_DAYS = 200, 10, 10_000, 36, 1000
_MONTHS_HELP = "Months from the start on. Default: to the last day simulated."


@with_folder_options()
def conditions(
    scenario: SCENARIO = None,
    seasons: Annotated[int, typer.Option("--seasons", min=1, max=MOST_SEASONS, metavar="N", help="Seasons to draw.")] = SEASONS,
    months: Annotated[int | None, typer.Option("--months", min=1, max=MOST_MONTHS, metavar="N", help=_MONTHS_HELP)] = None,
    work: Annotated[
        str | None,
        typer.Option("--work", metavar="NAME", help="Kind of work shown by month and drawn. Default: laying."),
    ] = None,
    work_days: Annotated[
        int, typer.Option("--work-days", min=1, max=MOST_DAYS, metavar="N", help="How many days on shift do N days of work take?")
    ] = WORK_DAYS,
    *,
    asking: FolderAsking,
) -> None:
    """Say what hours and days calendar, light and weather take from each kind of work, month by month; no laying is simulated.

    Season n is the weather of run n of a forecast with the same seed.
    """
    from simulation.present.file_names import answer_files
    from simulation.questions.conditions.answer import conditions_answer
    from simulation.questions.conditions.study import expected_losses

    name, loaded = asking.load(scenario)

    def ask() -> Answer:
        chosen = _choose_work(loaded, work)
        with session.progress("seasons", workers=1) as advance:
            result = expected_losses(loaded, seasons, asking.seed, months, work_days, advance)
        shown = next((lost for lost in result.works if lost.work.name == chosen), result.first)
        return conditions_answer(result, shown)

    asking.answer(name, [loaded], ("conditions", answer_files("conditions")), ask)


def _choose_work(scenario: Scenario, work: str | None) -> str:
    """Return the kind of work that is asked for, by its name or one of the names that share its clock; empty where none is."""
    from simulation.conditions import clock_plans
    from simulation.questions.conditions.work_kinds import list_works

    if work is None:
        return ""
    names = [kind.name for kind in list_works(scenario, clock_plans(scenario))]
    chosen = [name for name in names if work.lower() in (name.lower(), *name.lower().split(", "))]
    if not chosen:
        stop(f"--work: {work} is no kind of work of the scenario; write {' or '.join(names)}")
    return chosen[0]
