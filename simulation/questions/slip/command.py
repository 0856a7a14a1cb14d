"""`keystrip slip`: what does it cost if something comes late?"""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated

import typer

from simulation.questions.slip.delays import BY
from simulation.session import session as talk
from simulation.study.run_context import RunContext
from simulation.study.runner import MOST_RUNS, RUNS

RUN_COUNT = Annotated[int, typer.Option("--runs", min=1, max=MOST_RUNS, metavar="N", help="Runs of each scenario that is tried.")]


def slip(
    scenario: talk.SCENARIO = None,
    what: Annotated[
        list[str] | None,
        typer.Option(
            "--what",
            metavar="NAME",
            help="What comes late: supply (every delivery), supply.trucks.1, supply.flights.1, grading, forklift (one of them), "
            "forklifts, crew.NAME or crews. May be given again. Default: supply, grading, forklift and each crew.",
            show_default=False,
        ),
    ] = None,
    by: Annotated[
        str,
        typer.Option(
            "--by",
            metavar="DELAYS",
            help='How late: "1 day,2 day,5 day", "1 day..5 day" (by the day), or "12 h..48 h:12 h" (by steps).',
        ),
    ] = BY,
    run_count: RUN_COUNT = RUNS,
    deadline: talk.DEADLINE = None,
    units: talk.UNITS = None,
    seed: talk.SEED = None,
    workers: talk.WORKERS = None,
    cluster: talk.CLUSTER = None,
    out: talk.OUT = None,
    force: talk.FORCE = False,
    as_json: talk.JSON = False,
) -> None:
    """Say what it costs in readiness if a delivery, a grading gang, a forklift or a crew comes late.

    Each delay is added to when the thing is there by the scenario, and tried under the same luck, run by run.
    """
    from simulation.present.answer_files import answer_files, file_stem
    from simulation.questions.slip.delays import delayable_items, read_delays
    from simulation.questions.slip.record import slip_record, write_slip
    from simulation.questions.slip.study import slip as ask
    from simulation.questions.slip.tables import print_slip

    names = tuple(what or ())
    _read(lambda: read_delays(by))
    name, loaded = talk.load(scenario, units)
    _read(lambda: delayable_items(loaded, names))
    folder = talk.folder_of(name, out)
    stem = file_stem("slip", tuple(dict.fromkeys(names)))
    talk.may_write("--out", "slip", force, *(folder / file for file in answer_files(stem)))
    with talk.mistakes_of(name), talk.refusals():
        talk.warn(name, loaded)
        with talk.progress() as advance:
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
            found = ask(loaded, context, names, by)
    talk.show(as_json, lambda: slip_record(found), lambda console: print_slip(found, console))
    talk.leave(lambda: write_slip(found, folder, force), folder, found.stopped)


def _read(read: Callable[[], object]) -> None:
    """Say what is wrong with an option, if it cannot be read."""
    from simulation.scenario import ScenarioError

    try:
        read()
    except ScenarioError as error:
        talk.stop(f"--{error}")
