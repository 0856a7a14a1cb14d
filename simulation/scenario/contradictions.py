"""Which parts of a scenario, each well written, cannot be true together?"""

from __future__ import annotations

import math
from collections.abc import Iterator

from simulation.scenario.ground import Area
from simulation.scenario.mistakes import Mistake, did_you_mean
from simulation.scenario.scenario import Scenario
from simulation.scenario.uncertain import Constant, Lognormal, Pert, Records, Uncertain


def contradictions(scenario: Scenario) -> list[Mistake]:
    """Return every contradiction, in the order in which a planner reads the file."""
    found: list[Mistake] = []
    for rule in (_names, _sizes, _starts, _junctions, _crews, _shares, _supply, _milestones):
        found.extend(rule(scenario))
    return found


def _names(scenario: Scenario) -> Iterator[Mistake]:
    for kind, names in (
        ("area", [area.name for area in scenario.area]),
        ("crew", [crew.name for crew in scenario.crew]),
        ("milestone", [milestone.name for milestone in scenario.milestone]),
    ):
        for name in sorted({name for name in names if names.count(name) > 1}):
            yield Mistake(f"{kind}.{name}", f"{names.count(name)} {kind}s bear this name", "give each its own")
    areas = {area.name for area in scenario.area}
    used: list[tuple[str, str]] = [(f"crew.{crew.name}.areas", name) for crew in scenario.crew for name in crew.areas]
    used += [(f"milestone.{one.name}.areas", name) for one in scenario.milestone for name in one.areas]
    used += [(f"milestone.{one.name}.stretch.area", one.stretch.area) for one in scenario.milestone if one.stretch]
    used += [(f"area.{area.name}.joins.area", area.joins.area) for area in scenario.area if area.joins]
    if scenario.supply.yard:
        used.append(("supply.yard.area", scenario.supply.yard.area))
    for key, name in used:
        if name not in areas:
            yield Mistake(key, f'there is no area "{name}"', did_you_mean(name, areas))


def _sizes(scenario: Scenario) -> Iterator[Mistake]:
    mat = scenario.mat
    for area in scenario.area:
        for key, size, module, what in (
            ("width", area.width, mat.half, "half mats"),
            ("length", area.length, mat.row_depth, "rows"),
        ):
            count = size / module
            if abs(count - round(count)) > 1e-6:
                near = [whole * module for whole in (math.floor(count), math.ceil(count)) if whole]
                nearest = " and ".join(f'"{value:g} ft"' for value in near)
                yield Mistake(
                    f"area.{area.name}.{key}",
                    f"{size:g} ft is no whole number of {what} ({module:g} ft)",
                    f"the nearest are {nearest}",
                )
        if area.end_ramps and area.length < 20 * mat.row_depth:
            yield Mistake(
                f"area.{area.name}.end_ramps",
                f"{area.length:g} ft is too short for two end ramps",
                f"write a length of at least {20 * mat.row_depth:g} ft, or end_ramps = false",
            )
        if area.key_strips_every < mat.row_depth:
            yield Mistake(
                f"area.{area.name}.key_strips_every",
                "key strips would stand closer than rows",
                f"write at least {mat.row_depth:g} ft",
            )


def _starts(scenario: Scenario) -> Iterator[Mistake]:
    for area in scenario.area:
        if area.guide_rail and area.start == "centre-out":
            yield Mistake(
                f"area.{area.name}.start",
                "a starter key strip is never used together with a guide rail (NAVEDTRA 14251 ch. 11)",
                'write start = "one-end" or guide_rail = false',
            )
        elif area.guide_rail:
            yield Mistake(
                f"area.{area.name}.guide_rail",
                "this version does not lay guide rails",
                "leave the key out to forecast the area without one",
            )
        if area.start == "centre-out" and "start_from" in area.model_fields_set:
            yield Mistake(
                f"area.{area.name}.from",
                "a centre-out start has no end to begin from",
                'leave it out, or write start = "one-end"',
            )
        if area.start == "centre-out" and area.length < 2 * scenario.mat.row_depth:
            yield Mistake(
                f"area.{area.name}.start", "one row cannot be laid from its centre outwards", 'write start = "one-end"'
            )


def _junctions(scenario: Scenario) -> Iterator[Mistake]:
    by_name = {area.name: area for area in scenario.area}
    for area in scenario.area:
        if area.joins is None or area.joins.area not in by_name:
            continue
        key, other = f"area.{area.name}.joins", by_name[area.joins.area]
        if area.name in _forebears(area, by_name):
            yield Mistake(
                key,
                "the junctions run in a ring, so none of these areas could ever open",
                "let one of them join nothing",
            )
            continue
        if area.joins.station is not None and not 0 <= area.joins.station <= other.length:
            yield Mistake(
                f"{key}.station",
                f"{area.joins.station:g} ft lies outside {other.name}",
                f'write "0 ft" to "{other.length:g} ft"',
            )
        if not 0 <= area.joins.at <= area.length:
            yield Mistake(
                f"{key}.at", f"{area.joins.at:g} ft lies outside {area.name}", f'write "0 ft" to "{area.length:g} ft"'
            )


def _forebears(area: Area, by_name: dict[str, Area]) -> list[str]:
    names: list[str] = []
    while area.joins is not None and area.joins.area in by_name and area.joins.area not in names:
        names.append(area.joins.area)
        area = by_name[area.joins.area]
    return names


def _crews(scenario: Scenario) -> Iterator[Mistake]:
    laying = scenario.laying
    least = laying.overhead + laying.team_size + 1
    for crew in scenario.crew:
        if crew.people < least:
            yield Mistake(
                f"crew.{crew.name}.people",
                f"{crew.people} are too few to carry a mat: {laying.overhead} are "
                f"overhead, a team is {laying.team_size} and one locks",
                f"write at least {least}",
            )
        for name in sorted({name for name in crew.areas if crew.areas.count(name) > 1}):
            yield Mistake(f"crew.{crew.name}.areas", f'"{name}" stands in the list twice', "write each area once")
    worked = {name for crew in scenario.crew for name in crew.areas}
    for area in scenario.area:
        if area.name not in worked:
            yield Mistake(f"area.{area.name}", "no crew works this area", "add it to the areas of a crew")


def _shares(scenario: Scenario) -> Iterator[Mistake]:
    for key, share in (
        ("laying.efficiency", scenario.laying.efficiency),
        ("laying.damaged_mats", scenario.laying.damaged_mats),
    ):
        highest = _highest(share)
        if highest > 1 or (key == "laying.damaged_mats" and highest > 0.5):
            limit = 1 if key == "laying.efficiency" else 0.5
            yield Mistake(key, "can rise above what a share can be", f"write low, mode and high up to {limit}")
        if share.scatter:
            yield Mistake(f"{key}.scatter", "a share has no scatter here", "leave it out")
    if _lowest(scenario.laying.efficiency) <= 0:
        yield Mistake("laying.efficiency", "can fall to zero, and a row would never end", "write a low above 0")
    if _lowest(scenario.grading.rate) <= 0:
        yield Mistake("grading.rate", "can fall to zero, and the ground would never be ready", "write a low above 0")
    breakdowns = scenario.forklifts.breakdown_every
    if _lowest(breakdowns) <= 0:
        yield Mistake(
            "forklifts.breakdown_every", "can fall to zero, and a forklift would never work", "write a low above 0"
        )
    if _lowest(scenario.laying.place) <= 0:
        yield Mistake("laying.place", "can fall to zero, and a row would take no time", "write a low above 0")


def _highest(quantity: Uncertain) -> float:
    match quantity.level:
        case Constant(value):
            return value
        case Pert(high=high):
            return high
        case Lognormal():
            return math.inf
        case Records(values):
            return values[-1]


def _lowest(quantity: Uncertain) -> float:
    match quantity.level:
        case Constant(value):
            return value
        case Pert(low=low):
            return low
        case Lognormal(p10=p10):
            return p10
        case Records(values):
            return values[0]


def _supply(scenario: Scenario) -> Iterator[Mistake]:
    supply = scenario.supply
    comes = bool(supply.trucks or supply.flights)
    if not comes and supply.total is not None and supply.total > supply.on_hand:
        yield Mistake(
            "supply",
            f"{supply.total - supply.on_hand} pallets are to come, but nothing brings them",
            "add [[supply.trucks]] or [[supply.flights]], or raise on_hand",
        )
    if supply.total is not None and supply.total < supply.on_hand:
        yield Mistake(
            "supply.total",
            f"{supply.total} is less than the {supply.on_hand} on hand, which it includes",
            f"write at least {supply.on_hand}",
        )
    loads = [fleet.pallets for fleet in (*supply.trucks, *supply.flights)]
    if supply.per_day_limit is not None and loads and supply.per_day_limit < max(loads):
        yield Mistake(
            "supply.per_day_limit",
            f"{supply.per_day_limit} pallets a day let no load of {max(loads)} through",
            f"write at least {max(loads)}",
        )


def _milestones(scenario: Scenario) -> Iterator[Mistake]:
    ready = [milestone.name for milestone in scenario.milestone if milestone.ready]
    if len(scenario.milestone) > 1 and len(ready) != 1:
        yield Mistake("milestone", f"{len(ready)} milestones say ready = true", "let exactly one say it")
    for milestone in scenario.milestone:
        stretch = milestone.stretch
        area = next((area for area in scenario.area if stretch and area.name == stretch.area), None)
        if stretch and area and not 0 <= stretch.start < stretch.to <= area.length:
            yield Mistake(
                f"milestone.{milestone.name}.stretch",
                f"{stretch.start:g} to {stretch.to:g} ft is no stretch of {area.name}",
                f'write from and to between "0 ft" and "{area.length:g} ft"',
            )
