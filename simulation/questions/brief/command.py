"""`keystrip brief`: one file for the commander, as a page or on paper, with a sheet to choose among plans."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from simulation.session import session
from simulation.session.exit_codes import STOPPED
from simulation.session.kept_runs import folder_of, kept_line
from simulation.session.lines import put, say, stop
from simulation.session.options import AT, CLUSTER, DEADLINE, FORCE, JSON, LOG, SEED, UNITS, WORKERS
from simulation.study.run_context import RunContext
from simulation.study.runner import MOST_RUNS, RUNS

if TYPE_CHECKING:
    from simulation.present.answer import Answer
    from simulation.questions.brief.study import BriefResult
    from simulation.scenario import Scenario

#: Runs of each plan that is tried; the same as `simulation.questions.brief.study.EACH`, which takes long to import.
EACH = 100


STUDY = Annotated[
    str | None,
    typer.Argument(
        metavar="SCENARIO|RUN",
        help="A scenario file; or DIR or DIR/NUMBER, a study that is kept. Default: the shipped relief strip.",
    ),
]
FILE = Annotated[
    Path | None,
    typer.Option("--out", metavar="FILE", help="Ends in .html or .pdf. Default: reports/SCENARIO/brief.html."),
]
RUN_COUNT = Annotated[
    int | None,
    typer.Option(
        "--runs", min=1, max=MOST_RUNS, metavar="N", help=f"Runs of the forecast. Default: {RUNS}, or those of the study."
    ),
]
EACH_RUNS = Annotated[
    int, typer.Option("--each", min=1, max=MOST_RUNS, metavar="M", help="Runs of each plan and change that is tried.")
]
MEASURES = Annotated[
    bool, typer.Option("--measures/--no-measures", help="Try what one more of each thing, or one trouble less, would gain.")
]
PLANS = Annotated[
    list[str] | None,
    typer.Option(
        "--compare",
        metavar="WHAT",
        help="What to compare: KEY=V1,V2,… as in keystrip compare --vary, or crews such as 1x40,2x20. May be given again. "
        "Default: the other start with as many people, one forklift fewer, one and two more.",
    ),
]
NO_COMPARE = Annotated[bool, typer.Option("--no-compare", help="Leave the comparison out.")]
GRID = Annotated[
    bool,
    typer.Option(
        "--grid/--no-grid",
        help="The decision sheet: people a quarter fewer and more, both starts, a forklift fewer and more, combined.",
    ),
]

#: By what it is told how far a brief is written; the pages take about as long as that many seasons of weather (planning value).
_STEPS, _PAGES = "steps of writing the brief", 200


def brief(
    scenario: STUDY = None,
    out: FILE = None,
    deadline: DEADLINE = None,
    run_count: RUN_COUNT = None,
    each: EACH_RUNS = EACH,
    measures: MEASURES = True,
    plans: PLANS = None,
    no_compare: NO_COMPARE = False,
    grid: GRID = True,
    log: LOG = None,
    at: AT = None,
    units: UNITS = None,
    seed: SEED = None,
    workers: WORKERS = None,
    cluster: CLUSTER = None,
    force: FORCE = False,
    as_json: JSON = False,
) -> None:
    """Write one file for the commander: when, how likely, what holds it up, what would help, what to order.

    As .html it needs no network and holds a decision sheet; as .pdf it has two to four pages, then the assumptions and
    every long table whole. Runs are kept in reports/SCENARIO, or in the folder of the study, and shared with the other commands.
    """
    from simulation.questions.brief.files import misnamed, unable

    if out is not None and (why := misnamed(out)):  # before anything is loaded
        stop(f"--out: {why}")
    from simulation.questions.brief.study import Asked
    from simulation.questions.brief.study import brief as ask
    from simulation.replicate.processes import pools_kept

    if no_compare and plans:
        stop("--compare: --no-compare leaves the comparison out; give one of them")
    name, loaded, folder, study = _scenario_or_study(scenario, units)
    loaded = session.begin_by_log(loaded, log, at)
    file = out or folder / "brief.html"
    if why := unable(file):
        stop(f"--out: {why}")
    session.may_write("--out", "brief", force, file)
    sampling = "random"
    if study is not None:
        run_count, seed, sampling = run_count or study[0], study[1] if seed is None else seed, study[2]
    with pools_kept():  # one for all that it asks, and for its pictures
        with session.mistakes_of(name), session.refusals():
            session.warn(name, loaded)
            compared = [] if no_compare else _plans(loaded, plans, each) if plans else None
            with session.progress(workers=workers, announced=True) as advance:
                context = RunContext(
                    runs=run_count or RUNS,
                    deadline=deadline,
                    sampling=sampling,
                    seed=seed,
                    workers=workers,
                    cluster=cluster,
                    folder=folder,
                    progress=advance,
                    tell=say,
                )
                result = ask(loaded, context, Asked(each, measures, compared, grid))
            with session.progress(workers=1) as advance:
                made = _make_answer(result, folder, lambda done, total: advance(done, total + _PAGES, _STEPS))
        _put(made, as_json)
        _write(made, file, force)
    _end(result, folder)


def _scenario_or_study(given: str | None, units: str | None) -> tuple[str, Scenario, Path, tuple[int, int, str] | None]:
    """Return the scenario, what it goes by, the folder of its runs, and of a study that is kept: runs, seed and sampling."""
    from simulation.chance import HYPERCUBE

    path = Path(given or "")
    if given is None or not (path.is_dir() or (path.name.isdecimal() and path.parent.is_dir() and not path.is_file())):
        name, loaded = session.load(given, units)
        return name, loaded, folder_of(name, None), None
    from simulation.replicate import Store
    from simulation.replicate.repeating import find_study, read_manifest

    with session.refusals(), session.mistakes_of(given):
        folder, number = find_study(given)
        with Store(folder, reading=True) as store:
            kept = read_manifest(store, folder, number, "write the brief")
        loaded = kept.scenario(session.units_of(units))
    sampling, runs = kept.identity.sampling, max(1, kept.runs)
    if sampling != "random":
        runs = max(HYPERCUBE, runs - runs % HYPERCUBE)
    return f"{folder}/{kept.number}", loaded, folder_of(given, folder), (runs, kept.identity.seed, sampling)


def _plans(scenario: Scenario, asked: Sequence[str], each: int) -> list[tuple[str, Scenario]]:
    """Return the plans that were asked for, the scenario as written first, or say what is wrong with them."""
    from simulation.scenario import read_team, read_variation
    from simulation.study.changes.variations import variations

    with session.mistakes_in_option("--compare"):
        changes = [read_variation(text) for text in asked if "=" in text]
        teams = [read_team(team) for text in asked if "=" not in text for team in text.split(",")]
        return variations(scenario, changes, teams, run_count=each)


def _make_answer(result: BriefResult, folder: Path, progress: Callable[[int, int], None]) -> Answer:
    from simulation.questions.brief.answer import brief_answer
    from simulation.questions.conditions.study import SEASONS, losses_of
    from simulation.questions.forecast.drawn.figures import forecast_pictures, plan_of, s_curve_picture

    forecast = result.forecast
    pictures = (s_curve_picture(forecast), *forecast_pictures(forecast), plan_of(forecast.scenario))
    return brief_answer(result, pictures, folder, losses_of(forecast, SEASONS, progress))


def _put(made: Answer, as_json: bool) -> None:
    """Write the record, or the answers of the first page, to standard output."""
    from simulation.present.answer import Text
    from simulation.present.renderers.record import answer_record
    from simulation.present.renderers.record import as_json as as_json_text

    if as_json:
        put(as_json_text(answer_record(made)) + "\n")
        return
    lines = [made.title, *made.warnings]
    lines += [block.text for part in made.pages[0].parts for block in part.blocks if isinstance(block, Text) and block.strong]
    put(session.text_of(lambda console: console.print("\n".join(lines))))


def _write(made: Answer, file: Path, force: bool) -> None:
    from simulation.questions.brief.files import write_brief

    try:
        with session.progress(workers=1) as advance:
            written = write_brief(made, file, force, lambda done, total: advance(_PAGES * done // total, _PAGES, _STEPS))
        say(f"brief in {written}")
    except OSError as error:
        stop(f"--out: {file} cannot be written ({error.strerror or error}); make room, or name another file{kept_line()}")


def _end(result: BriefResult, folder: Path) -> None:
    """End with the code that fits, and say what a brief that was stopped goes without."""
    from simulation.present.pictures.figure import listed

    if result.stopped:
        missing = f"without {listed(result.missing)}; " if result.missing else ""
        say(f"{result.stopped}: {missing}the runs done are kept in {folder}; the same command goes on from there")
        raise typer.Exit(STOPPED)
