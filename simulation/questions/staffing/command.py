"""`keystrip staffing`: the smallest team that meets a deadline with a stated confidence."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from simulation.questions.staffing.candidates import CREWS, OWN_CREWS
from simulation.questions.staffing.verdicts import CONFIDENCE, FIRST, MOST
from simulation.session import session as talk
from simulation.study.run_context import RunContext
from simulation.study.runner import MOST_RUNS

if TYPE_CHECKING:
    from rich.console import Console

    from simulation.questions.staffing.candidates import Search

_RANGE = "A range is N, LOW..HIGH or LOW..HIGH:STEP; several stand apart by commas."


def staffing(
    scenario: talk.SCENARIO = None,
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
            show_default=False,
        ),
    ] = None,
    start: Annotated[
        str | None,
        typer.Option(
            "--start",
            metavar="S",
            help="one-end, centre-out, or both with a comma: of the first area. Default: the scenario's.",
            show_default=False,
        ),
    ] = None,
    forklifts: Annotated[
        str | None,
        typer.Option("--forklifts", metavar="RANGE", help="How many, such as 2..5. Default: the scenario's.", show_default=False),
    ] = None,
    most: Annotated[
        int,
        typer.Option(
            "--most",
            min=FIRST,
            max=MOST_RUNS,
            metavar="N",
            help="Runs of one team after which it is too close to call.",
        ),
    ] = MOST,
    units: talk.UNITS = None,
    seed: talk.SEED = None,
    workers: talk.WORKERS = None,
    cluster: talk.CLUSTER = None,
    out: talk.OUT = None,
    force: talk.FORCE = False,
    as_json: talk.JSON = False,
) -> None:
    """Find the smallest team that meets a deadline with a stated confidence: crews, start and forklifts.

    Smallest: fewest people on site, drivers and operators included, then fewest forklifts. Every team is looked at by itself, and
    runs are spent where the decision is open. All verdicts together are wrong with a chance of at most 5 %.
    """
    from simulation.present.answer_files import answer_files
    from simulation.present.cautions import print_cautions
    from simulation.questions.staffing.candidates import usual_crews
    from simulation.questions.staffing.folder import staff_record, write_staff
    from simulation.questions.staffing.study import staffing as staff_of
    from simulation.questions.staffing.tables import effort_line, print_staff

    if not deadline.strip():
        talk.stop('--deadline: it is what a team is to meet; write --deadline "9 day" or a date such as 2031-04-11')
    if not 0.0 < confidence < 1.0:
        talk.stop(f"--confidence: {confidence:g} does not lie between 0 and 1; write a chance such as 0.8")
    _search(crews or CREWS, start, forklifts)  # what cannot be read is told before anything is loaded
    name, loaded = talk.load(scenario, units)
    search = _search(usual_crews(loaded) if crews is None else crews, start, forklifts)
    folder = talk.folder_of(name, out)
    talk.may_write("--out", "staffing", force, *(folder / file for file in answer_files("staffing")))
    with talk.mistakes_of(name), talk.refusals():
        talk.warn(name, loaded)
        with talk.progress() as advance:
            context = RunContext(deadline=deadline, seed=seed, workers=workers, cluster=cluster, folder=folder, progress=advance)
            announce = lambda effort: talk.say(line) if (line := effort_line(effort)) else None  # noqa: E731
            found = staff_of(loaded, context, confidence, search, most, announce)

    def tables(console: Console) -> None:
        print_staff(found, console)
        print_cautions(console)

    talk.show(as_json, lambda: staff_record(found), tables)
    talk.leave(lambda: write_staff(found, folder, force), folder, found.stopped)


def _search(crews: str, start: str | None, forklifts: str | None) -> Search:
    """Return the teams in question, or say what is wrong with one of the options."""
    from simulation.questions.staffing.candidates import read_search
    from simulation.scenario import ScenarioError

    try:
        return read_search(crews, start, forklifts)
    except ScenarioError as error:
        talk.stop(f"--{error}")
