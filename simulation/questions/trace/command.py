"""`keystrip trace`: every step of one run as CSV."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from simulation.session import session
from simulation.session.lines import put
from simulation.session.named_output import write_named
from simulation.session.options import FORCE, SCENARIO, SEED
from simulation.study.runner import MOST_RUNS


def trace(
    scenario: SCENARIO = None,
    run_number: Annotated[int, typer.Option("--run", min=0, max=MOST_RUNS - 1, metavar="K", help="Which run.")] = 0,
    seed: SEED = None,
    out: Annotated[Path | None, typer.Option("--out", metavar="FILE.csv", help="Default: standard output.")] = None,
    force: FORCE = False,
) -> None:
    """Write every step of one run as CSV; hours since the start."""
    from simulation.construction import run_once
    from simulation.present.spreadsheet import format_frame

    name, loaded = session.load(scenario)
    if out is not None:
        session.may_write("--out", "trace", force, out)
    with session.mistakes_of(name):
        steps = run_once(loaded, run_number=run_number, seed=seed).steps
    if out is None:
        put(format_frame(steps))
        return
    text = format_frame(steps)
    write_named("--out", out, lambda made: made.write_text(text, encoding="utf-8"), "trace", force, f"{len(steps)} steps in {{}}")
