"""The order as a person reads it: what every area takes, all of it with spares, by which rule, and on how many pallets."""

from __future__ import annotations

from string import ascii_lowercase
from typing import TYPE_CHECKING

from simulation.field.order import MATS
from simulation.present import wording
from simulation.present.terminal_table import new_table, print_section

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from simulation.field import TakeOff


def print_order(quantities: TakeOff, console: Console) -> None:
    """Print what is ordered by area and in total, and its pallets."""
    order = quantities.ordered
    rules = dict(zip(dict.fromkeys(line.rule for line in order.lines), _letters(), strict=False))
    notes = [spares_in_words(quantities), *(f"{letter}: {rule}." for rule, letter in rules.items())]
    print_section(console, "Everything that is ordered, and the rule behind each count", _lines(quantities, rules), *notes)
    print_section(console, "Pallets and yard", _pallets(quantities), yard_in_words(quantities))


def _letters() -> list[str]:
    return [*ascii_lowercase, *(2 * letter for letter in ascii_lowercase)]


def _lines(quantities: TakeOff, rules: dict[str, str]) -> Table:
    table = new_table("item", "needed", "ordered", quantities.told.mass.name, "rule")
    for area in dict.fromkeys(one.area for one in quantities.ordered.by_area):
        table.add_row(area or "for the crews", style="bold")
        for one in quantities.ordered.by_area:
            if one.area == area:
                table.add_row(f"  {one.item}", wording.number(one.count), "", "", rules[one.rule])
    table.add_section()
    table.add_row("field, with spares", style="bold")
    for line in quantities.ordered.lines:
        counts = (line.need, line.order, quantities.told.mass.of(line.mass))
        table.add_row(f"  {line.item}", *(wording.number(count) for count in counts), rules[line.rule])
    return table


def _pallets(quantities: TakeOff) -> Table:
    mass = quantities.told.mass
    table = new_table("pallets of", "pallets", f"gross {mass.name}")
    order = quantities.ordered
    for group in order.pallets:
        what = f"{group.what}, spares included" if group.what == MATS else group.what
        table.add_row(what, wording.number(group.pallets), mass.number(group.mass))
    table.add_section()
    table.add_row("to order", wording.number(order.total_pallets), mass.number(order.mass))
    return table


def spares_in_words(quantities: TakeOff) -> str:
    """Return by how much more is ordered than is needed."""
    share = f"{100.0 * quantities.ordered.spares:g} %"
    return (
        f"Ordered: mats in whole pallets, spare mats in them; of everything else {share} more than is needed "
        "(accessories.spares), except for what crews work with."
    )


def yard_in_words(quantities: TakeOff) -> str:
    """Return how much all pallets weigh, and what ground they would stand on."""
    order, told = quantities.ordered, quantities.told
    return (
        f"{told.tons.rounded(order.mass)}. All at once in the yard they stand in {order.stacks:,} stacks on "
        f"{told.area.rounded(order.yard)}, aisles included (planning values: [storage])."
    )


def order_rows(quantities: TakeOff) -> list[dict[str, object]]:
    """Return the order as rows of a table: what each area needs, then the field with spares; the mass is of what is ordered."""
    order, mass = quantities.ordered, quantities.told.mass
    rows: list[dict[str, object]] = [
        {"area": one.area or "crews", "item": one.item, "needed": one.count, "ordered": "", mass.name: "", "rule": one.rule}
        for one in order.by_area
    ]
    rows += [
        {
            "area": "field",
            "item": line.item,
            "needed": line.need,
            "ordered": line.order,
            mass.name: round(mass.of(line.mass), 3),
            "rule": line.rule,
        }
        for line in order.lines
    ]
    return rows
