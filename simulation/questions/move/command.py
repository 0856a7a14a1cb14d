"""`keystrip move`: how long is there no field, if one is taken up and laid again elsewhere?"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from simulation.session import session
from simulation.session.asking import FolderAsking, with_folder_options
from simulation.session.options import WORKERS

if TYPE_CHECKING:
    from simulation.present.answer import Answer

#: Planning values: enough to see what a shift more or less does, and as many as anybody waits for.
RUNS, MOST_RUNS = 60, 5_000


@with_folder_options()
def move(
    first: Annotated[str, typer.Argument(metavar="FIRST", help="The site that is taken up: its start is that of the take-up.")],
    second: Annotated[str, typer.Argument(metavar="SECOND", help="The site that is laid; its [leg] says how mats come there.")],
    runs: Annotated[
        int, typer.Option("--runs", min=1, max=MOST_RUNS, metavar="N", help="Runs of each way that is tried.")
    ] = RUNS,
    workers: WORKERS = None,
    *,
    asking: FolderAsking,
) -> None:
    """Say how long there is no field if one is taken up and its mats are laid again elsewhere: both sites in one simulation.

    What comes up at the first site, run by run, is what comes to the second; what is missing comes from its own stock. It also
    says which split of people between the sites is better, and how much stock at the second shortens it.

    Days count from starts in FIRST, when that field closes; nothing is done at the second site before starts in SECOND.
    """
    from pathlib import Path

    from simulation.construction import find_warnings
    from simulation.field import with_all_on_hand
    from simulation.present.file_names import answer_files, file_stem
    from simulation.questions.move.answer import move_answer
    from simulation.questions.move.not_read import not_read
    from simulation.questions.move.study import move as ask
    from simulation.questions.move.study import refuse_second
    from simulation.study.run_context import RunContext

    name, loaded = asking.load(first)
    other, laid = asking.load(second)
    with session.mistakes_of(other):
        refuse_second(loaded, laid)
        warnings = [warning for warning in find_warnings(with_all_on_hand(laid)) if warning.key != "supply.half_mats"]
        session.say_warnings(other, [*not_read(laid), *warnings])

    stem = file_stem("move", [Path(other).stem])  # so that another second site replaces nothing

    def answer() -> Answer:
        with session.progress("runs of every way", workers=workers) as advance:
            context = RunContext(runs=runs, seed=asking.seed, workers=workers, progress=advance)
            return move_answer(ask(loaded, laid, context), stem)

    asking.answer(name, [loaded], ("move", answer_files(stem)), answer)
