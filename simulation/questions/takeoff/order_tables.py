"""The order as tables: what every area needs, all of it with spares, by which rule, and on how many pallets."""

from __future__ import annotations

from string import ascii_lowercase

from simulation.field import TakeOff
from simulation.field.order import MATS
from simulation.present.answer import Part, Table
from simulation.present.words import wording


def order_parts(quantities: TakeOff) -> tuple[Part, ...]:
    """Return what is ordered by area and in total, and its pallets."""
    return Part.of(_items_table(quantities)), Part.of(_pallets_table(quantities))


def _items_table(quantities: TakeOff) -> Table:
    letters = [*ascii_lowercase, *(2 * letter for letter in ascii_lowercase)]
    rules = dict(zip(dict.fromkeys(line.rule for line in quantities.ordered.lines), letters, strict=False))
    rows: list[tuple[str, ...]] = []
    strong = set()
    for area in dict.fromkeys(need.area for need in quantities.ordered.by_area):
        strong.add(len(rows))
        rows.append((area or "for the crews", "", "", "", ""))
        rows += [
            (f"  {need.item}", wording.number(need.count), "", "", rules[need.rule])
            for need in quantities.ordered.by_area
            if need.area == area
        ]
    ends = {len(rows) - 1}
    strong.add(len(rows))
    rows.append(("field, with spares", "", "", "", ""))
    for line in quantities.ordered.lines:
        counts = (line.need, line.order, quantities.measures.mass.of(line.mass))
        rows.append((f"  {line.item}", *map(wording.number, counts), rules[line.rule]))
    return Table(
        "Everything that is ordered, and the rule behind each count",
        ("item", "needed", "ordered", quantities.measures.mass.name, "rule"),
        tuple(rows),
        notes=(describe_spares(quantities), *(f"{letter}: {rule}." for rule, letter in rules.items())),
        strong=frozenset(strong),
        ends=frozenset(ends),
    )


def _pallets_table(quantities: TakeOff) -> Table:
    mass, order = quantities.measures.mass, quantities.ordered
    rows = [
        (
            f"{group.what}, spares included" if group.what == MATS else group.what,
            wording.number(group.pallets),
            mass.number(group.mass),
        )
        for group in order.pallets
    ]
    return Table(
        "Pallets and yard",
        ("pallets of", "pallets", f"gross {mass.name}"),
        (*rows, ("to order", wording.number(order.total_pallets), mass.number(order.mass))),
        notes=(describe_yard(quantities),),
        ends=frozenset({len(rows) - 1}),
    )


def describe_spares(quantities: TakeOff) -> str:
    """Return by how much more is ordered than is needed."""
    share = f"{100.0 * quantities.ordered.spares:g} %"
    return (
        f"Ordered: mats in whole pallets, spare mats in them; of everything else {share} more than is needed "
        "(accessories.spares), except for what crews work with."
    )


def describe_yard(quantities: TakeOff) -> str:
    """Return how much all pallets weigh, and what ground they would stand on."""
    order, measures = quantities.ordered, quantities.measures
    return (
        f"{measures.tons.rounded(order.mass)}. All at once in the yard they stand in {order.stacks:,} stacks on "
        f"{measures.area.rounded(order.yard)}, aisles included (planning values: [storage])."
    )
