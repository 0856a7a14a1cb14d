"""`keystrip lift`: how long does it take to take the field up, and what comes back?"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from simulation.session import session
from simulation.session.asking import FolderAsking, with_folder_options
from simulation.session.options import SCENARIO

if TYPE_CHECKING:
    from simulation.present.answer import Answer

#: The first as in `questions.lift.study`, which would load the rooms before it.
RUNS, MOST_RUNS = 60, 5_000


@with_folder_options()
def lift(
    scenario: SCENARIO = None,
    runs: Annotated[
        int, typer.Option("--runs", min=1, max=MOST_RUNS, metavar="N", help="Runs of each way that is tried.")
    ] = RUNS,
    *,
    asking: FolderAsking,
) -> None:
    """Say how long it takes to take the whole field up: rows, sorting, pallets to the yard, loads out; and what comes back.

    The table [take_up] says how; the crews are those of the scenario. job = "take up" asks it of every other question.
    """
    from simulation.present.renderers.record import answer_files
    from simulation.questions.lift.answer import lift_answer
    from simulation.questions.lift.study import lift as ask

    name, loaded = asking.load(scenario)

    def answer() -> Answer:
        with session.progress("runs", workers=1) as advance:
            return lift_answer(ask(loaded, runs, asking.seed, advance))

    asking.answer(name, [loaded], ("lift", answer_files("lift")), answer)
