"""Which areas cannot be laid as they are written? Whole rows and half mats, starts, junctions that meet, sizes."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from simulation.scenario.rules.stretches import stretch_within
from simulation.scenario.rules.unlayable_parts import PARTS
from simulation.scenario.tables.ground import Area
from simulation.scenario.tables.scenario import Scenario
from simulation.scenario.types.mistakes import Mistake, block_name
from simulation.scenario.types.quantities.measures import FEET, METRIC, Measures, Unit

#: What one scenario can hold. The largest recovered field on record had 77,000 mats (service news 2011).
MOST_ROWS, MOST_MATS = 200_000, 2_000_000
#: Full mats side by side, all areas together: the widest aprons of the trade have a few hundred.
MOST_ABREAST = 20_000

#: Feet that arithmetic may be off: what was rounded is a whole number already, see `snapping`.
CLOSE_ENOUGH = 1e-6


def too_large(scenario: Scenario) -> Iterator[Mistake]:
    """Tell of a field that no planner means: it would take this program hours and gigabytes to run once."""
    mat = scenario.mat
    sections = [area.length / area.rail.section if area.guide_rail else 0.0 for area in scenario.area]
    rows = [area.length / mat.row_depth for area in scenario.area]
    abreast = [area.width / mat.full for area in scenario.area]
    mats = [area.length * area.width / (mat.row_depth * mat.full) for area in scenario.area]
    for key, counts, most, what in (
        ("length", rows, MOST_ROWS, "rows"),
        ("width", mats, MOST_MATS, "full mats"),
        ("width", abreast, MOST_ABREAST, "full mats side by side"),
        ("rail.section", sections, MOST_ROWS, "sections of rail"),
    ):
        if sum(counts) > most:
            largest = counts.index(max(counts))
            yield Mistake(
                f"area.{block_name(largest, scenario.area[largest].name)}.{key}",
                f"the field would have {sum(counts):,.0f} {what}, more than the {most:,} that one scenario can hold",
                "check the unit, or write a smaller field",
            )


def _whole(key: str, size: float, module: float, what: str, measures: Measures) -> Iterator[Mistake]:
    count = size / module
    if abs(size - round(count) * module) > CLOSE_ENOUGH or round(count) == 0:
        lengths = [whole * module for whole in (math.floor(count), math.ceil(count)) if whole]
        other = FEET if measures.metric else METRIC
        near = [f"{measures.length.quoted(length)} ({other.length.text(length)})" for length in lengths]
        wrong = f"{measures.length.text(size)} is no whole number of {what} ({measures.length.text(module)})"
        yield Mistake(key, wrong, f"the nearest {'are' if len(near) > 1 else 'is'} {' and '.join(near)}")


def _half_mats(here: str, area: Area, scenario: Scenario) -> Iterator[Mistake]:
    yield from _whole(f"{here}.width", area.width, scenario.mat.half, "half mats", scenario.measures)


def _rows(here: str, area: Area, scenario: Scenario) -> Iterator[Mistake]:
    yield from _whole(f"{here}.length", area.length, scenario.mat.row_depth, "rows", scenario.measures)


def _end_ramps(here: str, area: Area, scenario: Scenario) -> Iterator[Mistake]:
    least = 4 * area.ramp.rows * scenario.mat.row_depth
    if area.end_ramps and area.length < least:
        unit = scenario.measures.length
        right = f"write a length of at least {unit.quoted(least)}, or end_ramps = false"
        yield Mistake(f"{here}.end_ramps", f"{unit.text(area.length)} is too short for two end ramps", right)


def _key_strips(here: str, area: Area, scenario: Scenario) -> Iterator[Mistake]:
    least = scenario.mat.row_depth
    zones = [(f"{here}.key_strip_zones.{number}.every", zone.every) for number, zone in enumerate(area.key_strip_zones, start=1)]
    for key, every in ((f"{here}.key_strips_every", area.key_strips_every), *zones):
        if every < least:
            right = f"write at least {scenario.measures.length.quoted(least)}"
            yield Mistake(key, "key strips would stand closer than rows", right)


def _zones(here: str, area: Area, scenario: Scenario) -> Iterator[Mistake]:
    unit = scenario.measures.length
    for number, zone in enumerate(area.key_strip_zones, start=1):
        key = f"{here}.key_strip_zones.{number}"
        yield from stretch_within(key, zone.start, zone.to, area, unit)
        for other, earlier in enumerate(area.key_strip_zones[: number - 1], start=1):
            if max(zone.start, earlier.start) < min(zone.to, earlier.to):
                right = "let each station have one distance between key strips"
                yield Mistake(key, f"lies over key_strip_zones.{other}", right)


def _no_end(here: str, area: Area, _: Scenario) -> Iterator[Mistake]:
    if area.start == "centre-out" and "start_from" in area.model_fields_set:
        right = 'leave it out, or write start = "one-end"'
        yield Mistake(f"{here}.from", "a centre-out start has no end to begin from", right)


def _no_centre(here: str, area: Area, scenario: Scenario) -> Iterator[Mistake]:
    if area.start == "centre-out" and area.length < 2 * scenario.mat.row_depth:
        yield Mistake(f"{here}.start", "one row cannot be laid from its centre outwards", 'write start = "one-end"')


def _one_place(here: str, area: Area, _: Scenario) -> Iterator[Mistake]:
    if area.joins and (area.joins.station is None) == (area.joins.end is None):
        yield Mistake(f"{here}.joins", "has neither or both of station and end", "write one of the two")


def _ring(here: str, area: Area, scenario: Scenario) -> Iterator[Mistake]:
    by_name = {area.name: area for area in scenario.area}
    seen: list[str] = []
    ahead: Area | None = area
    while ahead is not None and (tie := ahead.joins or ahead.beside) is not None and tie.area not in seen:
        seen.append(tie.area)
        ahead = by_name.get(tie.area)
    if area.name in seen and area.joins is not None:
        wrong = "the junctions run in a ring, so none of these areas could ever open"
        yield Mistake(f"{here}.joins", wrong, "let one of them join nothing")
    elif area.name in seen:
        yield Mistake(f"{here}.beside", "lies beside an area that lies by its own place", "let one of them lie beside nothing")


def _station(here: str, area: Area, scenario: Scenario) -> Iterator[Mistake]:
    if area.joins is not None and area.joins.station is not None:
        for other in scenario.area:
            if other.name == area.joins.area:
                yield from _inside(f"{here}.joins.station", area.joins.station, other, scenario.measures.length)


def _at(here: str, area: Area, scenario: Scenario) -> Iterator[Mistake]:
    if area.joins is not None:
        yield from _inside(f"{here}.joins.at", area.joins.at, area, scenario.measures.length)


def _inside(key: str, station: float, area: Area, unit: Unit) -> Iterator[Mistake]:
    if not 0 <= station <= area.length:
        right = f"write {unit.quoted(0.0)} to {unit.quoted(area.length)}"
        yield Mistake(key, f"{unit.text(station)} lies outside {area.name}", right)


#: Rules for one area; each takes its address, the area and the scenario.
UNLAYABLE: tuple[Callable[[str, Area, Scenario], Iterator[Mistake]], ...] = (
    _half_mats,
    _rows,
    _end_ramps,
    _key_strips,
    _zones,
    *PARTS,
    _no_end,
    _no_centre,
    _one_place,
    _ring,
    _station,
    _at,
)
