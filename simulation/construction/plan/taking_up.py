"""From a plan of laying to that of taking the same field up: its sections, its crews with their handlers, its milestones."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING

from simulation.construction.plan.plan import CrewPlan, Plan
from simulation.construction.plan.supply import shipment_plans
from simulation.construction.plan.take_up_plan import AWAY, IN_YARD, UP, OutPlan, SectionPlan, TakeUpPlan
from simulation.field import make_rows, place_areas, rail_joints, take_off
from simulation.field.order import end_connectors_across, ends_with_connectors
from simulation.field.take_up_sections import TakeUpSection, areas_in_order, list_sections
from simulation.scenario.types.mistakes import Mistake, ScenarioError, block_name

if TYPE_CHECKING:
    from simulation.field import AreaRows
    from simulation.scenario import Scenario
    from simulation.scenario.tables.ground import Area

FEET_PER_MILE = 5280.0
_STAGES = {"up": UP, "in yard": IN_YARD, "away": AWAY}


def plan_job(scenario: Scenario, laying: Plan) -> Plan:
    """Return the plan of a scenario's job: that of laying itself, or that of taking the same field up.

    Parameters
    ----------
    scenario : Scenario
    laying : Plan
        Of laying it: its rows, clocks, machines and levels are those of the take-up.

    Raises
    ------
    ScenarioError
        If there are more points than key strips, or a crew is too small.
    """
    if not scenario.takes_up:
        return laying
    take_up = scenario.take_up
    number = {area.name: index for index, area in enumerate(scenario.area)}
    areas = areas_in_order(scenario)
    sections = tuple(section for name in areas for section in _sections(scenario, laying, number[name]))
    of_areas = (make_rows(scenario.area[number[name]], scenario.mat) for name in areas)
    strips = sum(len(rows.key_strips) + (rows.starter is not None) for rows in of_areas)
    pallet = 2 * scenario.mat.pallet_full + scenario.mat.pallet_half
    least = _least_pallets(scenario, areas, pallet)
    wrong = [*_mistakes(scenario, strips), *_left_behind(scenario, least)]
    if wrong:
        raise ScenarioError(scenario.title, wrong)
    part = TakeUpPlan(
        sections=sections,
        points=take_up.points or min(len(scenario.crew), max(strips, 1)),
        strips=strips,
        slower=scenario.repair.along if take_up.direction == "along" else 1.0,
        pallet=pallet,
        loose=take_up.loose,
        milestones=tuple(
            OutPlan(_STAGES[milestone.when], tuple(number[name] for name in milestone.areas))
            for milestone in scenario.take_up_milestones
        ),
        carry=scenario.laying.team_size * 2.0 * take_up.carry / (scenario.laying.walk * FEET_PER_MILE),
        leaves=scenario.leaves,
        ships=shipment_plans("take_up.shipments", take_up.shipments),
        least=least,
    )
    crews = tuple(half for crew in laying.crews for half in _halves(crew, take_up.handlers_of(crew.people)))
    # What only laying does is not there: no rail gang, no tasks, no holes to be drilled, no flights over a strip in use.
    return replace(
        laying, crews=crews, take_up=part, follows=(), gangs_of_tasks=(), gates=(), rails=(), rail_gang=None, flying=None
    )


def _least_pallets(scenario: Scenario, areas: Sequence[str], pallet: int) -> int:
    """Return how many pallets some areas come up on at the least."""
    up = [area for area in take_off(scenario).areas if area.name in areas]
    full, half = sum(area.full for area in up), sum(area.half for area in up)
    return math.ceil(full / (pallet // 2)) + math.ceil(half / pallet)


def _left_behind(scenario: Scenario, least: int) -> Iterator[Mistake]:
    """Yield a mistake where nothing but ships brings pallets away, and there is too little room on them."""
    ships, supply = scenario.take_up.shipments, scenario.supply
    room = sum(ship.pallets for ship in ships)
    if ships and room < least and not (supply.trucks or supply.flights):
        wrong = f"{room} pallets find room on the ships, at least {least} come up, and nothing else brings any away"
        yield Mistake("take_up.shipments", wrong, "write more pallets, with room for begun ones, or add [[supply.trucks]]")


def _halves(crew: CrewPlan, handlers: int) -> Iterator[CrewPlan]:
    """Yield those of a crew who lift, and those who clean, inspect, sort, stack and band."""
    yield replace(crew, people=crew.people - handlers)
    yield replace(crew, name=f"{crew.name}, handlers", people=handlers, part_of=crew.name)


def _sections(scenario: Scenario, laying: Plan, number: int) -> Iterator[SectionPlan]:
    """Yield the sections of an area in the order in which crews take them."""
    area, rows = scenario.area[number], make_rows(scenario.area[number], scenario.mat)
    joined, ends, across = (
        list(_joined(scenario, number)),
        ends_with_connectors(scenario, area),
        end_connectors_across(scenario, area),
    )
    sections = list_sections(scenario, area, scenario.take_up.direction == "along")
    rails, last_rail = _rail_behind(area, rows, sections)
    for order, section in enumerate(sections):
        index = laying.areas[number].edges[section.part]
        edge = laying.edges[index]
        places = list(map(edge.turn, section.rows))
        yield SectionPlan(
            area=number,
            edge=index,
            rows=section.rows,
            mats=tuple(edge.full[index] + edge.half[index] for index in places),
            away=tuple(edge.travel[index] for index in places),
            strip=section.strip,
            starter=section.starter,
            ramps=section.ramp,
            junction=order == 0 and area.joins is not None,
            tie_downs=area.stands.count * area.stands.tie_downs if order == 0 and area.stands is not None else 0,
            end_connectors=tuple(
                (end, ends.count(end) * across)
                for end, row in (("low", 0), ("high", rows.count - 1))
                if end in ends and row in section.rows
            ),
            after=tuple(other for other, met in joined if not met.isdisjoint(section.rows)),
            order=order,
            rails=tuple(rails[order]),
            seals=len(rails[order]) - (order == last_rail),
        )


def _rail_behind(
    area: Area, rows: AreaRows, sections: Sequence[TakeUpSection]
) -> tuple[list[list[tuple[int, tuple[int, ...]]]], int]:
    """Return which sections of guide rail come up behind each section, and behind which the one that no seal follows.

    One that reaches under the rows of several of them stands behind the latest; with it stand all of them, since it comes up when
    no mat hooks into it any more.
    """
    behind: list[list[tuple[int, tuple[int, ...]]]] = [[] for _ in sections]
    owner = -1
    if not area.guide_rail:
        return behind, owner
    ends = [0.0, *rail_joints(area.rail, area.length, area.rail.seal), area.length]
    of_row = {row: order for order, section in enumerate(sections) for row in section.rows}
    for number, (start, end) in enumerate(pairwise(ends)):
        low, high = (area.length - end, area.length - start) if area.start_from == "high" else (start, end)
        over = {of_row[row] for row in range(rows.row_at(low), max(rows.row_at(low) + 1, rows.rows_to(high)))}
        owner = max(over)
        behind[owner].append((number, tuple(sorted(over))))
    return behind, owner


def _joined(scenario: Scenario, number: int) -> Iterator[tuple[int, frozenset[int]]]:
    """Yield the areas that join an area, each with the rows of it that they meet."""
    area, placed = scenario.area[number], place_areas(scenario)
    rows = make_rows(area, scenario.mat)
    here = placed[area.name]
    for other, joining in enumerate(scenario.area):
        if joining.joins is None or joining.joins.area != area.name:
            continue
        if joining.joins.end is not None:
            yield other, frozenset((0 if joining.joins.end == "low" else rows.count - 1,))
            continue
        (ox, oy), (dx, dy), half = here.origin, here.along, joining.width / 2
        corners = [placed[joining.name].point(at, aside) for at in (0.0, joining.length) for aside in (-half, half)]
        stations = [(x - ox) * dx + (y - oy) * dy for x, y in corners]
        low, high = max(min(stations), 0.0), min(max(stations), area.length)
        yield other, frozenset(range(rows.row_at(low), max(rows.row_at(low) + 1, rows.rows_to(high))))


def _mistakes(scenario: Scenario, strips: int) -> Iterator[Mistake]:
    take_up, laying = scenario.take_up, scenario.laying
    most = max(strips, 1)
    if take_up.points is not None and take_up.points > most:
        wrong = f"{take_up.points} points are more than the {strips} key strips of the field"
        yield Mistake("take_up.points", wrong, f"write {most} or less")
    least = laying.overhead + laying.team_size + 1
    for index, crew in enumerate(scenario.crew):
        handlers = take_up.handlers_of(crew.people)
        if crew.people - handlers < least:
            wrong = f"of {crew.people} people {handlers} are handlers, and the rest has nobody to carry beside its overhead"
            enough = next(people for people in range(least + 1, 10_000) if people - take_up.handlers_of(people) >= least)
            yield Mistake(f"crew.{block_name(index, crew.name)}.people", wrong, f"write {enough} or more for taking up")
