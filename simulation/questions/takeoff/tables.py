"""The take-off as a person reads it: quantities by area, and the pallets that cover them."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from simulation.present import wording
from simulation.present.pallet_words import parts_of, planned_in_words
from simulation.present.record_units import TAKE_OFF_UNITS
from simulation.present.terminal_table import new_table, print_section, terms
from simulation.questions.forecast.handbook_tables import book_record, book_table
from simulation.questions.takeoff.ground_tables import print_ground
from simulation.questions.takeoff.order_tables import print_order

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from simulation.field import TakeOff
    from simulation.scenario import Scenario


def print_take_off(title: str, quantities: TakeOff, console: Console, scenario: Scenario | None = None) -> None:
    """Print the take-off of a field; with its scenario, what people and machines would take by the handbook as well."""
    console.print(f"{title}: take-off", style="bold")
    print_section(console, "Pallets to order", _to_order(quantities), planned_in_words(quantities), *_mass(quantities))
    print_section(console, "Quantities", _areas(quantities), *_ramps(quantities))
    if quantities.snapped:
        print_section(console, "Lengths that are read as whole rows or mats", _read_as(quantities))
    title = "Of these, the mats that the field needs: full and half mats must each be covered"
    print_section(console, title, _pallets(quantities), *_by_area(quantities))
    print_order(quantities, console)
    print_ground(quantities, console)
    if scenario is not None:
        print_section(
            console, "By the book, beside the simulation: no supply, no weather, no spread", book_table(scenario, quantities)
        )


def _areas(quantities: TakeOff) -> Table:
    told = quantities.told
    by = f"{told.length.name} × {told.length.name}"
    table = new_table("area", by, told.area.name, "rows", "full", "half", "joints", "key\nstrips")
    for area in quantities.areas:
        strips = wording.number(area.key_strips + area.starter_key_strips)
        size = f"{told.length.short(area.length)} × {told.length.short(area.width)}"
        counts = (told.area.of(area.square_feet), area.rows, area.full, area.half, area.joints)
        table.add_row(area.name, size, *(wording.number(count) for count in counts), strips)
    table.add_section()
    totals = ("rows", "full", "half", "joints")
    strips_of_all = quantities.total("key_strips") + quantities.total("starter_key_strips")
    counts_of_all = (wording.number(quantities.total(name)) for name in totals)
    field = told.area.number(quantities.total("square_feet"))
    table.add_row("field", "", field, *counts_of_all, wording.number(strips_of_all))
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
    table = new_table("", "pallets", "governed by", "full mats over", "half mats over")
    needs = [(f"{area.name}, alone", area.alone) for area in quantities.areas]
    for name, need in [*needs, ("field", quantities.need)]:
        over = (wording.number(need.surplus_full), wording.number(need.surplus_half))
        table.add_row(name, wording.number(need.pallets), need.governed_by, *over)
    return table


def _by_area(quantities: TakeOff) -> list[str]:
    return [
        f"By area alone the need would be {quantities.by_area_alone:,.1f} pallets, which covers it only where the widths use a "
        "pallet's own mix."
    ]


def _to_order(quantities: TakeOff) -> Table:
    """Return the sum of pallets."""
    table = new_table("of", "pallets")
    for what, count in parts_of(quantities.to_order):
        table.add_row(what, wording.number(count))
    table.add_section()
    table.add_row("to order", wording.number(quantities.to_order.total))
    return table


def _mass(quantities: TakeOff) -> list[str]:
    told, order = quantities.told, quantities.ordered
    return [
        f"Gross mass of all that is ordered: {told.mass.rounded(order.mass)} ({told.tons.rounded(order.mass)}); of the mats that "
        f"are planned: {told.mass.rounded(quantities.mass)} ({told.tons.rounded(quantities.mass)})."
    ]


def _read_as(quantities: TakeOff) -> Table:
    table = terms()
    for one in quantities.snapped:
        table.add_row(one.key, one.told(quantities.told))
    return table


def take_off_record(title: str, quantities: TakeOff, scenario: Scenario | None = None) -> dict[str, Any]:
    """Return the take-off as one JSON object, whatever its words are told in; with its scenario, what it takes by the
    handbook.
    """
    record = {"scenario": title, "units": TAKE_OFF_UNITS, **asdict(quantities)}
    record["told_in"] = record.pop("told")["system"]
    sums = quantities.to_order
    record["to_order"] |= {"total": sums.total, "mats": sums.mats, "planned": sums.planned, "planned_more_than_mats": sums.more}
    return record if scenario is None else record | {"by_the_book": book_record(scenario, quantities)}
