"""What of rail, ramps and junctions is legal, and asks for something to be done before or while mats are laid?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from simulation.field.junctions import MOST_GAP, most_gap
from simulation.field.ramps import HANDBOOK_DROP, PRACTICE_SLOPE, handbook_drop
from simulation.scenario import Mistake
from simulation.scenario.types.mistakes import step_name

if TYPE_CHECKING:
    from simulation.field import AreaTakeOff, Junction, TakeOff
    from simulation.scenario import Scenario
    from simulation.scenario.tables.ground import Area
    from simulation.scenario.types.quantities.measures import Measures

_ROUNDING = 1e-9


def field_warnings(scenario: Scenario, quantities: TakeOff) -> Iterator[Mistake]:
    """Yield a line for each; `keystrip takeoff` says more of every one."""
    measures = scenario.measures
    for area, takeoff in zip(scenario.area, quantities.areas, strict=True):
        yield from _rail(area, takeoff, measures)
        yield from _ramps(area, takeoff, measures)
    for junction in quantities.junctions:
        yield from _gap(junction, measures) if junction.far else _reaching_past(junction)


def _rail(area: Area, takeoff: AreaTakeOff, measures: Measures) -> Iterator[Mistake]:
    if takeoff.rail is None:
        return
    key, rail = f"area.{step_name(area.name)}.rail", takeoff.rail
    used_up = rail.budget[-1].used_up
    if used_up is not None:
        yield Mistake(
            key,
            f"the clearance of {measures.gap.text(area.rail.clearance)} between joints of rail and mats is used up from "
            f"{measures.length.rounded(used_up)} on",
            f"the remedy written for it is {'a short section' if area.rail.remedy == 'short section' else 're-seating'}",
        )
    if rail.sides.beyond is not None:
        most = measures.gap.text(area.rail.sides_within)
        start = f"{measures.length.rounded(rail.sides.beyond)}"
        wrong = f"from {start} on one side lies more than {most} ahead of the other"
        yield Mistake(key, wrong, "re-seat the side that is ahead before then")


def _ramps(area: Area, takeoff: AreaTakeOff, measures: Measures) -> Iterator[Mistake]:
    """Yield where a slope or a drop that somebody wrote is one that the handbook or practice does not have."""
    ramps, ramp = takeoff.ramps, area.ramp
    if ramps is None or (ramp.slope is None and ramp.drop is None):
        return
    by_book = HANDBOOK_DROP[0] - _ROUNDING <= ramps.drop <= HANDBOOK_DROP[1] + _ROUNDING
    by_practice = PRACTICE_SLOPE[0] - _ROUNDING <= ramps.slope <= PRACTICE_SLOPE[1] + _ROUNDING
    key, said = (
        f"area.{step_name(area.name)}.ramp",
        f"{measures.gap.rounded(ramps.drop, 0 if measures.metric else 1)} deep at {ramps.slope:.1f} degrees",
    )
    if not by_book:
        yield Mistake(
            f"{key}.{'drop' if ramp.slope is None else 'slope'}",
            f"the free end lies {said}, not {handbook_drop(measures)} deep (NAVEDTRA 14251 ch. 11)",
            "check it with the mat system's own manual",
        )
    elif not by_practice:
        yield Mistake(
            f"{key}.{'drop' if ramp.slope is None else 'slope'}",
            f"the free end lies {said}, and practice has 15 to 30 degrees",
            "check it with the mat system's own manual",
        )


def _reaching_past(junction: Junction) -> Iterator[Mistake]:
    if junction.warning:
        yield Mistake(f"area.{step_name(junction.area)}.joins", junction.warning, "move the junction, or make the area smaller")


def _gap(junction: Junction, measures: Measures) -> Iterator[Mistake]:
    if junction.gap <= MOST_GAP + _ROUNDING or not junction.contact:
        return
    way = "nearer together" if junction.move < 0 else "farther apart"
    yield Mistake(
        f"area.{step_name(junction.area)}.meets",
        f"a gap of {measures.gap.text(junction.gap)} is left before {junction.other}, more than {most_gap(measures)} "
        "(NAVEDTRA 14251 ch. 11)",
        f"set the two that it joins {measures.gap.text(abs(junction.move))} {way}",
    )
