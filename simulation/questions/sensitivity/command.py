"""`keystrip sensitivity`: what nobody knows today, and which of it matters most."""

from __future__ import annotations

from typing import Annotated

import typer

from simulation.session import session as talk
from simulation.study.run_context import RunContext
from simulation.study.runner import MOST_RUNS, RUNS


def sensitivity(
    scenario: talk.SCENARIO = None,
    run_count: Annotated[int, typer.Option("--runs", min=1, max=MOST_RUNS, metavar="N", help="Runs to read it from.")] = RUNS,
    tornado: Annotated[
        bool,
        typer.Option("--tornado", help="Fix each level at its P10 and at its P90 as well: N more runs for either end of each."),
    ] = False,
    units: talk.UNITS = None,
    seed: talk.SEED = None,
    workers: talk.WORKERS = None,
    cluster: talk.CLUSTER = None,
    deadline: talk.DEADLINE = None,
    out: talk.OUT = None,
    force: talk.FORCE = False,
    as_json: talk.JSON = False,
) -> None:
    """Say which uncertain level matters most for readiness, how sure that is, and with --tornado what it would change in days.

    Reads the runs of the forecast in the same folder; none are done again.
    """
    from simulation.present.answer_files import answer_files
    from simulation.questions.sensitivity.record import sensitivity_record, stem_of_sensitivity, write_sensitivity
    from simulation.questions.sensitivity.study import sensitivity as sensitivity_of
    from simulation.questions.sensitivity.tables import print_sensitivity

    name, loaded = talk.load(scenario, units)
    folder = talk.folder_of(name, out)
    talk.may_write("--out", "sensitivity", force, *(folder / file for file in answer_files(stem_of_sensitivity(tornado))))
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
            found = sensitivity_of(loaded, context, tornado)
    talk.show(as_json, lambda: sensitivity_record(found), lambda console: print_sensitivity(found, console))
    talk.leave(lambda: write_sensitivity(found, folder, force), folder, found.stopped)
