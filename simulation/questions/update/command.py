"""`keystrip update`: when the field is ready as the work stands, and why otherwise than forecast."""

from __future__ import annotations

from typing import Annotated

import typer

from simulation.session.asking import Asking, with_options
from simulation.session.lines import stop
from simulation.session.options import SCENARIO


@with_options(runs="Runs of the forecast from the start, and of the one from now.")
def update(
    scenario: SCENARIO = None,
    history: Annotated[
        bool, typer.Option("--history", help="Instead, the forecast after each shift of the log, beside what came true.")
    ] = False,
    *,
    asking: Asking,
) -> None:
    """Say when the field is ready as the work stands, beside the forecast from the start, and what made the difference.

    Reads a site log (--log): what is laid and came is taken as it is, rates are learned from it, and only what is left is
    simulated. Runs of the forecast from the start are shared with keystrip forecast.
    """
    from simulation.present.file_names import answer_files

    if asking.log is None:
        stop("--log: an update reads the log of the work; name one, or keystrip log new SCENARIO writes one to fill in")
    name, loaded = asking.load(scenario)
    if history:
        from simulation.questions.update.history import history as ask_history
        from simulation.questions.update.history_answer import STEM, history_answer

        files = ("update", answer_files(STEM))
        asking.answer(name, [loaded], files, lambda context: history_answer(ask_history(loaded, context)))
        return
    from simulation.questions.update.answer import update_answer
    from simulation.questions.update.study import update as ask

    files = ("update", answer_files("update"))
    asking.answer(name, [loaded], files, lambda context: update_answer(ask(loaded, context)))
