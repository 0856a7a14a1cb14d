"""`keystrip opening`: when a length is first usable, and what flying from it costs the whole."""

from __future__ import annotations

from typing import Annotated

import typer

from simulation.session.asking import Asking, with_options
from simulation.session.lines import stop
from simulation.session.options import SCENARIO

LENGTHS = typer.Option(
    "--lengths", metavar="LENGTHS", help="Usable lengths to try, such as 2000,2600. Default: that of the milestone."
)
WINDOWS = typer.Option(
    "--windows",
    metavar="HOURS",
    help="Flying windows every day from the opening on, or single movements, such as 06:00-10:00,16:30. Default: the scenario's.",
)


@with_options(runs="Runs of each way to open.")
def opening(
    scenario: SCENARIO = None,
    lengths: Annotated[str | None, LENGTHS] = None,
    windows: Annotated[str | None, WINDOWS] = None,
    *,
    asking: Asking,
) -> None:
    """Say when lengths are first usable, from which start, and what flying from them costs the whole.

    The scenario has a milestone that asks for a usable length. In flying windows nobody works on its area; people clear it before
    and after. Every way is tried under the same luck, run by run.
    """
    from simulation.present.file_names import answer_files
    from simulation.questions.opening.answer import OPENING_STRIPS, opening_answer
    from simulation.questions.opening.asked import openings, read_lengths, read_windows
    from simulation.questions.opening.study import opening as ask
    from simulation.scenario import ScenarioError
    from simulation.session import session

    name, loaded = asking.load(scenario)
    try:
        asked = read_lengths(lengths, loaded), read_windows(windows, loaded)
    except ScenarioError as error:
        stop(f"--{error}" if error.file in ("lengths", "windows") else str(error))
    with session.mistakes_of(name):
        openings(loaded, *asked)
    files = ("opening", answer_files("opening", ("opening", OPENING_STRIPS)))
    asking.answer(name, [loaded], files, lambda context: opening_answer(ask(loaded, context, lengths, windows)))
