"""When did tasks, and areas beside them, begin and end in a run, and where did the lengths lie that milestones ask for?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from operator import itemgetter

from simulation.construction.plan.plan import Plan
from simulation.construction.plan.plan_parts import FollowPlan
from simulation.construction.plan.steps import (
    ACTOR,
    EDGE,
    END,
    KIND,
    NUMBER,
    OF_LAYING,
    ROW,
    START,
    TASK,
    WORK,
)
from simulation.construction.running import Finished
from simulation.construction.site.edges.laying_edge import Area
from simulation.construction.trace.links import clock_of

#: Percent of an area's rows whose times are kept, where a milestone asks for a length of it.
PARTS = tuple(range(10, 101, 10))


def task_columns(plan: Plan) -> tuple[str, ...]:
    """Return the names of what `measure_tasks` returns; none where there is no task."""
    tasks = [f"task.{work.name}" for work in plan.follows if work.kind == TASK]
    areas = [f"area.{area.name}" for area in plan.areas] if tasks else []
    return tuple(f"{name}.{what}" for name in (*tasks, *areas) for what in ("begins", "ends"))


def measure_tasks(run: Finished) -> tuple[float, ...]:
    """Return when each task, and the laying of each area, began and ended, in hours since the start; infinite where it did not.

    Of what was begun before the moment at which a run begins, the beginning is that of what was left of it.
    """
    site = run.site
    if not site.gangs:
        return ()
    begins: dict[int, float] = {}
    ends: dict[int, float] = {}
    steps = {actor: len(task.counts) for actor, task in list_tasks(run).items()}
    for step in site.trace:
        if step[KIND] == TASK:
            begins.setdefault(step[ACTOR], step[START])
            if step[NUMBER] == steps[step[ACTOR]] and step[END] <= site.env.now:
                ends[step[ACTOR]] = step[END]
    state, first = site.plan.state, len(site.plan.follows) - len(steps)  # tasks stand behind what follows rows
    for number, actor in enumerate(steps, first):
        if state is not None and state.is_done(number, steps[actor]):
            begins[actor] = ends[actor] = state.at
    of_tasks = (moments.get(actor, math.inf) for actor in steps for moments in (begins, ends))
    return (*of_tasks, *_measure_areas(run))


def _measure_areas(run: Finished) -> Iterator[float]:
    """Yield when crews began on each area, and when its last row was laid and checked."""
    site, over = run.site, run.site.env.now
    begins = [math.inf] * len(site.plan.areas)
    ends = [0.0] * len(site.plan.areas)
    for step in site.trace:
        if step[KIND] in OF_LAYING and step[START] <= over:
            number = site.plan.edges[step[EDGE]].area
            begins[number] = min(begins[number], step[START])
            ends[number] = max(ends[number], step[END])
    state = site.plan.state
    for number, area in enumerate(site.areas):
        if area.finished and math.isinf(begins[number]) and state is not None:  # all of it lay when the run began
            yield from (state.at, state.at)
        else:
            yield begins[number]
            yield ends[number] if area.finished else math.inf


def gang_columns(plan: Plan) -> tuple[str, ...]:
    """Return the names of what `measure_gangs` returns; none where there is no task."""
    return tuple(f"use.gang {gang.name}.{what}" for gang in plan.gangs_of_tasks for what in ("on shift", "working"))


def measure_gangs(run: Finished, until: float) -> Iterator[float]:
    """Yield the hours that each gang could work up to a moment, and those that it did: where its tasks are stopped by
    different weather, what the least of it leaves. People of a crew could work at tasks for as long as they were lent.
    """
    site, plan = run.site, run.site.plan
    if not site.gangs:
        return
    tasks = list_tasks(run)
    spent = [0.0] * len(plan.gangs_of_tasks)
    for step in site.trace:
        if step[KIND] == TASK and step[START] < until:
            clock = clock_of(step, site.clocks)
            worked = step[WORK] if step[END] <= until or clock is None else clock.worked(step[START], until)
            spent[tasks[step[ACTOR]].gang or 0] += worked
    for number, gang in enumerate(plan.gangs_of_tasks):
        clocks = {task.clock or "laying" for task in tasks.values() if task.gang == number}
        since = min(max(gang.since, site.zero[END]), until)
        yield spent[number] if gang.crew is not None else max(site.clocks[clock].worked(since, until) for clock in clocks)
        yield spent[number]


def list_tasks(run: Finished) -> dict[int, FollowPlan]:
    """Return the tasks of a run by the number of the actor that does each."""
    actors = (number for number, actor in enumerate(run.actors) if actor.kind == "following")
    return {actor: task for actor, task in zip(actors, run.site.plan.follows, strict=True) if task.kind == TASK}


def length_columns(plan: Plan) -> tuple[str, ...]:
    """Return the names of what `measure_lengths` returns; none where no milestone asks for a length."""
    return (*_stations_of(plan), *(f"length.{area.name}.{part}" for area in plan.areas if area.wanted for part in PARTS))


def _stations_of(plan: Plan) -> tuple[str, ...]:
    return tuple(
        f"usable.{plan.milestones[plan.gates[gate].milestone].name}.{what}"
        for gate, _ in _lengths(plan)
        for what in ("from", "to")
    )


def measure_lengths(run: Finished) -> tuple[float, ...]:
    """Return the stations between which each length lay that a milestone asks for, when it first did; and of each such area when
    each of `PARTS` of its length lay without a gap.
    """
    opened, plan = run.site.gates.opened, run.site.plan
    stations = (row * plan.depth for gate, _ in _lengths(plan) for row in opened.get(gate, (math.inf, math.inf)))
    return (*stations, *(hour for area in run.site.areas if area.plan.wanted for hour in _growth(run, area)))


def _growth(run: Finished, area: Area) -> list[float]:
    """Return when each of `PARTS` of an area's rows lay without a gap."""
    site, edges = run.site, {edge.index for edge in area.edges} or set(area.plan.edges)
    laid = {edge: 0 if site.plan.state is None else site.plan.state.edges[edge].laid for edge in edges}
    began = rows = sum(laid.values())
    due = [math.ceil(area.plan.rows * part / 100.0 - 1e-9) for part in PARTS]
    times = [site.zero[END] for part in due if part <= began]
    for step in sorted((step for step in site.trace if step[KIND] == ROW and step[EDGE] in edges), key=itemgetter(END)):
        rows += max(0, step[NUMBER] - laid[step[EDGE]])
        laid[step[EDGE]] = max(laid[step[EDGE]], step[NUMBER])
        while len(times) < len(due) and due[len(times)] <= rows and step[END] <= site.env.now:
            times.append(step[END])
    return [*times, *[math.inf] * (len(due) - len(times))]


def _lengths(plan: Plan) -> list[tuple[int, int]]:
    """Return the gates that wait for a length, and its area, in the order of the gates."""
    return sorted((gate, number) for number, area in enumerate(plan.areas) for _, gate in area.wanted)
