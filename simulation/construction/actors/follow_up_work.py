"""Work beside laying: an end ramp is backfilled, holes for tie-downs are drilled, a task is done by its gang."""

from __future__ import annotations

from itertools import islice

from simulation.chance import draw_factors
from simulation.construction.plan.plan_parts import FollowPlan
from simulation.construction.plan.steps import BACKFILL, KINDS, LATE_START, TASK, Step
from simulation.construction.site.event_loop import Process
from simulation.construction.site.gangs import Gang
from simulation.construction.site.site import Site


def follow(site: Site, plan: FollowPlan, actor: int, because: Step) -> Process:
    """Do work beside laying, step by step, when its gang is free for it, and tell the gates that wait for it."""
    level = site.levels[plan.key]
    if plan.kind == BACKFILL:
        level /= site.levels["grading.efficiency"]
    luck = draw_factors(site.plan.scatters[plan.key], site.streams, plan.key.rpartition(".")[2], plan.owner)
    edge = site.plan.areas[plan.area].edges[0] if plan.area >= 0 else -1
    begin = site.begin if plan.clock is None else site.begin_on(plan.clock)
    area, clock = None if plan.area < 0 else site.areas[plan.area], plan.clock or KINDS[plan.kind].clock or "laying"
    done = 0 if site.plan.state is None else site.plan.state.followed[site.plan.follows.index(plan)]
    gang = None if plan.gang is None or done >= len(plan.counts) else site.gangs[plan.gang]
    if gang is not None:
        because = (yield gang.come(plan.people)) if gang.lacks(plan.people) else gang.take(plan.people, because)
    for number, count in enumerate(plan.counts, 1):
        at_once = min(plan.at_once, count) if plan.kind == TASK else plan.at_once
        pieces = sum(islice(luck, count))
        if number <= done:
            continue
        hours = level * pieces / at_once
        if area is None or site.plan.flying is None:
            because = yield begin(plan.kind, hours, because, actor, edge, number)
        else:
            step = plan.kind, hours, because, actor, edge, number
            because = yield from site.flying.work(area, begin, clock, *step, before=number - 1)
    site.gates.pass_on(plan.gates, because)
    if gang is not None:
        gang.give_back(plan.people, because)


def wait_for(site: Site, kind: int, until: float, gate: int, actor: int) -> Process:
    """Let a gate wait for a moment: when a task may begin, or what it needs is delivered."""
    site.gates.pass_on((gate,), (yield site.pause(kind, max(until, site.env.now), site.zero, actor)))


def come(site: Site, gang: Gang, since: float, actor: int) -> Process:
    """Let a gang that is not there at the start come."""
    people, gang.free = gang.free, 0
    step = yield site.pause(LATE_START, max(since, site.env.now), site.zero, actor)
    gang.free = people
    gang.go_on(step)
