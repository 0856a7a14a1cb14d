"""`keystrip takeoff`, `check`, `trace` and `new`: one scenario, looked at without a forecast."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from simulation.session import session as talk


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
            talk.write_named("--draw", draw, lambda made: save_field(loaded, made, detail), "takeoff --draw", force)
    if csv is not None:
        text = format_csv(order_rows(quantities))
        talk.write_named("--csv", csv, lambda made: made.write_text(text, encoding="utf-8"), "takeoff --csv", force)
    talk.show(
        as_json,
        lambda: take_off_record(loaded.title, quantities, loaded),
        lambda console: print_take_off(loaded.title, quantities, console, loaded),
    )
