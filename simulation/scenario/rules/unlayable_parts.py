"""Which parts of an area cannot be laid as they are written? Guide rails, end ramps, and the areas that lie beside or between."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from simulation.scenario.tables.ground import Area
from simulation.scenario.tables.scenario import Scenario
from simulation.scenario.types.mistakes import Mistake


def _starter(here: str, area: Area, _: Scenario) -> Iterator[Mistake]:
    if area.guide_rail and area.start == "centre-out":
        yield Mistake(
            f"{here}.start",
            "a starter key strip is never used together with a guide rail (NAVEDTRA 14251 ch. 11)",
            'write start = "one-end", or guide_rail = false',
        )


def _rail_place(here: str, area: Area, scenario: Scenario) -> Iterator[Mistake]:
    if not area.guide_rail:
        if "rail" in area.model_fields_set:
            yield Mistake(f"{here}.rail", "is written, but guide_rail is false", "write guide_rail = true, or leave it out")
        return
    offset, half, unit = area.rail.offset, scenario.mat.half, scenario.measures.length
    halves = round(offset / half)
    most = round(area.width / half) - 1
    if most < 1:
        yield Mistake(f"{here}.guide_rail", "half a mat is too narrow for two lanes", "write guide_rail = false")
    elif offset > area.width - half / 2:
        right = f"write {unit.quoted(half)} to {unit.quoted(most * half)}"
        wrong = f"{unit.text(offset)} lies outside {area.name}, {unit.text(area.width)} wide"
        yield Mistake(f"{here}.rail.offset", wrong, right)
    elif abs(offset - halves * half) > 1e-6 or halves == 0:
        near = sorted({min(max(count, 1), most) for count in (int(offset / half), int(offset / half) + 1)})
        right = "the nearest " + " and ".join(unit.quoted(count * half) for count in near)
        wrong = f"{unit.text(offset)} is off the module of half mats ({unit.text(half)})"
        yield Mistake(f"{here}.rail.offset", wrong, right.replace("nearest", "nearest are" if len(near) > 1 else "nearest is"))


def _rail_joints(here: str, area: Area, scenario: Scenario) -> Iterator[Mistake]:
    least = scenario.mat.row_depth / 2
    if area.guide_rail and area.rail.clearance > least:
        unit = scenario.measures.gap
        wrong = f"{unit.text(area.rail.clearance)} is more than half a row, and no joint can be farther from both its neighbours"
        yield Mistake(f"{here}.rail.clearance", wrong, f"write at most {unit.quoted(least)}")


def _rail_kit(here: str, area: Area, scenario: Scenario) -> Iterator[Mistake]:
    if not area.guide_rail:
        return
    # The next row and its key strip, and a row's depth for creep: with less reach crew and gang would wait for each other.
    needed = scenario.rail_gang.ahead + scenario.key_strips.width + 2 * scenario.mat.row_depth
    reach = area.rail.gauges * area.rail.section
    if reach < needed:
        unit = scenario.measures.length
        wrong = (
            f"with {area.rail.gauges} the rail runs at most {unit.text(reach)} ahead of the mats, and a row waits for "
            f"{unit.text(needed)}"
        )
        right = f"write at least {math.ceil(needed / area.rail.section)}; ten or more are common practice"
        yield Mistake(f"{here}.rail.gauges", wrong, right)


def _ramp(here: str, area: Area, scenario: Scenario) -> Iterator[Mistake]:
    ramp = area.ramp
    if not area.end_ramps:
        if "ramp" in area.model_fields_set:
            yield Mistake(f"{here}.ramp", "is written, but end_ramps is false", "write end_ramps = true, or leave it out")
        return
    if ramp.buried > ramp.rows:
        wrong = f"{ramp.buried} are more than the {ramp.rows} rows in the trench"
        yield Mistake(f"{here}.ramp.buried", wrong, f"write at most {ramp.rows}")
    if ramp.slope is not None and ramp.drop is not None:
        yield Mistake(f"{here}.ramp", "has both slope and drop, and one follows from the other", "write one of the two")
    if ramp.slope is not None and not 0 < ramp.slope < 90:
        right = 'write more than "0 degree" and less than "90 degree"; practice is 15 to 30'
        yield Mistake(f"{here}.ramp.slope", f"a slope of {ramp.slope:.6g} degrees is no ramp", right)
    long = ramp.rows * scenario.mat.row_depth
    if ramp.drop is not None and ramp.drop >= long:
        measures = scenario.measures
        drop = measures.length.text(ramp.drop)
        wrong = f"{drop} is as deep as the {ramp.rows} rows in the trench are long, so they would stand upright"
        right = f"write less; the handbook has {measures.gap.quoted(1.5)} to {measures.gap.quoted(2.0)}"
        yield Mistake(f"{here}.ramp.drop", wrong, right)


def _beside(here: str, area: Area, _: Scenario) -> Iterator[Mistake]:
    if area.joins is not None and area.beside is not None:
        yield Mistake(f"{here}.beside", "joins an area as well, which says where it lies", "write one of the two")


def _meets(here: str, area: Area, _: Scenario) -> Iterator[Mistake]:
    if area.meets is None:
        return
    if area.joins is None or area.joins.at not in (0.0, area.length):
        right = "write joins with at = the low or the high end, or leave meets out"
        yield Mistake(f"{here}.meets", "an area meets another with its far end, and this one joins none with an end", right)
    elif area.meets in (area.name, area.joins.area):
        yield Mistake(f"{here}.meets", f'it cannot meet "{area.meets}" with its far end', "name the area at its other end")


#: Rules for one area; each takes its address, the area and the scenario.
PARTS: tuple[Callable[[str, Area, Scenario], Iterator[Mistake]], ...] = (
    _starter,
    _rail_place,
    _rail_joints,
    _rail_kit,
    _ramp,
    _beside,
    _meets,
)
