"""`keystrip staffing`: the smallest team that meets a deadline with a stated confidence."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from simulation.questions.staffing.candidates import CREWS, OWN_CREWS
from simulation.questions.staffing.verdicts import CONFIDENCE, MOST, NAMED
from simulation.session import session
from simulation.session.asking import Asking, with_options
from simulation.session.lines import stop
from simulation.session.options import SCENARIO
from simulation.study.runner import MOST_RUNS

if TYPE_CHECKING:
    from simulation.questions.staffing.candidates import Search

_RANGE = "A range is N, LOW..HIGH or LOW..HIGH:STEP; several stand apart by commas."


@with_options(runs=None, deadline=False)
def staffing(
    scenario: SCENARIO = None,
    deadline: Annotated[
        str,
        typer.Option(
            "--deadline",
            metavar="D",
            help='Must be given: "9 day", 2031-04-11 (its end) or 2031-04-11T18:00.',
            show_default=False,
        ),
    ] = "",
    confidence: Annotated[
        float, typer.Option("--confidence", metavar="C", help="Chance of being ready by then that is asked for.")
    ] = CONFIDENCE,
    crews: Annotated[
        str | None,
        typer.Option(
            "--crews",
            metavar="RANGExRANGE",
            help="Crews x people in each, in the place of the scenario's: 2x20, 1..2x16..40:4 (one or two crews of 16, 20, … 40 "
            "people) or 1x16..40:4,2x12..24:4; each keeps hours, areas and late start of one of the scenario's crews in turn. "
            f"Or {OWN_CREWS}: the scenario's own crews with 50, 75, … 150 % of their people. {_RANGE} Default: {CREWS}; "
            f"{OWN_CREWS} where crews keep times of their own.",
        ),
    ] = None,
    start: Annotated[
        str | None,
        typer.Option(
            "--start", metavar="S", help="one-end, centre-out, or both with a comma: of the first area. Default: the scenario's."
        ),
    ] = None,
    forklifts: Annotated[
        str | None,
        typer.Option("--forklifts", metavar="RANGE", help="How many, such as 2..5. Default: the scenario's."),
    ] = None,
    most: Annotated[
        int,
        typer.Option(
            "--most",
            min=NAMED,
            max=MOST_RUNS,
            metavar="N",
            help="Runs of one team after which it is too close to call.",
        ),
    ] = MOST,
    *,
    asking: Asking,
) -> None:
    """Find the smallest team that meets a deadline with a stated confidence: crews, start and forklifts.

    Smallest: fewest people on site, drivers and operators included, then fewest forklifts. Every team is looked at by itself, and
    runs are spent where the decision is open. All verdicts together are wrong with a chance of at most 5 %.
    """
    from simulation.present.file_names import answer_files
    from simulation.questions.staffing.answer import staffing_answer
    from simulation.questions.staffing.candidates import usual_search
    from simulation.questions.staffing.study import staffing as ask

    if not deadline.strip():
        stop('--deadline: it is what a team is to meet; write --deadline "9 day" or a date such as 2031-04-11')
    if not 0.0 < confidence < 1.0:
        stop(f"--confidence: {confidence:g} does not lie between 0 and 1; write a chance such as 0.8")
    _read_search(crews or CREWS, start, forklifts)  # what cannot be read is said before anything is loaded
    name, loaded = asking.load(scenario)
    search = usual_search(loaded, start, forklifts) if crews is None else _read_search(crews, start, forklifts)
    files = ("staffing", answer_files("staffing"))
    asking.answer(
        name,
        [loaded],
        files,
        lambda context: staffing_answer(ask(loaded, context, confidence, search, most)),
        deadline=deadline,
    )


def _read_search(crews: str, start: str | None, forklifts: str | None) -> Search:
    """Return the teams in question, or say what is wrong with one of the options."""
    from simulation.questions.staffing.candidates import read_search

    with session.mistakes_in_option():
        return read_search(crews, start, forklifts)
