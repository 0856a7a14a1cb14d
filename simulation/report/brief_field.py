"""What does a brief say of the ground besides counts? The order with its rules, the plan, ramps, junctions, rail, warnings."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from simulation.report import ground_tables, wording
from simulation.report.brief_content import Block, Figure, Part, Points, Table, Text
from simulation.report.brief_risk import of_rich
from simulation.report.pictures import Picture
from simulation.report.plan_picture import describe_plan, draw_plan

if TYPE_CHECKING:
    from simulation.field import TakeOff
    from simulation.scenario import Scenario


def field_parts(scenario: Scenario, quantities: TakeOff) -> tuple[Part, ...]:
    """Return what follows the counts on the page of the take-off; paper has room for the warnings only."""
    plan = Picture("plan", partial(draw_plan, scenario), partial(describe_plan, scenario))
    parts = []
    if quantities.warnings:
        parts.append(Part("To be looked after", (Points(quantities.warnings),)))
    return (
        *parts,
        Part("Everything that is ordered", _order(quantities), on_paper=False),
        Part("The field to scale", (Figure("The field to scale", plan, plan.describe(), False),), on_paper=False),
        *([Part("Ramps, junctions, rail and stands", ground, on_paper=False)] if (ground := _ground(quantities)) else []),
    )


def _order(quantities: TakeOff) -> tuple[Block, ...]:
    order = quantities.ordered
    rows = tuple(
        (line.item, *(wording.number(count) for count in (line.need, line.order, line.mass)), line.rule) for line in order.lines
    )
    pallets = tuple((one.what, wording.number(one.pallets), wording.number(one.mass)) for one in order.pallets)
    whole = ("all", wording.number(order.total_pallets), wording.number(order.mass))
    return (
        Table("The whole field, with spares", ("item", "needed", "ordered", "lb", "rule"), rows, frozenset({4})),
        Table("Pallets", ("pallets of", "pallets", "gross lb"), (*pallets, whole)),
    )


def _ground(quantities: TakeOff) -> tuple[Block, ...]:
    blocks: list[Block] = []
    for area in quantities.areas:
        if area.rail is not None:
            title = f"Guide rail of {area.name}: clearance between joints of mats and rail; feet from where laying begins"
            notes = (*ground_tables.rail_lines(area), *ground_tables.sides_of(area))
            blocks.append(of_rich(ground_tables.clearance_table(area), title, notes))
    ramped = [area for area in quantities.areas if area.ramps is not None]
    if ramped:
        notes = tuple(line for area in ramped for line in ground_tables.earth_of(area))
        blocks.append(of_rich(ground_tables.ramps_table(ramped), "End ramps: both of an area, cubic yards", notes))
    if quantities.junctions:
        blocks.append(of_rich(ground_tables.junctions_table(quantities), "Junctions"))
    if any(area.stands for area in quantities.areas):
        blocks.append(of_rich(ground_tables.stands_table(quantities), "Stands"))
    blocks.append(of_rich(ground_tables.loads_table(quantities), "Loads, if each carrier brought everything alone"))
    blocks += [Text(line) for line in ground_tables.lifting_of(quantities)]
    return tuple(blocks)
