"""`keystrip compare`: plans side by side under the same luck."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from simulation.session import session as talk
from simulation.study.run_context import RunContext
from simulation.study.runner import MOST_RUNS, RUNS

if TYPE_CHECKING:
    from simulation.scenario import Scenario


def compare(
    scenarios: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="SCENARIO…",
            help="One scenario to vary, or several to compare. Default: the relief strip.",
            show_default=False,
        ),
    ] = None,
    vary: Annotated[
        list[str] | None,
        typer.Option(
            "--vary",
            metavar="KEY=V1,V2,…",
            help="A key by its address and its values: forklifts.count=2,3,4; area.runway.start=one-end,centre-out; "
            "crew.*.people=16,24; also +1 and -1 for whole numbers, x0.9 for times and rates. May be given several times.",
            show_default=False,
        ),
    ] = None,
    crews: Annotated[
        str | None,
        typer.Option(
            "--crews",
            metavar="NxP,…",
            help="Crews x people in each, in the place of the scenario's: 1x48,2x24 is one crew of 48 against two of 24.",
            show_default=False,
        ),
    ] = None,
    one_at_a_time: Annotated[
        bool, typer.Option("--one-at-a-time", help="Each value alone, instead of with every value of the other keys.")
    ] = False,
    reference: Annotated[
        int, typer.Option("--reference", min=1, metavar="N", help="Number of the plan that the others are held against.")
    ] = 1,
    deadline: talk.DEADLINE = None,
    run_count: Annotated[int, typer.Option("--runs", min=1, max=MOST_RUNS, metavar="N", help="Runs of each plan.")] = RUNS,
    units: talk.UNITS = None,
    seed: talk.SEED = None,
    workers: talk.WORKERS = None,
    cluster: talk.CLUSTER = None,
    out: talk.OUT = None,
    force: talk.FORCE = False,
    as_json: talk.JSON = False,
) -> None:
    """Compare plans under the same luck: any key of a scenario, equal crews, or several scenarios.

    Plan 1 is the scenario as written, and what the others are held against. The real choice between one end and the centre is
    one of equal headcount, one crew of 48 or two of 24: keystrip compare --crews 1x48,2x24 --vary
    area.runway.start=one-end,centre-out --deadline "12 day".
    """
    from simulation.present.answer_files import answer_files
    from simulation.questions.compare.folder import comparison_record, question, write_comparison
    from simulation.questions.compare.study import compare as compare_of
    from simulation.questions.compare.tables import print_comparison

    files = scenarios or []
    name, plans = _plans(files, vary or [], crews, one_at_a_time, run_count, units)
    if reference > len(plans):
        talk.stop(f"--reference: there are {len(plans)} plans; write 1 to {len(plans)}")
    folder = talk.folder_of(name, out)
    stem = question([plan for plan, _ in plans])
    talk.may_write("--out", "compare", force, *(folder / file for file in answer_files(stem, table=True)))

    with talk.mistakes_of(name), talk.refusals(), talk.progress() as advance:
        context = RunContext(
            runs=run_count,
            deadline=deadline,
            seed=seed,
            workers=workers,
            cluster=cluster,
            folder=folder,
            progress=advance,
            tell=talk.say,
        )
        found = compare_of(plans, context, reference=reference - 1)
    talk.show(as_json, lambda: comparison_record(found), lambda console: print_comparison(found, console))
    talk.leave(lambda: write_comparison(found, folder, force), folder, found.stopped)


def _plans(
    files: Sequence[str], vary: Sequence[str], crews: str | None, one_at_a_time: bool, run_count: int, units: str | None
) -> tuple[str, list[tuple[str, Scenario]]]:
    """Return the plans with their names, and the file whose folder takes the report."""
    from simulation.scenario import ScenarioError, read_team, read_variation
    from simulation.study.variations import variations

    if len(files) > 1:
        if vary or crews:
            talk.stop("--vary: it varies one scenario; name one, or compare several as they are written")
        loaded = [talk.load(file, units) for file in files]
        for name, scenario in loaded:
            talk.warn(name, scenario)
        return loaded[0][0], [(Path(name).stem, scenario) for name, scenario in loaded]
    name, scenario = talk.load(files[0] if files else None, units)
    talk.warn(name, scenario)
    try:
        changes = [read_variation(text) for text in vary]
        teams = [read_team(text) for text in crews.split(",")] if crews else []
        return name, variations(scenario, changes, teams, one_at_a_time, run_count)
    except ScenarioError as error:
        lines = [str(mistake) for mistake in error.mistakes]
        talk.stop(f"compare: {lines[0]}" + (f" (and {len(lines) - 1} more)" if len(lines) > 1 else ""))
