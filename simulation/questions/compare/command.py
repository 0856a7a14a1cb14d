"""`keystrip compare`: plans side by side under the same weather and chances."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from simulation.session import session
from simulation.session.asking import Asking, with_options
from simulation.session.lines import stop

if TYPE_CHECKING:
    from simulation.scenario import Scenario


@with_options(runs="Runs of each plan.")
def compare(
    scenarios: Annotated[
        list[str] | None,
        typer.Argument(metavar="SCENARIO…", help="One scenario to vary, or several to compare. Default: the relief strip."),
    ] = None,
    vary: Annotated[
        list[str] | None,
        typer.Option(
            "--vary",
            metavar="KEY=V1,V2,…",
            help="A key by its address and its values: forklifts.count=2,3,4; area.runway.start=one-end,centre-out; "
            "crew.*.people=16,24; also +1 and -1 for whole numbers, x0.9 for times and rates. May be given several times.",
        ),
    ] = None,
    crews: Annotated[
        str | None,
        typer.Option(
            "--crews",
            metavar="NxP,…",
            help="Crews x people in each, in the place of the scenario's: 1x48,2x24 is one crew of 48 against two of 24.",
        ),
    ] = None,
    one_at_a_time: Annotated[
        bool, typer.Option("--one-at-a-time", help="Each value alone, instead of with every value of the other keys.")
    ] = False,
    reference: Annotated[
        int,
        typer.Option(
            "--reference",
            min=1,
            metavar="N",
            help="Number, in the order they are named, of the plan that every change is counted from: 2 says what each plan is "
            "earlier or later than plan 2. P50 and P80 of a plan stay as they are.",
        ),
    ] = 1,
    *,
    asking: Asking,
) -> None:
    """Compare plans under the same weather and chances: any key of a scenario, equal crews, or several scenarios.

    Plan 1 is the first named, of --vary the scenario as written, and what the others are held against unless --reference says
    otherwise. The real choice between one end and the centre is
    one of equal headcount, one crew of 48 or two of 24: keystrip compare --crews 1x48,2x24 --vary
    area.runway.start=one-end,centre-out --deadline "12 day".
    """
    from simulation.questions.compare.answer import compare_answer
    from simulation.questions.compare.file_names import list_files
    from simulation.questions.compare.study import compare as ask
    from simulation.study.people import count_people

    name, plans = _load_plans(asking, scenarios or [], vary or [], crews, one_at_a_time)
    if reference > len(plans):
        stop(f"--reference: there are {len(plans)} plans; write 1 to {len(plans)}")
    people = [count_people(scenario).total for _, scenario in plans]
    files = ("compare", list_files([plan for plan, _ in plans], people))
    asking.answer(name, [], files, lambda context: compare_answer(ask(plans, context, reference=reference - 1)))


def _load_plans(
    asking: Asking, files: Sequence[str], vary: Sequence[str], crews: str | None, one_at_a_time: bool
) -> tuple[str, list[tuple[str, Scenario]]]:
    """Return the file whose folder takes the report, and the plans with their names, and say what is odd of each file."""
    from simulation.scenario import read_team, read_variation
    from simulation.study.changes.variations import MOST_PLANS, variations

    if len(files) > 1 and (vary or crews):
        stop("--vary: it varies one scenario; name one, or compare several as they are written")
    if len(files) > MOST_PLANS:
        stop(f"compare: {len(files)} files are too many to compare; name {MOST_PLANS} or fewer")
    if twice := [file for file in dict.fromkeys(files) if files.count(file) > 1]:
        stop(f"compare: {twice[0]} is given twice; give each file once")
    loaded = [asking.load(file) for file in (files or (None,))]
    for name, scenario in loaded:
        session.warn(name, scenario)
    name, scenario = loaded[0]
    if len(loaded) > 1:
        return name, [(Path(file).stem, written) for file, written in loaded]
    with session.mistakes_in_option("compare"):
        changes = [read_variation(text) for text in vary]
        teams = [read_team(text) for text in crews.split(",")] if crews else []
        return name, variations(scenario, changes, teams, one_at_a_time, asking.runs)
