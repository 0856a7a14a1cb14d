"""`keystrip bottlenecks` and `keystrip slip`: what holds a build up, what would help, and what it costs to come late."""

from __future__ import annotations

from typing import Annotated

import typer

from simulation.session import session as talk
from simulation.study.runner import MOST_RUNS, RUNS

RUN_COUNT = Annotated[int, typer.Option("--runs", min=1, max=MOST_RUNS, metavar="N", help="Runs of each scenario that is tried.")]


def bottlenecks(
    scenario: talk.SCENARIO = None,
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
    """Say what holds readiness up, early and late, and what one more of each thing or one trouble less would buy.

    Each thing is tried by itself under the same luck, run by run: one more forklift, truck, grading gang or crew, ten more
    people, a tenth less of each time, no breakdowns, no rain, no daily limit, lights, work day and night.
    """
    from simulation.present.answer_files import answer_files
    from simulation.questions.bottlenecks.record import bottleneck_record, write_bottlenecks
    from simulation.questions.bottlenecks.study import bottlenecks as bottlenecks_of
    from simulation.questions.bottlenecks.tables import print_bottlenecks

    name, loaded = talk.load(scenario, units)
    folder = talk.folder_of(name, out)
    talk.may_write("--out", "bottlenecks", force, *(folder / file for file in answer_files("bottlenecks")))
    with talk.mistakes_of(name), talk.refusals():
        talk.warn(name, loaded)
        with talk.progress() as advance:
            found = bottlenecks_of(
                loaded, run_count, seed, workers, deadline, advance, cluster=cluster, folder=folder, tell=talk.say
            )
    talk.show(as_json, lambda: bottleneck_record(found), lambda console: print_bottlenecks(found, console))
    talk.leave(lambda: write_bottlenecks(found, folder, force), folder, found.stopped)
