"""`keystrip move`: how long is there no field, if one is taken up and laid again elsewhere?"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from simulation.session import session
from simulation.session.asking import Asking, with_options

if TYPE_CHECKING:
    from simulation.present.answer import Answer
    from simulation.study.run_context import RunContext

#: Planning value: enough to see what a shift more or less does.
RUNS = 60


@with_options(runs="Runs of each way that is tried.", deadline=False, log=False, usual=RUNS)
def move(
    first: Annotated[str, typer.Argument(metavar="FIRST", help="The site that is taken up: its start is that of the take-up.")],
    second: Annotated[str, typer.Argument(metavar="SECOND", help="The site that is laid; its [leg] says how mats come there.")],
    *,
    asking: Asking,
) -> None:
    """Say how long there is no field if one is taken up and its mats are laid again elsewhere: both sites in one simulation.

    What comes up at the first site, run by run, is what comes to the second; what is missing comes from its own stock. It also
    says which split of people between the sites is better, and how much stock at the second shortens it.

    Days count from starts in FIRST, when that field closes; nothing is done at the second site before starts in SECOND.
    """
    from pathlib import Path

    from simulation.construction import find_warnings
    from simulation.construction.planning import as_taken_up
    from simulation.field import with_all_on_hand
    from simulation.present.file_names import answer_files, file_stem
    from simulation.questions.move.answer import move_answer
    from simulation.questions.move.not_read import not_read
    from simulation.questions.move.study import move as ask
    from simulation.questions.move.study import refuse_second

    name, loaded = asking.load(first)
    other, laid = asking.load(second)
    with session.mistakes_of(name):
        taken_up = as_taken_up(loaded)
    with session.mistakes_of(other):
        refuse_second(loaded, laid)
        warnings = [warning for warning in find_warnings(with_all_on_hand(laid)) if warning.key != "supply.half_mats"]
        session.say_warnings(other, [*not_read(laid), *warnings])

    stem = file_stem("move", [Path(other).stem])  # so that another second site replaces nothing

    def answered(context: RunContext) -> Answer:
        return move_answer(ask(loaded, laid, context), stem)

    asking.answer(name, [taken_up], ("move", answer_files(stem)), answered, announced=False)
