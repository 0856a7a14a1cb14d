"""`keystrip repeat`: does a study come out again the same?"""

from __future__ import annotations

from typing import Annotated

import typer

from simulation.session import session
from simulation.session.asking import Reading
from simulation.session.exit_codes import DISAGREES, NOTHING_KEPT, STOPPED
from simulation.session.options import CLUSTER, JSON, WORKERS


def repeat(
    study: Annotated[
        str,
        typer.Argument(metavar="STUDY", help="DIR/NUMBER, or DIR for the last study of the scenario as written."),
    ],
    workers: WORKERS = None,
    cluster: CLUSTER = None,
    as_json: JSON = False,
) -> None:
    """Do a study again from what is kept of it, and say whether it agrees to the bit; nothing is changed."""
    from simulation.questions.repeat.answer import repeat_answer
    from simulation.replicate.repeating import find_study
    from simulation.replicate.repeating import repeat as repeat_study

    with session.refusals(), session.mistakes_of(study), session.progress(workers=workers) as advance:
        result = repeat_study(*find_study(study), workers, cluster, advance)
    Reading(full=True, as_json=as_json).show(repeat_answer(result))
    if not result.agrees and not result.agrees_across_processors:
        raise typer.Exit(DISAGREES)
    if result.runs < result.manifest.runs:
        raise typer.Exit(STOPPED if result.runs else NOTHING_KEPT)
