"""`keystrip spacing`: how far apart should key strips lie?"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from simulation.session import session
from simulation.session.asking import FolderAsking, with_folder_options
from simulation.session.options import SCENARIO

if TYPE_CHECKING:
    from simulation.present.answer import Answer

#: As in `questions.spacing.study`, which would load the rooms before it.
EVERY, RUNS, MOST_RUNS = "50 ft,100 ft,150 ft,200 ft,400 ft", 60, 5_000


@with_folder_options()
def spacing(
    scenario: SCENARIO = None,
    every: Annotated[
        str, typer.Option("--every", metavar="LENGTHS", help="Spacings to try; the handbook's 100 ft is always tried.")
    ] = EVERY,
    runs: Annotated[int, typer.Option("--runs", min=1, max=MOST_RUNS, metavar="N", help="Runs of each spacing.")] = RUNS,
    *,
    asking: FolderAsking,
) -> None:
    """Say how far apart key strips should lie: days to lay, hours closed for repairs over the stay, days to take up.

    The table [damage] says how often mats are damaged and how long the field is in use.
    """
    from simulation.present.renderers.record import answer_files
    from simulation.questions.spacing.answer import spacing_answer
    from simulation.questions.spacing.study import spacing as ask

    name, loaded = asking.load(scenario)

    def answer() -> Answer:
        with session.progress("runs", workers=1) as advance:
            return spacing_answer(ask(loaded, every, runs, asking.seed, advance))

    asking.answer(name, [loaded], ("spacing", answer_files("spacing")), answer)
