"""What does a brief say of the ground besides counts? The order with its rules, the plan, ramps, junctions, rail, warnings."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from simulation.field.order import NO_AREA
from simulation.present import wording
from simulation.present.answer import Block, Figure, Part, Points, Table, Terms
from simulation.questions.takeoff.ground_tables import ground_parts
from simulation.questions.takeoff.order_tables import describe_yard

if TYPE_CHECKING:
    from simulation.field import TakeOff


def field_parts(quantities: TakeOff, plan: Figure | None = None) -> tuple[Part, ...]:
    """Return what follows the counts on the page of the take-off.

    Paper has the warnings and the order as a list; the plan only where a page would otherwise end empty.
    """
    parts = []
    if quantities.warnings:
        parts.append(Part("To be looked after", (Points(quantities.warnings),)))
    parts.append(Part("Everything that is ordered", _order(quantities)))
    parts.append(Part("Item by item, and the rule behind each count", (_items(quantities), _by_area(quantities)), on_paper=False))
    if plan is not None:
        parts.append(Part("The field to scale", (replace(plan, on_paper=False, if_room=True),)))
    ground = tuple(block for part in ground_parts(quantities) for block in part.blocks)
    parts.append(Part("Rail, ramps, junctions, stands and loads", ground, on_paper=False))
    return tuple(parts)


def _order(quantities: TakeOff) -> tuple[Block, ...]:
    """Return the order in a few lines: what stands on the pallets of each kind."""
    order = quantities.ordered
    rows = [
        (
            f"{group.what} ({wording.counted(group.pallets, 'pallet')})",
            "; ".join(f"{line.item}: {wording.number(line.order)}" for line in order.lines if line.on == group.what),
        )
        for group in order.pallets
    ]
    whole = f"{wording.counted(order.total_pallets, 'pallet')}, {quantities.told.mass.rounded(order.mass)} gross"
    return (Terms((*rows, ("to order, with spares", f"{whole}, {describe_yard(quantities)}"))),)


def _items(quantities: TakeOff) -> Table:
    mass = quantities.told.mass
    rows = [
        (line.item, *(wording.number(count) for count in (line.need, line.order, mass.of(line.mass))), line.rule)
        for line in quantities.ordered.lines
    ]
    return Table(
        "The whole field; ordered: with spares", ("item", "needed", "ordered", mass.name, "rule"), tuple(rows), frozenset({4})
    )


def _by_area(quantities: TakeOff) -> Table:
    """Return what each area needs of each item."""
    counted = quantities.ordered.by_area
    areas = [one for one in dict.fromkeys(one.area for one in counted) if one != NO_AREA]
    needed = {(one.area, one.item): wording.number(one.count) for one in counted}
    rows = [
        (line.item, *(needed.get((area, line.item), "–") for area in (*areas, NO_AREA)), wording.number(line.need))
        for line in quantities.ordered.lines
    ]
    return Table("Area by area, without spares", ("item", *areas, "crews", "field"), tuple(rows))
