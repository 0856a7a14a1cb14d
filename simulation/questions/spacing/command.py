"""`keystrip spacing`: how far apart should key strips lie?"""

from __future__ import annotations

from typing import Annotated

import typer

from simulation.session.asking import Asking, with_options
from simulation.session.options import SCENARIO

#: As in `questions.spacing.layouts`, which would load the rooms before it.
EVERY, ZONED = "50 ft,100 ft,150 ft,200 ft,400 ft", "50 ft/100 ft,50 ft/200 ft,100 ft/400 ft"
#: Planning value: enough to tell the usual layouts apart.
RUNS = 60


@with_options(runs="Runs of each layout.", usual=RUNS, deadline=False, log=False)
def spacing(
    scenario: SCENARIO = None,
    every: Annotated[
        str, typer.Option("--every", metavar="LENGTHS", help="Distances to try; the handbook's 100 ft is always tried.")
    ] = EVERY,
    zoned: Annotated[
        str,
        typer.Option(
            "--zoned", metavar="PAIRS", help="Distances by zone: where aircraft touch down, a slash, elsewhere. Empty for none."
        ),
    ] = ZONED,
    *,
    asking: Asking,
) -> None:
    """Say how far apart key strips should lie: days to lay, hours closed for repairs over the stay, days to take up.

    The table [damage] says how often mats are damaged, where aircraft touch down and how long the field is in use.
    """
    from simulation.present.file_names import answer_files
    from simulation.questions.spacing.answer import spacing_answer
    from simulation.questions.spacing.study import spacing as ask

    name, loaded = asking.load(scenario)
    files = ("spacing", answer_files("spacing"))
    asking.answer(name, [loaded], files, lambda context: spacing_answer(ask(loaded, context, every, zoned)))
