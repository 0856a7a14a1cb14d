"""The take-off as a person reads it: quantities by area, and the pallets that cover them."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from simulation.report import wording
from simulation.report.book_tables import book_record, book_table
from simulation.report.ground_tables import print_ground
from simulation.report.order_tables import POUNDS_PER_SHORT_TON, print_order
from simulation.report.sections import print_section, table_of

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from simulation.field import TakeOff
    from simulation.scenario import Scenario


def print_take_off(title: str, quantities: TakeOff, console: Console, scenario: Scenario | None = None) -> None:
    """Print the take-off of a field; with its scenario, what people and machines would take by the book as well."""
    console.print(f"{title}: take-off", style="bold")
    print_section(console, "Quantities", _areas(quantities), *_ramps(quantities))
    title = "Pallets without spares: full and half mats must each be covered"
    print_section(console, title, _pallets(quantities), *_order(quantities))
    print_order(quantities, console)
    print_ground(quantities, console)
    if scenario is not None:
        print_section(
            console, "By the book, beside the simulation: no supply, no weather, no spread", book_table(scenario, quantities)
        )


def _areas(quantities: TakeOff) -> Table:
    table = table_of("area", "ft × ft", "sq ft", "rows", "full", "half", "joints", "key strips")
    for area in quantities.areas:
        strips = wording.number(area.key_strips + area.starter_key_strips)
        size = f"{area.length:g} × {area.width:g}"
        counts = (area.square_feet, area.rows, area.full, area.half, area.joints)
        table.add_row(area.name, size, *(wording.number(count) for count in counts), strips)
    table.add_section()
    totals = ("square_feet", "rows", "full", "half", "joints")
    strips_of_all = quantities.total("key_strips") + quantities.total("starter_key_strips")
    table.add_row("field", "", *(wording.number(quantities.total(name)) for name in totals), wording.number(strips_of_all))
    return table


def _ramps(quantities: TakeOff) -> list[str]:
    ramps = [f"{area.ramp_rows} of {area.name}" for area in quantities.areas if area.ramp_rows]
    starters = [area.name for area in quantities.areas if area.starter_key_strips]
    notes = ["Full and half are mats; an end joint takes one locking bar."]
    if ramps:
        notes.append(f"Rows inside end ramps: {', '.join(ramps)}.")
    if starters:
        notes.append(f"One of the key strips is the starter key strip: {', '.join(starters)}.")
    return notes


def _pallets(quantities: TakeOff) -> Table:
    table = table_of("", "pallets", "governed by", "full mats over", "half mats over")
    needs = [(f"{area.name}, alone", area.alone) for area in quantities.areas]
    for name, need in [*needs, ("field", quantities.need)]:
        over = (wording.number(need.surplus_full), wording.number(need.surplus_half))
        table.add_row(name, wording.number(need.pallets), need.governed_by, *over)
    return table


def _order(quantities: TakeOff) -> list[str]:
    spares = quantities.comes - quantities.need.pallets
    return [
        f"By square feet alone it would be {quantities.by_area_alone:,.1f} pallets, which covers the need only where the widths "
        "use a pallet's own mix.",
        f"Order with spares: {wording.number(quantities.order.pallets)} pallets. To come: {wording.number(quantities.comes)}, "
        f"{wording.number(abs(spares))} {'more' if spares >= 0 else 'fewer'} than the field needs.",
        f"Gross mass of what comes: {wording.number(quantities.mass)} lb "
        f"({wording.number(quantities.mass / POUNDS_PER_SHORT_TON)} short tons).",
    ]


def take_off_record(title: str, quantities: TakeOff, scenario: Scenario | None = None) -> dict[str, Any]:
    """Return the take-off as one JSON object; lengths in feet, mass in pounds; with its scenario, what it takes by the book."""
    record = {"scenario": title, **asdict(quantities)}
    return record if scenario is None else record | {"by_the_book": book_record(scenario, quantities)}
