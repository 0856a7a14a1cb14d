"""What did crews on shift do when they did not lay? Closing work, rest while another crew had its turn; the rest is waiting."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections import defaultdict
from operator import itemgetter

from simulation.conditions.clock.work_clocks import ANY_CREW
from simulation.construction.actors.crew import Crew
from simulation.construction.plan.steps import ACTOR, END, FACE, KIND, START, WORK, Step
from simulation.construction.running import Finished
from simulation.construction.site.waits import WHAT, waits_of
from simulation.construction.trace.links import AT_A_FACE

_START = itemgetter(START)


def closing_hours(build: Finished, until: float) -> list[float]:
    """Return the hours of each crew's shift in the closing work of readiness, without those in which it still laid."""
    last = build.site.reached[build.site.plan.ready]
    if last is None:
        return [0.0] * len(build.crews)
    found = []
    late = build.site.trace[bisect_left(build.site.trace, last[START], key=_START) :]
    for crew in build.crews:
        start = max(last[START], crew.plan.since)
        laid = math.fsum(step[WORK] for step in late if step[ACTOR] == crew.number and step[START] >= start)
        ran = build.site.clocks[crew.plan.clock].worked(start, until) if until > start else 0.0
        found.append(max(0.0, ran - laid))
    return found


def rest_in_turn(build: Finished, until: float) -> list[float]:
    """Return the hours of each crew's shift in which it was at a face and another crew worked there."""
    if not any(crew.plan.second == "relief" for crew in build.crews):
        return [0.0] * len(build.crews)
    at_faces: dict[int, list[Step]] = defaultdict(list)
    for step in build.site.trace:
        if step[KIND] in AT_A_FACE:
            at_faces[step[FACE]].append(step)
    return [_rested(crew, at_faces, build, until) for crew in build.crews]


def _rested(crew: Crew, at_faces: dict[int, list[Step]], build: Finished, until: float) -> float:
    clock, hours = build.site.clocks[crew.plan.clock], 0.0
    together = {face for _, face, _, _ in crew.merged}
    for came, face, left in crew.stays:
        if face in together:
            continue
        for step in at_faces[face]:
            start, end = max(step[START], came, crew.plan.since), min(step[END], left, until)
            if start < end and step[ACTOR] != crew.number:
                hours += clock.worked(start, end)
    return hours


def waited_at_faces(build: Finished, until: float) -> list[float]:
    """Return the hours on the crews' shifts that faces waited, all faces together, for each of `WHAT`."""
    clocks = build.site.clocks
    clock = clocks.get(ANY_CREW, clocks["laying"])
    hours = dict.fromkeys(WHAT, 0.0)
    for wait in waits_of(build.site, until):
        if wait.start < until:
            hours[wait.what] += clock.worked(wait.start, wait.end)
    return list(hours.values())
