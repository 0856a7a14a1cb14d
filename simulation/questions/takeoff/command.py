"""`keystrip takeoff`, `check`, `trace` and `new`: one scenario, looked at without a forecast."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer

from simulation.questions.forecast.study import MOST_RUNS
from simulation.session import session as talk
from simulation.session.data_option import data_folders


def takeoff(
    scenario: talk.SCENARIO = None,
    units: talk.UNITS = None,
    as_json: talk.JSON = False,
    csv: Annotated[
        Path | None, typer.Option("--csv", metavar="FILE", help="Write the order, by area and in all.", show_default=False)
    ] = None,
    draw: Annotated[
        Path | None,
        typer.Option("--draw", metavar="FILE.svg", help="Draw the field to scale: .svg, .pdf or .png.", show_default=False),
    ] = None,
    detail: Annotated[
        str | None,
        typer.Option(
            "--detail", metavar="AREA:FROM-TO",
            help='Draw this stretch mat by mat instead, such as "runway:0-60": in the units of the answer, or "runway:0-18 m".',
            show_default=False,
        ),
    ] = None,
    force: talk.FORCE = False,
) -> None:  # fmt: skip
    """Count all that the field takes: mats, key strips, rail, ramps, junctions, pallets, loads; draw it to scale."""
    from simulation.field import take_off
    from simulation.present.spreadsheet import format_csv
    from simulation.questions.takeoff.order_tables import order_rows
    from simulation.questions.takeoff.pictures import ENDINGS, save_field
    from simulation.questions.takeoff.tables import print_take_off, take_off_record

    if detail is not None and draw is None:
        talk.stop("--detail: it says what is drawn, and nothing is; name a file with --draw")
    if draw is not None and draw.suffix.lower() not in ENDINGS:
        talk.stop(f"--draw: {draw} has no ending of a picture; write {', '.join(ENDINGS[:-1])} or {ENDINGS[-1]}")
    name, loaded = talk.load(scenario, units)
    for option, file in (("--draw", draw), ("--csv", csv)):
        if file is not None:
            talk.may_write(option, f"takeoff {option}", force, file)
    with talk.mistakes_of(name):
        quantities = take_off(loaded)
        if draw is not None:
            _write("--draw", draw, lambda made: save_field(loaded, made, detail), "takeoff --draw", force)
    if csv is not None:
        text = format_csv(order_rows(quantities))
        _write("--csv", csv, lambda made: made.write_text(text, encoding="utf-8"), "takeoff --csv", force)
    talk.show(
        as_json,
        lambda: take_off_record(loaded.title, quantities, loaded),
        lambda console: print_take_off(loaded.title, quantities, console, loaded),
    )


def _write(option: str, file: Path, write: Callable[[Path], object], command: str, force: bool, said: str = "{} written") -> None:
    from simulation.present.own_files import NotReplaced, write_file

    if not file.parent.is_dir():
        talk.stop(f"{option}: {file} cannot be written: there is no folder {file.parent}; name a file in one that exists")
    try:
        write_file(file, write, command, force)
    except NotReplaced as error:
        talk.stop(f"{option}: {error}")
    except OSError as error:
        talk.stop(f"{option}: {file} cannot be written: {error.strerror or error}; name a file that can be written")
    talk.say(said.format(file))


def check(scenario: talk.SCENARIO = None, units: talk.UNITS = None, as_json: talk.JSON = False) -> None:
    """Say that a scenario is sound, or name every mistake and every warning."""
    from simulation.construction import find_warnings, trial_warnings
    from simulation.questions.check.record import check_record
    from simulation.scenario import Mistake, ScenarioError, load_scenario

    file = talk.file_of(scenario)
    warnings: list[Mistake] = []
    read_as: list[tuple[str, str]] = []
    wrong, hours = None, float("inf")
    try:
        loaded = load_scenario(file, talk.units_of(units), data_folders())
        read_as += [(one.key, one.told(loaded.measures)) for one in loaded.snapped]
        warnings += find_warnings(loaded)
        hours, found = trial_warnings(loaded)
        warnings += found
    except ScenarioError as error:
        wrong = ScenarioError(str(file), error.mistakes)
    if as_json:
        talk.show(
            True, lambda: check_record(str(file), wrong.mistakes if wrong else (), warnings, hours, read_as), lambda _: None
        )
        raise typer.Exit(talk.MISTAKE if wrong else talk.DONE)
    talk.say_warnings(str(file), warnings)
    if wrong is not None:
        talk.refuse(wrong)
    drawn = "" if hours == float("inf") else f"; one drawn run is ready after {hours / 24:.1f} days"
    for key, told in read_as:
        talk.tell(f"{file}: {key}: {told}")
    talk.tell(f"{file}: sound{drawn}")


def trace(
    scenario: talk.SCENARIO = None,
    run_number: Annotated[int, typer.Option("--run", min=0, max=MOST_RUNS - 1, metavar="K", help="Which run.")] = 0,
    seed: talk.SEED = None,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="FILE.csv", help="Default: standard output.", show_default=False)
    ] = None,
    force: talk.FORCE = False,
) -> None:
    """Write every step of one run as CSV; hours since the start."""
    from simulation.construction import run_once
    from simulation.present.spreadsheet import format_frame

    name, loaded = talk.load(scenario)
    if out is not None:
        talk.may_write("--out", "trace", force, out)
    with talk.mistakes_of(name):
        steps = run_once(loaded, run_number=run_number, seed=seed).steps
    if out is None:
        talk.put(format_frame(steps))
        return
    text = format_frame(steps)
    _write("--out", out, lambda made: made.write_text(text, encoding="utf-8"), "trace", force, f"{len(steps)} steps in {{}}")


def new(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Where to write it.", show_default=False)],
    like: Annotated[
        str, typer.Option("--like", metavar="NAME", help="The shipped scenario to start from.")
    ] = "relief_strip",
) -> None:  # fmt: skip
    """Write a commented scenario to start from, and under it every key there is; a file that exists is never overwritten."""
    from simulation.present.own_files import write_new
    from simulation.scenario import shipped, shipped_names
    from simulation.scenario.reading.every_default import every_default
    from simulation.scenario.types.mistakes import did_you_mean, shown

    if like not in shipped_names():
        talk.stop(f"--like: there is no shipped scenario {shown(like)}; {did_you_mean(like, shipped_names())}")
    text = shipped(like).read_text(encoding="utf-8")
    try:
        write_new(file, f"{text.rstrip()}\n\n{every_default()}")
    except FileExistsError:
        talk.stop(f"{file}: exists already and is not overwritten; name another file")
    except OSError as error:
        talk.stop(f"{file}: cannot be written: {error.strerror or error}; name a file in a folder that exists")
    talk.tell(f"{file}: written; keystrip check {file} says whether it is sound")
