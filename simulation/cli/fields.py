"""`keystrip takeoff`, `check`, `trace` and `new`: one scenario, looked at without a forecast."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from simulation.cli import talk


def takeoff(scenario: talk.SCENARIO = None, as_json: talk.JSON = False) -> None:
    """Count rows, mats, joints, key strips and pallets of the field."""
    from simulation.field import take_off
    from simulation.report import print_take_off, take_off_record

    name, loaded = talk.load(scenario)
    with talk.mistakes_of(name):
        quantities = take_off(loaded)
    talk.show(
        as_json,
        lambda: take_off_record(loaded.title, quantities),
        lambda console: print_take_off(loaded.title, quantities, console),
    )


def check(scenario: talk.SCENARIO = None) -> None:
    """Say that a scenario is sound, or name every mistake and every warning."""
    from simulation.build import second_look

    name, loaded = talk.load(scenario)
    with talk.mistakes_of(name):
        talk.warn(name, loaded)
        hours, found = second_look(loaded)
    for warning in found:
        typer.echo(f"{name}: warning: {warning}", err=True)
    drawn = "" if hours == float("inf") else f"; one drawn build is ready after {hours / 24:.1f} days"
    typer.echo(f"{name}: sound{drawn}")


def trace(
    scenario: talk.SCENARIO = None,
    replication: Annotated[int, typer.Option("--replication", min=0, metavar="K", help="Which build.")] = 0,
    seed: talk.SEED = None,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="FILE.csv", help="Default: standard output.", show_default=False)
    ] = None,
) -> None:
    """Write every step of one build as CSV; hours since hour zero."""
    from simulation.build import build_once

    name, loaded = talk.load(scenario)
    with talk.mistakes_of(name):
        steps = build_once(loaded, replication=replication, seed=seed).steps
    if out is None:
        talk.put(steps.to_csv(index=False))
        return
    try:
        steps.to_csv(out, index=False)
    except OSError as error:
        talk.stop(f"--out: {out} cannot be written: {error}; name a file that can be written")
    talk.say(f"{len(steps)} steps in {out}")


def new(file: Annotated[Path, typer.Argument(metavar="FILE", help="Where to write it.", show_default=False)]) -> None:
    """Write a commented scenario to start from; a file that exists is never overwritten."""
    from simulation.scenario import shipped

    text = shipped().read_text(encoding="utf-8")
    try:
        with file.open("x", encoding="utf-8") as target:
            target.write(text)
    except FileExistsError:
        talk.stop(f"{file}: exists already and is not overwritten; name another file")
    except OSError as error:
        talk.stop(f"{file}: cannot be written: {error}; name a file in a folder that exists")
    typer.echo(f"{file}: written; keystrip check {file} says whether it is sound")
