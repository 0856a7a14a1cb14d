"""The order as a person reads it: what every area takes, all of it with spares, by which rule, and on how many pallets."""

from __future__ import annotations

from string import ascii_lowercase
from typing import TYPE_CHECKING

from simulation.report import wording
from simulation.report.sections import print_section, table_of

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from simulation.field import TakeOff

POUNDS_PER_SHORT_TON = 2000.0


def print_order(quantities: TakeOff, console: Console) -> None:
    """Print what is ordered by area and in total, and its pallets."""
    order = quantities.ordered
    rules = dict(zip(dict.fromkeys(line.rule for line in order.lines), _letters(), strict=False))
    notes = [f"{letter}: {rule}." for rule, letter in rules.items()]
    print_section(console, "Everything that is ordered, and the rule behind each count", _lines(quantities, rules), *notes)
    print_section(console, "Pallets and yard", _pallets(quantities), yard_in_words(quantities))


def _letters() -> list[str]:
    return [*ascii_lowercase, *(2 * letter for letter in ascii_lowercase)]


def _lines(quantities: TakeOff, rules: dict[str, str]) -> Table:
    table = table_of("item", "needed", "ordered", "lb", "rule")
    for area in dict.fromkeys(one.area for one in quantities.ordered.by_area):
        table.add_row(area or "for the crews", style="bold")
        for one in quantities.ordered.by_area:
            if one.area == area:
                table.add_row(f"  {one.item}", wording.number(one.count), "", "", rules[one.rule])
    table.add_section()
    table.add_row("field, with spares", style="bold")
    for line in quantities.ordered.lines:
        counts = (line.need, line.order, line.mass)
        table.add_row(f"  {line.item}", *(wording.number(count) for count in counts), rules[line.rule])
    return table


def _pallets(quantities: TakeOff) -> Table:
    table = table_of("pallets of", "pallets", "gross lb")
    order = quantities.ordered
    for group in order.pallets:
        table.add_row(group.what, wording.number(group.pallets), wording.number(group.mass))
    table.add_section()
    table.add_row("all", wording.number(order.total_pallets), wording.number(order.mass))
    return table


def yard_in_words(quantities: TakeOff) -> str:
    """Return how much all pallets weigh, and what ground they would stand on."""
    order = quantities.ordered
    return (
        f"{wording.number(order.mass / POUNDS_PER_SHORT_TON)} short tons. All at once in the yard they stand in "
        f"{order.stacks:,} stacks on {wording.number(order.yard)} sq ft, aisles included (planning values: [storage])."
    )


def order_rows(quantities: TakeOff) -> list[dict[str, object]]:
    """Return the order as rows of a table: what each area needs, then the field with spares; pounds are of what is ordered."""
    order = quantities.ordered
    rows: list[dict[str, object]] = [
        {"area": one.area or "crews", "item": one.item, "needed": one.count, "ordered": "", "lb": "", "rule": one.rule}
        for one in order.by_area
    ]
    rows += [
        {
            "area": "field",
            "item": line.item,
            "needed": line.need,
            "ordered": line.order,
            "lb": round(line.mass, 3),
            "rule": line.rule,
        }
        for line in order.lines
    ]
    return rows
