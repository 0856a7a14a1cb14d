"""`keystrip takeoff`: what a field takes, as tables, file and picture."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from simulation.session import session
from simulation.session.asking import Reading, with_reading_options
from simulation.session.lines import stop
from simulation.session.named_output import write_named
from simulation.session.options import FORCE, SCENARIO


@with_reading_options()
def takeoff(
    scenario: SCENARIO = None,
    csv: Annotated[
        Path | None, typer.Option("--csv", metavar="FILE", help="Write the order, by area and in all.")
    ] = None,
    draw: Annotated[
        Path | None,
        typer.Option("--draw", metavar="FILE.svg", help="Draw the field to scale: .svg, .pdf or .png."),
    ] = None,
    detail: Annotated[
        str | None,
        typer.Option(
            "--detail", metavar="AREA:FROM-TO",
            help='Draw this stretch mat by mat instead, such as "runway:0-60": in the units of the answer, or "runway:0-18 m".'
        ),
    ] = None,
    force: FORCE = False,
    *,
    asking: Reading,
) -> None:  # fmt: skip
    """Count all that the field takes: mats, key strips, rail, ramps, junctions, pallets, loads; draw it to scale."""
    from simulation.field import take_off
    from simulation.present.spreadsheet import format_csv
    from simulation.questions.takeoff.answer import takeoff_answer
    from simulation.questions.takeoff.pictures import ENDINGS, save_field
    from simulation.questions.takeoff.record import order_rows

    if detail is not None and draw is None:
        stop("--detail: it says what is drawn, and nothing is; name a file with --draw")
    if draw is not None and draw.suffix.lower() not in ENDINGS:
        stop(f"--draw: {draw} has no ending of a picture; write {', '.join(ENDINGS[:-1])} or {ENDINGS[-1]}")
    name, loaded = asking.load(scenario)
    for option, file in (("--draw", draw), ("--csv", csv)):
        if file is not None:
            session.may_write(option, f"takeoff {option}", force, file)
    with session.mistakes_of(name):
        quantities = take_off(loaded)
        if draw is not None:
            write_named("--draw", draw, lambda made: save_field(loaded, made, detail), "takeoff --draw", force)
    if csv is not None:
        text = format_csv(order_rows(quantities))
        write_named("--csv", csv, lambda made: made.write_text(text, encoding="utf-8"), "takeoff --csv", force)
    asking.show(takeoff_answer(loaded, quantities))
