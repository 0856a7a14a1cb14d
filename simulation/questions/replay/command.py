"""`keystrip replay`: one build hour by hour, as a page, a film, or a still of one hour, so that a team can rehearse it."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from simulation.questions.forecast.study import BUILDS, MOST_BUILDS
from simulation.session import session as talk

if TYPE_CHECKING:
    from simulation.construction import Build
    from simulation.questions.forecast.typical_build import Typical
    from simulation.questions.replay.study import Replay
    from simulation.scenario import Scenario


def replay(
    scenario: talk.SCENARIO = None,
    replication: Annotated[
        str,
        typer.Option("--replication", metavar="K", help="Which build: a number, or median or p80, the one nearest to that."),
    ] = "median",
    at: Annotated[
        str | None,
        typer.Option(
            "--at", metavar="T", help='One hour as a still: "3 d 4 h" after hour zero, or 2031-04-05T10:00.', show_default=False
        ),
    ] = None,
    every: Annotated[
        str | None,
        typer.Option("--every", metavar="T", help='From picture to picture, "1 h". Default: by its length.', show_default=False),
    ] = None,
    among: Annotated[
        int, typer.Option("--among", min=1, max=MOST_BUILDS, metavar="N", help="Builds whose median or P80 is meant.")
    ] = BUILDS,
    folder: Annotated[
        Path | None,
        typer.Option("--folder", metavar="DIR", help="Where these are kept. Default: reports/SCENARIO.", show_default=False),
    ] = None,
    units: talk.UNITS = None,
    seed: talk.SEED = None,
    workers: talk.WORKERS = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out",
            metavar="FILE",
            help="Ends in .html, .gif or .mp4; with --at in .png or .svg. Default: in reports/SCENARIO.",
            show_default=False,
        ),
    ] = None,
    force: talk.FORCE = False,
) -> None:
    """Show the field being laid hour by hour, to scale: a page that needs no network, a film, or a still of one hour.

    The build nearest to the median is looked for among those that keystrip forecast keeps, and those that are missing are done.
    A stretch in which nobody is on shift has one picture.
    """
    from simulation.construction import build_once
    from simulation.questions.replay.study import TooMany, end_of, replay_of
    from simulation.questions.replay.words import since

    name, loaded = talk.load(scenario, units)
    number = _number(replication)
    file = _file(name, at, out)
    talk.may_write("--out", "replay", force, file)
    step = None if every is None else _step(every)
    hour = None if at is None else _hour(at, loaded)
    with talk.mistakes_of(name), talk.refusals():
        talk.warn(name, loaded)
        typical = None
        if number is None:
            typical = _typical(loaded, replication.lower(), among, seed, workers, talk.folder_of(name, folder))
            number = typical.replication
        build = build_once(loaded, number, seed)
    if hour is not None and hour > end_of(build) + 1e-6:
        talk.stop(f"--at: {since(hour)} is after the end of replication {number}, {since(end_of(build))}; write an earlier hour")
    chosen = "" if typical is None else typical.words
    try:
        shown = replay_of(loaded, build, step, None if hour is None else [min(hour, end_of(build))], chosen)
    except TooMany as error:
        talk.stop(f'--every: {every} makes {error.frames:,} pictures; write "{math.ceil(60 * error.right)} min" or more')
    _write(shown, file, force)
    talk.put(_answer(shown, build, file, typical))


def _number(replication: str) -> int | None:
    """Return the number of the build that is asked for, or None where it is one by name."""
    from simulation.questions.forecast.typical_build import BY_NAME

    if replication.lower() in BY_NAME:
        return None
    if not (replication.isascii() and replication.isdecimal() and len(replication) < 20 and int(replication) < MOST_BUILDS):
        talk.stop(f"--replication: {replication} is no build; write a number from 0 to {MOST_BUILDS - 1:,}, median or p80")
    return int(replication)


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
        talk.stop(f"--out: {why}")
    return file


def _step(every: str) -> float:
    from simulation.study.asked_hours import NoHour, read_duration

    try:
        step = read_duration(every)
    except NoHour as error:
        talk.stop(f'--every: {error}; write one such as "1 h" or "30 min"')
    if step <= 0.0:
        talk.stop(f'--every: {every} leads nowhere; write a step above zero, such as "1 h"')
    return step


def _hour(at: str, scenario: Scenario) -> float:
    from simulation.questions.forecast.study import calendar_of
    from simulation.study.asked_hours import NoHour, read_hour

    try:
        return read_hour(at, calendar_of(scenario))
    except NoHour as error:
        talk.stop(f'--at: {error}; write hours after hour zero, such as "3 d 4 h", or a local time such as 2031-04-05T10:00')


def _typical(scenario: Scenario, name: str, among: int, seed: int | None, workers: int | None, folder: Path) -> Typical:
    """Return the build that stands for a quantile, from builds that are kept in a folder; those that are missing are done."""
    from simulation.questions.forecast.study import forecast
    from simulation.questions.forecast.typical_build import typical_build

    with talk.progress() as advance:
        answer = forecast(scenario, among, seed, workers, progress=advance, folder=folder, tell=talk.say)
    if answer.run is not None and answer.run.stopped:
        kept = talk.are_kept(answer.replications, folder)
        talk.say(f"{answer.run.stopped}: {kept}; the same command goes on from there")
        raise typer.Exit(talk.STOPPED)
    return typical_build(answer, name)


def _write(shown: Replay, file: Path, force: bool) -> None:
    from simulation.questions.replay.files import FilmError, write_replay

    try:
        with talk.progress() as advance:
            write_replay(shown, file, advance, force)
    except OSError as error:
        talk.stop(f"--out: {file} cannot be written ({error.strerror or error}); name a file that can be{talk.kept_line()}")
    except FilmError as error:
        talk.stop(f"--out: {error}; .html and .gif work without it")


def _answer(shown: Replay, build: Build, file: Path, typical: Typical | None) -> str:
    """Return which build it is, when it reached its milestones, and what the file holds."""
    from simulation.present import wording
    from simulation.questions.replay import words

    why = "" if typical is None else f", {typical.words} ({wording.days(typical.quantile)} days)"
    lines = [f"{shown.scenario.title}: replication {build.replication}{why}"]
    for name, hour in shown.milestones:
        when = f"{words.since(hour)}, {words.moment_of(shown, hour)}" if math.isfinite(hour) else "not reached by the horizon"
        lines.append(f"{name}: {when}")
    if len(shown.frames) > 1:
        lines.append(f"{file}: {len(shown.frames)} pictures, {words.pace(shown)}")
    else:
        lines.append(f"{file}: {words.clock_line(shown, shown.frames[0].hour)}")
    return "\n".join(lines) + "\n"
