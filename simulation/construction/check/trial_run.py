"""What shows only when a sound scenario is built once? Crews too large or without an edge, and a horizon that the job outruns."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from simulation.construction.check.idle_edges import idle_edges
from simulation.construction.site.edges.rowtime import RowLuck, best_split, row_hours
from simulation.construction.trace.chain import hours_by_cause
from simulation.construction.trace.once import Run, run_once
from simulation.construction.trace.outrun import last_under_way
from simulation.scenario import Mistake, ScenarioError, vary
from simulation.scenario.types.change import Change
from simulation.scenario.types.mistakes import step_name

if TYPE_CHECKING:
    from simulation.construction.plan.plan import AreaPlan, Plan
    from simulation.scenario import Scenario

#: A crew is called too large where this share of it would do: less is a matter of taste. Planning value.
_SHARE = 0.75
#: Row times that differ by less are as good as the same.
_ALIKE = 1.001
#: Hours by which a run must be ready sooner for a crew to be said to lay elsewhere. Planning value.
_SOONER = 1.0


def trial_warnings(scenario: Scenario) -> tuple[float, list[Mistake]]:
    """Return when one drawn run is ready, and what of a sound scenario its planner should look at again after it.

    Parameters
    ----------
    scenario : Scenario

    Returns
    -------
    float
        Hours from the start of run 0; infinite after the last day simulated.
    list of Mistake

    Raises
    ------
    ScenarioError
        If the scenario cannot finish.
    """
    run = run_once(scenario)
    plan = run.finished.site.plan
    hours = run.milestones[plan.milestones[plan.ready].name]
    mistakes: list[Mistake] = []
    if not scenario.takes_up:
        mistakes.extend(_too_large(scenario, plan))
        mistakes.extend(_idle(scenario, run))
    if math.isinf(hours):
        mistakes.append(Mistake("horizon", _outrun(run), "write a later one, or look at what takes so long"))
    return hours, mistakes


def _outrun(run: Run) -> str:
    """Return how far a run came that its horizon outran, and what took most of its hours."""
    done, plan = run.finished, run.finished.site.plan
    causes = hours_by_cause(last_under_way(done), done, plan.horizon)
    longest = sorted(((hours, cause) for cause, hours in causes.items() if hours > 0), reverse=True)[:2]
    words = " and ".join(f"{cause} for {hours:,.0f} h" for hours, cause in longest)
    left = run.record["left.share of field"]
    ready = "ready" if plan.take_up is None else "done"
    share = "no row" if left <= 0.0 else "less than 1 % of the field" if left < 0.01 else f"{100 * left:.0f} % of the field"
    line = f"the first drawn run is not {ready} within {plan.horizon / 24:,.6g} days: {share} is left"
    return f"{line}, and the longest of what held it up is {words}" if words else line


def _idle(scenario: Scenario, run: Run) -> Iterator[Mistake]:
    """Yield areas that nobody lays while a crew has no laying edge, where this run is ready sooner if that crew may lay them."""
    plan = run.finished.site.plan
    ready = plan.milestones[plan.ready].name
    for idle in idle_edges(scenario, run.finished):
        crew, area = scenario.crew[idle.crew], scenario.area[idle.area].name
        key = f"crew.{step_name(crew.name)}.areas"
        try:
            more = vary(scenario, [Change(key, json.dumps([*crew.areas, area]))])
        except ScenarioError:  # it may not lay there: who merges, for one, keeps the hours of whoever lays there
            continue
        sooner = run.milestones[ready] - run_once(more).milestones[ready]
        if sooner >= _SOONER:
            gain = f"this run is then ready {sooner:,.0f} h sooner" if math.isfinite(sooner) else "this run is then ready"
            wrong = f"{area} stands idle for {idle.hours:,.0f} h in which {crew.name} is on shift and has no laying edge"
            yield Mistake(key, wrong, f"add {json.dumps(area)}: {gain}")


def _too_large(scenario: Scenario, plan: Plan) -> Iterator[Mistake]:
    laying = scenario.laying
    parts = (laying.pick_up, laying.place, laying.lock, laying.open_pallet, laying.efficiency)
    luck = RowLuck(*(part.mean for part in parts))
    for crew in plan.crews:
        enough = max(_enough(crew.people, plan.areas[area], plan, luck) for area in crew.areas)
        if enough <= _SHARE * crew.people:
            wrong = (
                f"{enough} of its {crew.people} people would lay every row as fast: one laying edge has no room for more at once"
            )
            yield Mistake(f"crew.{crew.name}.people", wrong, "write fewer, or two crews on two laying edges")


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
