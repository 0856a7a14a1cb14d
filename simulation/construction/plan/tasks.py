"""From a scenario to its tasks: who does them, by which clock, in how many steps, and which gates they wait for and open."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

from simulation.conditions import closed_spans, task_clock
from simulation.construction.plan.plan import MilestonePlan
from simulation.construction.plan.plan_parts import FlyingPlan, FollowPlan, GangPlan
from simulation.construction.plan.steps import TASK
from simulation.scenario.tables.tasks import FROM_CREW
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
    """Return the gangs of a scenario, the own gangs of tasks that name none, in the order of the tasks, and crews that lend
    people, in theirs.
    """
    named = [GangPlan(gang.name, gang.people, gang.since, gang.shift is not None) for gang in scenario.gang]
    own = [GangPlan(task.name, task.people or task.team, 0.0, False) for task in scenario.task if task.gang is None]
    lent = [
        GangPlan(f"{FROM_CREW}{crew.name}", crew.people, crew.since, crew.shift is not None, number)
        for number, crew in enumerate(scenario.crew)
        if crew.name in {task.lender for task in scenario.task}
    ]
    return (*named, *own, *lent)


def milestone_plans(scenario: Scenario) -> tuple[MilestonePlan, ...]:
    """Return the milestones of a scenario, with their areas and those where temporary ends stand."""
    number = {area.name: number for number, area in enumerate(scenario.area)}
    return tuple(
        MilestonePlan(
            milestone.name,
            milestone.closing,
            tuple(number[name] for name in milestone.where),
            tuple(number[name] for name in scenario.temporary_ends_of(milestone)),
        )
        for milestone in scenario.milestones
    )


def flying_plan(scenario: Scenario, gates: dict[int, int]) -> FlyingPlan | None:
    """Return when and where an area is closed for flying; None where it never is. `gates` are those of usable lengths."""
    flying = scenario.flying
    if scenario.flown is None or not flying.closes:
        return None
    milestones, areas = ([block.name for block in blocks] for blocks in (scenario.milestones, scenario.area))
    number, area = milestones.index(str(flying.since)), areas.index(scenario.flown)
    stretch, usable = scenario.milestones[number].stretch, scenario.milestones[number].usable
    depth, rows = scenario.mat.row_depth, (0, round(scenario.area[area].length / scenario.mat.row_depth))
    if stretch is not None and stretch.area == scenario.flown:
        rows = math.floor(stretch.start / depth + 1e-9), math.ceil(stretch.to / depth - 1e-9)
    return FlyingPlan(
        number,
        area,
        rows,
        gates[number] if usable is not None and usable.area == scenario.flown else None,
        tuple(closed_spans(scenario)),
        flying.clear_before,
        flying.clear_after,
        math.inf if flying.stand_back is None else flying.stand_back / depth,
        scenario.forklifts.drive_on == "rows",
    )


def place_of(scenario: Scenario, task: Task) -> str | None:
    """Return the area at which a task is done; None beside the field."""
    return task.area or next((name for name, _, _ in stretches_needed(scenario, task)), None)


def stretches_needed(scenario: Scenario, task: Task) -> Iterator[tuple[str, float, float]]:
    """Yield the area and the stations of each stretch that a task needs."""
    lengths, depth = {area.name: area.length for area in scenario.area}, scenario.mat.row_depth
    for need in task.after:
        if need.area is not None:
            if need.row is not None:
                yield need.area, (need.row - 1) * depth, need.row * depth
            else:
                yield need.area, need.start or 0.0, lengths[need.area] if need.to is None else need.to


def other_needs(scenario: Scenario, task: Task) -> int:
    """Return how many things besides rows a task waits for."""
    tasks = sum(need.task is not None for need in task.after)
    others = (begins_after(scenario, task) > 0.0, task.comes is not None, loads_needed(task) > 0)
    return tasks + sum(others) + len(shipments_needed(scenario, task))


def begins_after(scenario: Scenario, task: Task) -> float:
    """Return the hours after the start before which a task does not begin."""
    dates = (need.date for need in task.after if need.date is not None)
    return max([task.since, *((date - scenario.starts).total_seconds() / 3600.0 for date in dates)])


def loads_needed(task: Task) -> int:
    """Return the last of the loads that a task waits for, counted as they are unloaded; 0 where it waits for none."""
    return max((need.load for need in task.after if need.load is not None), default=0)


def shipments_needed(scenario: Scenario, task: Task) -> tuple[int, ...]:
    """Return the places of the shipments that a task waits for."""
    named = {need.shipment for need in task.after if need.shipment is not None}
    return tuple(number for number, shipment in enumerate(scenario.supply.shipments) if shipment.name in named)


def task_plans(scenario: Scenario) -> list[FollowPlan]:
    """Return the tasks in the order of the scenario, without the gates that they open."""
    areas = {area.name: number for number, area in enumerate(scenario.area)}
    gangs, lengths = (
        {block.name: n for n, block in enumerate(scenario.gang)},
        {block.name: block.length for block in scenario.area},
    )
    lent = {gang.name: n for n, gang in enumerate(gang_plans(scenario)) if gang.crew is not None}
    own, plans = len(gangs), []
    for number, task in enumerate(scenario.task):
        if task.gang is None:
            gang, people, own = own, task.people or task.team, own + 1
        elif task.lender is not None:
            gang, people = lent[task.gang], task.people or task.team
        else:
            gang, people = gangs[task.gang], scenario.gang[gangs[task.gang]].people
        teams = people // task.team
        of_step = teams * math.ceil(task.pieces / teams / MOST_STEPS)
        counts = (*(of_step,) * (task.pieces // of_step), *([task.pieces % of_step] if task.pieces % of_step else []))
        where = place_of(scenario, task)
        of_area = (stretch for stretch in stretches_needed(scenario, task) if stretch[0] == where)
        first = None if where is None else next(of_area, (where, 0.0, lengths[where]))
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
                people=people,
                since=begins_after(scenario, task),
                comes=None if task.comes is None else f"{task_key(task)}.comes",
                load=loads_needed(task),
                shipments=shipments_needed(scenario, task),
            )
        )
    return plans
