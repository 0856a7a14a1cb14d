"""When did each task of a run begin and end, and where did the lengths come to lie that milestones ask for?"""

from __future__ import annotations

import math

from simulation.construction.plan.plan import Plan
from simulation.construction.plan.steps import ACTOR, END, KIND, NUMBER, START, TASK
from simulation.construction.running import Finished


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
    return tuple(
        f"usable.{plan.milestones[plan.gates[gate].milestone].name}.{what}"
        for gate, _ in _lengths(plan)
        for what in ("from", "to")
    )


def measure_lengths(run: Finished) -> tuple[float, ...]:
    """Return the stations between which each length lay that a milestone asks for, when it first did."""
    opened, plan = run.site.opened, run.site.plan
    return tuple(row * plan.depth for gate, _ in _lengths(plan) for row in opened.get(gate, (math.inf, math.inf)))


def _lengths(plan: Plan) -> list[tuple[int, int]]:
    """Return the gates that wait for a length, and its area, in the order of the gates."""
    return sorted((gate, number) for number, area in enumerate(plan.areas) for _, gate in area.wanted)
