"""`keystrip slip`: what it costs if something comes late."""

from __future__ import annotations

from typing import Annotated

import typer

from simulation.questions.slip.delays import BY
from simulation.session import session
from simulation.session.asking import Asking, with_options
from simulation.session.options import SCENARIO

WHAT = typer.Option(
    "--what",
    metavar="NAME",
    help="What comes late: supply (every delivery), supply.trucks.1, supply.flights.1, supply.shipments.1 (or its name), "
    "grading, forklift (one of them), forklifts, crew.NAME or crews. May be given again. Default: supply, grading, forklift and "
    "each crew.",
)
DELAYS = typer.Option(
    "--by",
    metavar="DELAYS",
    help='How late: "1 day,2 day,5 day", "1 day..5 day" (by the day), or "12 h..48 h:12 h" (by steps).',
)


@with_options(runs="Runs of each scenario that is tried.")
def slip(
    scenario: SCENARIO = None,
    what: Annotated[list[str] | None, WHAT] = None,
    by: Annotated[str, DELAYS] = BY,
    *,
    asking: Asking,
) -> None:
    """Say what it costs in readiness if a delivery, a grading gang, a forklift or a crew comes late.

    Each delay is added to the time at which the scenario has the thing on site, and tried under the same luck, run by run.
    """
    from simulation.present.file_names import answer_files, file_stem
    from simulation.questions.slip.answer import slip_answer
    from simulation.questions.slip.delays import delayable_items, read_delays
    from simulation.questions.slip.study import slip as ask

    names = tuple(dict.fromkeys(what or ()))
    with session.mistakes_in_option():
        read_delays(by)
    name, loaded = asking.load(scenario)
    with session.mistakes_in_option():
        delayable_items(loaded, names)
    files = ("slip", answer_files(file_stem("slip", names)))
    asking.answer(name, [loaded], files, lambda context: slip_answer(ask(loaded, context, names, by)))
