"""When did each task of a run begin and end, and where did the lengths come to lie that milestones ask for?"""

from __future__ import annotations

import math
from operator import itemgetter

from simulation.construction.plan.plan import Plan
from simulation.construction.plan.steps import ACTOR, EDGE, END, KIND, NUMBER, ROW, START, TASK
from simulation.construction.running import Finished
from simulation.construction.site.laying_edge import Area

#: Percent of an area's rows whose times are kept, where a milestone asks for a length of it.
PARTS = tuple(range(10, 101, 10))


def task_columns(plan: Plan) -> tuple[str, ...]:
    """Return the names of what `measure_tasks` returns; none where there is no task."""
    return tuple(f"task.{one.name}.{what}" for one in plan.follows if one.kind == TASK for what in ("begins", "ends"))


def measure_tasks(run: Finished) -> tuple[float, ...]:
    """Return when each task began and ended, in hours since the start; infinite where it did not.

    Of a task that was begun before the moment at which a run begins, the beginning is that of what was left of it.
    """
    site = run.site
    if not site.gangs:
        return ()
    begins: dict[int, float] = {}
    ends: dict[int, float] = {}
    actors = [number for number, actor in enumerate(run.actors) if actor.kind == "following"]
    steps = {actor: len(one.counts) for actor, one in zip(actors, site.plan.follows, strict=True) if one.kind == TASK}
    for step in site.trace:
        if step[KIND] == TASK:
            begins.setdefault(step[ACTOR], step[START])
            if step[NUMBER] == steps[step[ACTOR]] and step[END] <= site.env.now:
                ends[step[ACTOR]] = step[END]
    state = site.plan.state
    for place, actor in enumerate(actors):
        if actor in steps and state is not None and state.is_done(place, steps[actor]):
            begins[actor] = ends[actor] = state.at
    return tuple(moments.get(actor, math.inf) for actor in steps for moments in (begins, ends))


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
    opened, plan = run.site.opened, run.site.plan
    stations = (row * plan.depth for gate, _ in _lengths(plan) for row in opened.get(gate, (math.inf, math.inf)))
    return (*stations, *(hour for area in run.site.areas if area.plan.wanted for hour in _growth(run, area)))


def _growth(run: Finished, area: Area) -> list[float]:
    """Return when each of `PARTS` of an area's rows lay without a gap."""
    site, edges = run.site, {edge.index for edge in area.edges} or set(area.plan.edges)
    laid = {edge: 0 if site.plan.state is None else site.plan.state.edges[edge].laid for edge in edges}
    began = sum(laid.values())
    due = [math.ceil(area.plan.rows * part / 100.0 - 1e-9) for part in PARTS]
    times = [site.zero[END] for rows in due if rows <= began]
    for step in sorted((step for step in site.trace if step[KIND] == ROW and step[EDGE] in edges), key=itemgetter(END)):
        laid[step[EDGE]] = max(laid[step[EDGE]], step[NUMBER])
        rows = sum(laid.values())
        while len(times) < len(due) and due[len(times)] <= rows and step[END] <= site.env.now:
            times.append(step[END])
    return [*times, *[math.inf] * (len(due) - len(times))]


def _lengths(plan: Plan) -> list[tuple[int, int]]:
    """Return the gates that wait for a length, and its area, in the order of the gates."""
    return sorted((gate, number) for number, area in enumerate(plan.areas) for _, gate in area.wanted)
