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
    """Close the area in window after window, from its first use on; in one in which nobody flies yet, from when they do."""
    yield site.flying.begun
    edges = site.areas[plan.area].edges
    for low, high in plan.spans:
        if high <= site.env.now:
            continue
        if low > site.env.now:
            yield site.env.timeout(low - site.env.now)
        since, flown = site.env.now, True
        while site.env.now < high:
            if flown == site.flying.idle:  # nobody flies, or somebody does again
                flown = not flown
                site.flying.change()
            if flown:
                since = site.env.now
                for edge in edges:
                    edge.closed = edge.under_flight(driving=True)
            else:
                _open(site, board, plan, since, actor)
            yield site.flying.until_turned(high)
        if not flown:
            site.flying.change()  # the next one may hold
        _open(site, board, plan, since, actor)


def _open(site: Site, board: Board, plan: FlyingPlan, since: float, actor: int) -> None:
    """Call back those who were sent away from the area that has been closed since a moment, or would have been."""
    edges = site.areas[plan.area].edges
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
