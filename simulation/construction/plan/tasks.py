"""From a scenario to its tasks: who does them, by which clock, in how many steps, and which gates they wait for and open."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from simulation.conditions import task_clock
from simulation.construction.plan.plan_parts import FollowPlan, GangPlan
from simulation.construction.plan.steps import TASK
from simulation.scenario.types.mistakes import step_name

if TYPE_CHECKING:
    from simulation.scenario import Scenario
    from simulation.scenario.tables.tasks import Task

#: Steps of one task, at most: what is told of it while it is under way. Planning value.
MOST_STEPS = 20


def task_key(task: Task) -> str:
    """Return the address under which a task is written."""
    return f"task.{step_name(task.name)}"


def gang_plans(scenario: Scenario) -> tuple[GangPlan, ...]:
    """Return the gangs of a scenario, and after them the own gangs of tasks that name none, in the order of the tasks."""
    named = [GangPlan(gang.name, gang.people, gang.since, gang.shift is not None) for gang in scenario.gang]
    own = [GangPlan(task.name, task.people or task.team, 0.0, False) for task in scenario.task if task.gang is None]
    return (*named, *own)


def flying_plan(scenario: Scenario) -> tuple[int, int] | None:
    """Return the milestone from which on an area is closed to laying in flying windows, and the area; None without windows."""
    if scenario.flown is None or not scenario.flying.windows:
        return None
    milestones, areas = ([one.name for one in blocks] for blocks in (scenario.milestones, scenario.area))
    return milestones.index(str(scenario.flying.since)), areas.index(scenario.flown)


def stretches_needed(scenario: Scenario, task: Task) -> Iterator[tuple[str, float, float]]:
    """Yield the area and the stations of each stretch that a task needs."""
    lengths, depth = {area.name: area.length for area in scenario.area}, scenario.mat.row_depth
    for need in task.after:
        if need.area is not None:
            if need.row is not None:
                yield need.area, (need.row - 1) * depth, need.row * depth
            else:
                yield need.area, need.start or 0.0, lengths[need.area] if need.to is None else need.to


def other_needs(task: Task) -> int:
    """Return how many things besides rows a task waits for."""
    return sum(need.task is not None for need in task.after) + (task.since > 0.0) + (task.comes is not None)


def task_plans(scenario: Scenario) -> list[FollowPlan]:
    """Return the tasks in the order of the scenario, without the gates that they open."""
    areas = {area.name: number for number, area in enumerate(scenario.area)}
    gangs = {gang.name: number for number, gang in enumerate(scenario.gang)}
    own, plans = len(gangs), []
    for number, task in enumerate(scenario.task):
        if task.gang is None:
            gang, people, own = own, task.people or task.team, own + 1
        else:
            gang, people = gangs[task.gang], scenario.gang[gangs[task.gang]].people
        teams = people // task.team
        of_step = teams * math.ceil(task.pieces / teams / MOST_STEPS)
        counts = (*(of_step,) * (task.pieces // of_step), *([task.pieces % of_step] if task.pieces % of_step else []))
        first = next(stretches_needed(scenario, task), None)
        plans.append(
            FollowPlan(
                TASK,
                -1 if first is None else areas[first[0]],
                task.name,
                f"{task_key(task)}.each",
                task.name,
                counts,
                teams,
                0.0 if first is None else (first[1] + first[2]) / 2,
                clock=task_clock(scenario, number),
                gang=gang,
                since=task.since,
                comes=None if task.comes is None else f"{task_key(task)}.comes",
            )
        )
    return plans
