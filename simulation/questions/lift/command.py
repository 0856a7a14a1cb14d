"""`keystrip lift`: how long does it take to take the field up, and what comes back?"""

from __future__ import annotations

from simulation.session import session
from simulation.session.asking import Asking, with_options
from simulation.session.options import SCENARIO

#: Planning value: enough to see what more crews gain.
RUNS = 60


@with_options(runs="Runs of each way that is tried.", usual=RUNS, deadline=False, log=False)
def lift(scenario: SCENARIO = None, *, asking: Asking) -> None:
    """Say how long it takes to take the whole field up: rows, sorting, pallets to the yard, loads out; and what comes back.

    The table [take_up] says how; the crews are those of the scenario. job = "take up" asks it of every other question.
    """
    from simulation.construction.planning import as_taken_up
    from simulation.present.file_names import answer_files
    from simulation.questions.lift.answer import lift_answer
    from simulation.questions.lift.study import lift as ask

    name, loaded = asking.load(scenario)
    with session.mistakes_of(name):
        taken_up = as_taken_up(loaded)
    asking.answer(name, [taken_up], ("lift", answer_files("lift")), lambda context: lift_answer(ask(loaded, context)))
