"""`keystrip replay`: one run hour by hour, as a page, a film, or a still of one hour, so that a team can rehearse it."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from simulation.session import session
from simulation.session.exit_codes import STOPPED
from simulation.session.kept_runs import folder_of, kept_line
from simulation.session.lines import are_kept, put, say, stop
from simulation.session.options import FORCE, SCENARIO, SEED, UNITS, WORKERS
from simulation.study.run_context import RunContext
from simulation.study.runner import MOST_RUNS, RUNS

if TYPE_CHECKING:
    from simulation.construction import Run
    from simulation.questions.forecast.single_run.typical_run import Typical
    from simulation.questions.replay.study import Replay
    from simulation.scenario import Scenario


def replay(
    scenario: SCENARIO = None,
    run_number: Annotated[
        str,
        typer.Option("--run", metavar="K", help="Which run: a number, or median or p80, the one nearest to that."),
    ] = "median",
    at: Annotated[
        str | None,
        typer.Option("--at", metavar="T", help='One hour as a still: "3 d 4 h" after the start, or 2031-04-05T10:00.'),
    ] = None,
    every: Annotated[
        str | None,
        typer.Option("--every", metavar="T", help='From picture to picture, "1 h". Default: by its length.'),
    ] = None,
    among: Annotated[
        int, typer.Option("--among", min=1, max=MOST_RUNS, metavar="N", help="Runs whose median or P80 is meant.")
    ] = RUNS,
    folder: Annotated[
        Path | None,
        typer.Option("--folder", metavar="DIR", help="Where these are kept. Default: reports/SCENARIO."),
    ] = None,
    units: UNITS = None,
    seed: SEED = None,
    workers: WORKERS = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out", metavar="FILE", help="Ends in .html, .gif or .mp4; with --at in .png or .svg. Default: in reports/SCENARIO."
        ),
    ] = None,
    force: FORCE = False,
) -> None:
    """Show the field being laid hour by hour, to scale: a page that needs no network, a film, or a still of one hour.

    The run nearest to the median is looked for among those that keystrip forecast keeps, and those that are missing are done.
    A stretch in which nobody is on shift has one picture.
    """
    from simulation.construction import run_once
    from simulation.questions.replay.study import TooMany, end_of, make_replay
    from simulation.questions.replay.words import since

    name, loaded = session.load(scenario, units)
    number = _number(run_number)
    file = _file(name, at, out)
    session.may_write("--out", "replay", force, file)
    step = None if every is None else _step(every)
    hour = None if at is None else _hour(at, loaded)
    with session.mistakes_of(name), session.refusals():
        session.warn(name, loaded)
        typical = None
        if number is None:
            typical = _typical(loaded, run_number.lower(), among, seed, workers, folder_of(name, folder))
            number = typical.run_number
        run = run_once(loaded, number, seed)
    if hour is not None and hour > end_of(run) + 1e-6:
        stop(f"--at: {since(hour)} is after the end of run {number}, {since(end_of(run))}; write an earlier hour")
    chosen = "" if typical is None else typical.words
    try:
        shown = make_replay(loaded, run, step, None if hour is None else [min(hour, end_of(run))], chosen)
    except TooMany as error:
        stop(f'--every: {every} makes {error.frames:,} pictures; write "{math.ceil(60 * error.right)} min" or more')
    _write(shown, file, force)
    put(_answer(shown, run, file, typical))


def _number(run_number: str) -> int | None:
    """Return the number of the run that is asked for, or None where it is one by name."""
    from simulation.questions.forecast.single_run.typical_run import BY_NAME

    if run_number.lower() in BY_NAME:
        return None
    if not (run_number.isascii() and run_number.isdecimal() and len(run_number) < 20 and int(run_number) < MOST_RUNS):
        stop(f"--run: {run_number} is no run; write a number from 0 to {MOST_RUNS - 1:,}, median or p80")
    return int(run_number)


def _file(name: str, at: str | None, out: Path | None) -> Path:
    """Return the file to be written, or say why it cannot be, before anything is computed."""
    from simulation.questions.replay.files import STILLS, unable

    file = out or Path("reports") / Path(name).stem / ("replay.html" if at is None else "replay.png")
    why = unable(file)
    if not why and at is None and file.suffix.lower() in STILLS:
        why = f'{file.name} holds one hour; say which, such as --at "3 d 4 h", or write .html, .gif or .mp4'
    if not why and at is not None and file.suffix.lower() not in STILLS:
        why = f"{file.name} holds all hours, and --at is about one; leave --at out, or write {' or '.join(STILLS)}"
    if why:
        stop(f"--out: {why}")
    return file


def _step(every: str) -> float:
    from simulation.study.asked_hours import NoHour, read_duration

    try:
        step = read_duration(every)
    except NoHour as error:
        stop(f'--every: {error}; write one such as "1 h" or "30 min"')
    if step <= 0.0:
        stop(f'--every: {every} leads nowhere; write a step above zero, such as "1 h"')
    return step


def _hour(at: str, scenario: Scenario) -> float:
    from simulation.study.asked_hours import NoHour, read_hour
    from simulation.study.calendar import make_calendar

    try:
        return read_hour(at, make_calendar(scenario))
    except NoHour as error:
        stop(f'--at: {error}; write hours after the start, such as "3 d 4 h", or a local time such as 2031-04-05T10:00')


def _typical(scenario: Scenario, name: str, among: int, seed: int | None, workers: int | None, folder: Path) -> Typical:
    """Return the run that stands for a quantile, from runs that are kept in a folder; those that are missing are done."""
    from simulation.questions.forecast.single_run.typical_run import typical_run
    from simulation.questions.forecast.study import forecast

    with session.progress(workers=workers) as advance:
        answer = forecast(scenario, RunContext(runs=among, seed=seed, workers=workers, progress=advance, folder=folder, tell=say))
    if answer.study is not None and answer.study.stopped:
        kept = are_kept(answer.run_count, folder)
        say(f"{answer.study.stopped}: {kept}; the same command goes on from there")
        raise typer.Exit(STOPPED)
    return typical_run(answer, name)


def _write(shown: Replay, file: Path, force: bool) -> None:
    from simulation.questions.replay.files import FilmError, write_replay

    try:
        with session.progress("pictures", workers=1) as advance:
            write_replay(shown, file, advance, force)
    except OSError as error:
        stop(f"--out: {file} cannot be written ({error.strerror or error}); name a file that can be{kept_line()}")
    except FilmError as error:
        stop(f"--out: {error}; .html and .gif work without it")


def _answer(shown: Replay, run: Run, file: Path, typical: Typical | None) -> str:
    """Return which build it is, when it reached its milestones, and what the file holds."""
    from simulation.present.words import wording
    from simulation.questions.replay import words

    why = "" if typical is None else f", {typical.words} ({wording.days(typical.quantile)} days)"
    lines = [f"{shown.scenario.title}: run {run.run_number}{why}"]
    for name, hour in shown.milestones:
        when = (
            f"{words.since(hour)}, {words.moment_of(shown, hour)}"
            if math.isfinite(hour)
            else "not reached by the last day simulated"
        )
        lines.append(f"{name}: {when}")
    if len(shown.frames) > 1:
        lines.append(f"{file}: {len(shown.frames)} pictures, {words.pace(shown)}")
    else:
        lines.append(f"{file}: {words.clock_line(shown, shown.frames[0].hour)}")
    return "\n".join(lines) + "\n"
