"""What did crews on shift do when they did not lay? Final sweep, inspection and marking, rest while another crew had its turn;
the rest is waiting.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections import defaultdict
from operator import itemgetter

from simulation.conditions.clock.work_clocks import ANY_CREW
from simulation.construction.actors.crew import Crew
from simulation.construction.plan.steps import ACTOR, AT_AN_EDGE, EDGE, END, KIND, START, WORK, Step
from simulation.construction.running import Finished
from simulation.construction.site.edges.waits import ended_waits, waited_for

_START = itemgetter(START)


def closing_hours(run: Finished, until: float) -> list[float]:
    """Return the hours of each crew's shift in the final sweep, inspection and marking of readiness, without those in which it
    still laid.
    """
    last = run.site.reached[run.site.plan.ready]
    if last is None or run.up is not None:  # nobody sweeps what has gone
        return [0.0] * len(run.crews)
    hours = []
    late = run.site.trace[bisect_left(run.site.trace, last[START], key=_START) :]
    for crew in run.crews:
        start = max(last[START], crew.plan.since)
        laid = math.fsum(step[WORK] for step in late if step[ACTOR] == crew.number and step[START] >= start)
        ran = run.site.clocks[crew.plan.clock].worked(start, until) if until > start else 0.0
        hours.append(max(0.0, ran - laid))
    return hours


def rest_in_turn(run: Finished, until: float) -> list[float]:
    """Return the hours of each crew's shift in which it was at a laying edge and another crew worked there."""
    if run.up is not None or not any(crew.plan.second == "relief" for crew in run.crews):
        return [0.0] * len(run.crews)
    at_edges: dict[int, list[Step]] = defaultdict(list)
    for step in run.site.trace:
        if step[KIND] in AT_AN_EDGE:
            at_edges[step[EDGE]].append(step)
    return [_rested(crew, at_edges, run, until) for crew in run.crews if isinstance(crew, Crew)]


def _rested(crew: Crew, at_edges: dict[int, list[Step]], run: Finished, until: float) -> float:
    clock, hours = run.site.clocks[crew.plan.clock], 0.0
    together = {edge for _, edge, _, _ in crew.merged}
    for came, edge, left in crew.stays:
        if edge in together:
            continue
        steps = at_edges[edge]
        # One step at a time is done at a laying edge, so only the last one that began before the crew came can go on then.
        first = max(bisect_left(steps, came, key=_START) - 1, 0)
        for step in steps[first : bisect_left(steps, min(left, until), first, key=_START)]:
            if step[ACTOR] == crew.number:
                continue
            start, end = max(step[START], came, crew.plan.since), min(step[END], left, until)
            if start < end:
                hours += clock.worked(start, end)
    return hours


def waited_at_edges(run: Finished, until: float) -> list[float]:
    """Return the hours on the crews' shifts that laying edges waited, all laying edges together, for each of `waited_for`."""
    clocks = run.site.clocks
    clock = clocks.get(ANY_CREW, clocks["laying"])
    hours = dict.fromkeys(waited_for(run.site.plan), 0.0)
    if run.up is not None:  # crews and their handlers, each on their own clock
        for (_, what, start, event), party in zip(run.site.waits, run.up.waiters, strict=True):
            end = min(until, event.value[END]) if event.triggered else until
            hours[what] += clocks[party.plan.clock].worked(start, end) if start < end else 0.0
        return list(hours.values())
    for _, what, start, end, _ in ended_waits(run.site, until):
        if start < until:
            hours[what] += clock.worked(start, end)
    return list(hours.values())
