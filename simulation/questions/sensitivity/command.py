"""`keystrip sensitivity`: what nobody knows today, and which of it matters most."""

from __future__ import annotations

from typing import Annotated

import typer

from simulation.session.asking import Asking, with_options
from simulation.session.options import SCENARIO


@with_options(runs="Runs to read it from.")
def sensitivity(
    scenario: SCENARIO = None,
    tornado: Annotated[
        bool,
        typer.Option("--tornado", help="Fix each input at its low and high end as well: N more runs for either end of each."),
    ] = False,
    *,
    asking: Asking,
) -> None:
    """Say which uncertain input matters most for the ready date, how sure that is, and with --tornado what it changes in days.

    Reads the runs of the forecast in the same folder; none are done again.
    """
    from simulation.present.file_names import answer_files
    from simulation.questions.sensitivity.answer import file_stem, sensitivity_answer
    from simulation.questions.sensitivity.study import sensitivity as ask

    name, loaded = asking.load(scenario)
    files = ("sensitivity", answer_files(file_stem(tornado)))
    asking.answer(name, [loaded], files, lambda context: sensitivity_answer(ask(loaded, context, tornado)))
