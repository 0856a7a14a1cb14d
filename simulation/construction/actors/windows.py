"""Flying windows: while an area is flown from, who would carry or set rail to it is sent away, and called back afterwards.

Whoever works there goes by a clock that stands in windows; this is for those who choose what to do next.
"""

from __future__ import annotations

from operator import itemgetter

from simulation.conditions import between_flights
from simulation.construction.plan.plan_parts import FlyingPlan
from simulation.construction.plan.steps import CLOSED, EDGE, END, Step
from simulation.construction.site.event_loop import Process
from simulation.construction.site.pallets.board import Board
from simulation.construction.site.site import Site


def windows(site: Site, board: Board, plan: FlyingPlan, actor: int) -> Process:
    """Close the area in window after window, from its first use on."""
    yield site.flying.begun
    edges = site.areas[plan.area].edges
    for low, high in plan.spans:
        if high <= site.env.now:
            continue
        if low > site.env.now:
            yield site.env.timeout(low - site.env.now)
        since = site.env.now
        for edge in edges:
            edge.closed = edge.under_flight(driving=True)
        yield site.env.timeout(high - since)
        for edge in edges:
            edge.closed = False
        if any(edge.refused for edge in edges):
            step = _window(site, plan, since, actor)
            board.jobs_for_all(step)
            if site.rail_gang is not None:
                site.rail_gang.look(step)
            for edge in edges:
                edge.refused = False


def _window(site: Site, plan: FlyingPlan, since: float, actor: int) -> Step:
    """Write the window that ends now to the trace, from what was done last at its area before it, and return it."""
    edges = {edge.index for edge in site.areas[plan.area].edges}
    reached = site.reached[plan.milestone]
    done = [step for step in site.trace if step[EDGE] in edges and step[END] <= since]
    because = max([*done, *([] if reached is None else [reached])], key=itemgetter(END))
    return site.stood(CLOSED, because, actor, between_flights("forklift"))
