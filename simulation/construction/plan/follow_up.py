"""From a scenario to the work that follows rows before a milestone is closed: backfilling end ramps, drilling for tie-downs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from simulation.construction.plan.plan_parts import FollowPlan
from simulation.construction.plan.steps import BACKFILL, DRILL
from simulation.field import AreaRows
from simulation.scenario.types.mistakes import step_name

if TYPE_CHECKING:
    from simulation.scenario import Scenario
    from simulation.scenario.tables.ground import Area, Milestone


@dataclass
class Followed:
    """Work that follows the rows of an area between two stations, and the gates that it helps to open."""

    area: Area
    low: float
    high: float
    plan: FollowPlan
    of_stretch: bool
    gates: list[int] = field(default_factory=list)

    def belongs_to(self, milestone: Milestone) -> bool:
        """Return whether a milestone is closed only when this is done: of a stretch, where it lies in it."""
        stretch = milestone.stretch
        if stretch is None:
            return self.area.name in milestone.areas
        return self.of_stretch and self.area.name == stretch.area and self.low < stretch.to and self.high > stretch.start


def stands_key(area: Area) -> str:
    """Return the address under which the stands of an area are written."""
    return f"area.{step_name(area.name)}.stands"


def followed(scenario: Scenario, rows: Sequence[AreaRows]) -> list[Followed]:
    """Return the work that follows rows, area by area; nothing where no time is written for it."""
    followed: list[Followed] = []
    for index, (area, its_rows) in enumerate(zip(scenario.area, rows, strict=True)):
        if area.end_ramps and scenario.grading.backfills:
            deep = area.ramp.rows * its_rows.depth
            for side, low, high in (("low", 0.0, deep), ("high", area.length - deep, area.length)):
                owner = f"{area.name}.{side}"
                name, middle = f"backfill, {area.name}, {side} end", (low + high) / 2
                plan = FollowPlan(BACKFILL, index, name, "grading.backfill", owner, (1,), 1, middle)
                followed.append(Followed(area, low, high, plan, of_stretch=True))
        if area.stands is not None and (holes := area.stands.tie_downs * area.stands.holes):
            counts, key = (holes,) * area.stands.count, f"{stands_key(area)}.drill"
            name, middle = f"tie-downs, {area.name}", area.length / 2
            plan = FollowPlan(DRILL, index, name, key, area.name, counts, area.stands.drills, middle)
            followed.append(Followed(area, 0.0, area.length, plan, of_stretch=False))
    return followed
