"""What shows only when a sound scenario is built once? Crews larger than a face can use, and a horizon that the job outruns."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from simulation.build.once import build_once
from simulation.build.rowtime import RowLuck, best_split, row_hours
from simulation.chance import mean
from simulation.scenario import Mistake

if TYPE_CHECKING:
    from simulation.build.plan import AreaPlan, Plan
    from simulation.scenario import Scenario

#: A crew is called too large where this share of it would do: less is a matter of taste. Planning value.
_SHARE = 0.75
#: Row times that differ by less are as good as the same.
_ALIKE = 1.001


def second_look(scenario: Scenario) -> tuple[float, list[Mistake]]:
    """Return when one drawn build is ready, and what of a sound scenario its planner should look at again after it.

    Parameters
    ----------
    scenario : Scenario

    Returns
    -------
    float
        Hours from hour zero of build 0; infinite beyond the horizon.
    list of Mistake

    Raises
    ------
    ScenarioError
        If the scenario cannot finish.
    """
    build = build_once(scenario)
    plan = build.finished.site.plan
    hours = build.milestones[plan.milestones[plan.ready].name]
    found = list(_too_large(scenario, plan))
    if math.isinf(hours):
        wrong = f"the first drawn build is not ready within {scenario.horizon:g} hours"
        found.append(Mistake("horizon", wrong, "write a longer one, or check what holds the build up: keystrip forecast says"))
    return hours, found


def _too_large(scenario: Scenario, plan: Plan) -> Iterator[Mistake]:
    laying = scenario.laying
    parts = (laying.pick_up, laying.place, laying.lock, laying.open_pallet, laying.efficiency)
    luck = RowLuck(*(mean(part) for part in parts))
    for crew in plan.crews:
        enough = max(_enough(crew.people, plan.areas[area], plan, luck) for area in crew.areas)
        if enough <= _SHARE * crew.people:
            wrong = f"{enough} of its {crew.people} people would lay every row as fast: one face has no room for more at once"
            yield Mistake(f"crew.{crew.name}.people", wrong, "write fewer, or two crews on two faces")


def _enough(people: int, area: AreaPlan, plan: Plan, luck: RowLuck) -> int:
    """Return the fewest people that lay a pair of an area's rows as fast as so many do."""

    def hours(count: int) -> float:
        pieces, joints = np.array(area.pieces, float), np.array(area.joints, float)
        split, placed = best_split(count, area, plan.laying, luck), pieces + np.array(area.slower)
        return float(row_hours(area, plan.laying, luck, pieces, joints, *split, placed).sum())

    least, goal = plan.laying.overhead + plan.laying.team_size + 1, _ALIKE * hours(people)
    # More people never lay a row more slowly: those left over join the lockers.
    while least < people:
        middle = (least + people) // 2
        least, people = (least, middle) if hours(middle) <= goal else (middle + 1, people)
    return people
