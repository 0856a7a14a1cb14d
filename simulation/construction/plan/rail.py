"""From a scenario to the plan of its guide rails: which section lets which rows be laid, and waits for which?"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from typing import TYPE_CHECKING

from simulation.construction.plan.plan_parts import RailGangPlan, RailPlan
from simulation.field import AreaRows
from simulation.field.clearance import strips_from_start
from simulation.field.rail import take_off_rail
from simulation.scenario.types.mistakes import step_name

if TYPE_CHECKING:
    from simulation.scenario import Scenario
    from simulation.scenario.tables.ground import Area

#: Feet by which stations that are meant to be the same may differ by rounding.
_ROUNDING = 1e-6


def rail_key(area: Area) -> str:
    """Return the address under which the rail of an area is written."""
    return f"area.{step_name(area.name)}.rail"


def rail_gang_plan(scenario: Scenario) -> RailGangPlan | None:
    """Return the plan of the rail gang, None where no area has a rail."""
    if not any(area.guide_rail for area in scenario.area):
        return None
    return RailGangPlan(scenario.rail_gang.since, scenario.rail_gang.low_spots)


def rail_plan(scenario: Scenario, index: int, rows: AreaRows, edge: int) -> RailPlan | None:
    """Return the plan of the guide rail of an area, None where it has none.

    Parameters
    ----------
    scenario : Scenario
    index : int
        Of the area.
    rows : AreaRows
    edge : int
        The one laying edge of the area: an area with a rail is never laid from its centre outwards.
    """
    area, strip = scenario.area[index], scenario.key_strips.width
    rail = take_off_rail(area, rows, scenario.mat, strip)
    if rail is None:
        return None
    growth = area.rail.creep.mean + area.rail.uneven.mean
    strips = sorted(strips_from_start(area, rows))
    # Where the far edge of each row comes to lie, with the creep that is expected: gangs and crews plan by that.
    fronts = [row * (rows.depth + growth) + bisect_left(strips, row) * strip for row in range(1, rows.count + 1)]
    ends = (*rail.joints, rail.laid)
    reach = [bisect_right(fronts, end - scenario.rail_gang.ahead + _ROUNDING) for end in ends]
    passed = [bisect_left(fronts, joint - _ROUNDING) + 1 for joint in rail.joints]
    kit = area.rail.gauges
    return RailPlan(
        area=index,
        edge=edge,
        key=rail_key(area),
        rows=(*reach[:-1], rows.count),
        ground=tuple(min(bisect_left(fronts, end - _ROUNDING) + 1, rows.count) for end in ends),
        after=tuple(passed[number - kit - 1] if number > kit else 0 for number in range(len(ends))),
        joints=rail.joints,
        depth=rows.depth,
        strip=strip,
        clearance=area.rail.clearance,
        reseat=area.rail.remedy == "re-seating",
    )


def slower_pieces(area: Area, rows: AreaRows) -> tuple[float, float]:
    """Return how many more mats the slower side of a rail counts for while placing, in rows of the first and second pattern.

    Without a rail nothing is slower.
    """
    if rows.rail is None:
        return 0.0, 0.0
    more = area.rail.slower_by - 1.0
    slower: list[float] = []
    for pattern in rows.patterns:
        at, left = 0, 0
        for piece in pattern.pieces:
            left += at < rows.rail
            at += piece
        slower.append(more * (left if area.rail.slower == "left" else len(pattern.pieces) - left))
    return slower[0], slower[1]
