"""Work that follows rows: an end ramp is backfilled, holes for tie-downs are drilled; then a milestone may be closed."""

from __future__ import annotations

from collections.abc import Generator
from itertools import islice
from typing import Any

from simulation.chance import draw_factors
from simulation.construction.plan.plan_parts import FollowPlan
from simulation.construction.plan.steps import BACKFILL, Step
from simulation.construction.site.site import Site

Process = Generator[Any, Any, Any]


def follow(site: Site, plan: FollowPlan, actor: int, because: Step) -> Process:
    """Do work that follows rows, step by step, and tell the gates that wait for it."""
    level = site.levels[plan.key]
    if plan.kind == BACKFILL:
        level /= site.levels["grading.efficiency"]
    luck = draw_factors(site.plan.scatters[plan.key], site.streams, plan.key.rpartition(".")[2], plan.owner)
    edge = site.plan.areas[plan.area].edges[0]
    done = 0 if site.plan.state is None else site.plan.state.followed[site.plan.follows.index(plan)]
    for number, count in enumerate(plan.counts, 1):
        if number <= done:
            continue
        hours = level * sum(islice(luck, count)) / plan.at_once
        because = yield site.begin(plan.kind, hours, because, actor, edge, number)
    site.pass_gates(plan.gates, because)
