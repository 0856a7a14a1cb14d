"""What a run of taking a field up needs to know: sections with their ways to the yard, levels, clocks; made once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.chance import LevelPlan
from simulation.construction.plan.compiling import plan_from_start
from simulation.construction.plan.plan import Plan
from simulation.field import distance, make_rows, place_areas, rail_joints, yard_point
from simulation.field.take_up_sections import TakeUpSection, areas_in_order, list_sections
from simulation.scenario.types.mistakes import Mistake, ScenarioError
from simulation.scenario.types.uncertainty.uncertain import Uncertain

if TYPE_CHECKING:
    from simulation.scenario import Scenario
    from simulation.scenario.tables.repair import Repair
    from simulation.scenario.tables.take_up import TakeUp

#: Points at which a field is opened at once, unless a scenario says it. Planning value.
POINTS = 2


@dataclass(frozen=True)
class SectionPlan:
    """One section: its rows, the feet from its middle to the yard, full and half mats and square feet of each row,
    and sections of rail in it.
    """

    section: TakeUpSection
    away: float
    full: tuple[int, ...]
    half: tuple[int, ...]
    rail: int
    junction: bool
    row_area: float


@dataclass(frozen=True)
class TakeUpPlan:
    """A scenario's take-up.

    Attributes
    ----------
    laying : Plan
        The plan of laying the same field, whose rows, clocks and machines it is.
    take_up, repair : TakeUp, Repair
    points, strips : int
        Where it is open at once, and the key strips of the field.
    sections : tuple of SectionPlan
        In the order in which gangs take them.
    pallet : int
        What a pallet holds, in half mats.
    levels : tuple of LevelPlan
    """

    laying: Plan
    take_up: TakeUp
    repair: Repair
    points: int
    strips: int
    sections: tuple[SectionPlan, ...]
    pallet: int
    levels: tuple[LevelPlan, ...]


def plan_take_up(scenario: Scenario) -> TakeUpPlan:
    """Return the plan of taking a scenario's field up.

    Raises
    ------
    ScenarioError
        If there are more points than key strips, a gang is too small, or the scenario cannot be laid.
    """
    take_up, laying = scenario.take_up, plan_from_start(scenario)
    placed = place_areas(scenario)
    yard = yard_point(scenario, placed)
    areas = {area.name: area for area in scenario.area}
    sections: list[SectionPlan] = []
    strips = 0
    for name in areas_in_order(scenario):
        area, rows = areas[name], make_rows(areas[name], scenario.mat)
        strips += len(rows.key_strips) + (rows.starter is not None)
        mine = list_sections(scenario, area, take_up.direction == "along")
        rails = len(rail_joints(area.rail, area.length, area.rail.seal)) + 1 if area.guide_rail else 0
        for place, section in enumerate(mine):
            middle = sum(section.rows) / len(section.rows)
            share = [round(rails * upto / rows.count) for upto in (min(section.rows), max(section.rows) + 1)]
            sections.append(
                SectionPlan(
                    section,
                    distance(yard, placed[name].point((middle + 0.5) * rows.depth)),
                    tuple(rows.pattern(row).full for row in section.rows),
                    tuple(rows.pattern(row).half for row in section.rows),
                    share[1] - share[0],
                    junction=place == 0 and area.joins is not None,
                    row_area=rows.depth * area.width,
                )
            )
    mistakes = []
    most = max(strips, 1)
    points = take_up.points or min(POINTS, most)
    if points > most:
        wrong = f"{points} points are more than the {strips} key strips of the field"
        mistakes.append(Mistake("take_up.points", wrong, f"write {most} or less"))
    least = scenario.laying.overhead + scenario.laying.team_size + 1
    if take_up.people < least:
        wrong = f"a gang of {take_up.people} has nobody to carry beside its overhead"
        mistakes.append(Mistake("take_up.people", wrong, f"write {least} or more"))
    if mistakes:
        raise ScenarioError(scenario.title, mistakes)
    own = [(f"take_up.{key}", value) for key, value in take_up if isinstance(value, Uncertain)]
    own += [(f"repair.{key}", getattr(scenario.repair, key)) for key in ("take_up", "draw_out", "stuck", "free")]
    levels = (*laying.levels, *(LevelPlan.of(key, value) for key, value in own))
    pallet = 2 * scenario.mat.pallet_full + scenario.mat.pallet_half
    return TakeUpPlan(laying, take_up, scenario.repair, points, most, tuple(sections), pallet, levels)
