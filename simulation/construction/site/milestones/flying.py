"""When is work at an area closed for flying, and by which clock does it go there?"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right, insort
from typing import TYPE_CHECKING

from simulation.conditions import between_flights
from simulation.construction.plan.steps import ACTOR, BECAUSE, EDGE, END, KIND, NUMBER, START, WORK, Step
from simulation.construction.site.edges.laying_edge import LayingEdge
from simulation.construction.site.step_factory import Begin

if TYPE_CHECKING:
    from simulation.construction.site.site import Site

#: Hours by which a step may end later before a window counts as having stopped it.
_SLACK = 1e-9


class Flying:
    """Use of an area while it is laid.

    Attributes
    ----------
    begun : Event
        Fired when the area begins to be flown from.
    since : float
        When that was; infinite until then.
    """

    def __init__(self, site: Site) -> None:
        self._site, self.begun, self.since = site, site.env.event(), math.inf
        self._begins: dict[str, Begin] = {}
        self._highs = [high for _, high in site.plan.flying.spans] if site.plan.flying is not None else []

    def begin_with(self, milestone: int) -> None:
        """Let the area be flown from, if that is so from this milestone on, which was just reached."""
        site, plan = self._site, self._site.plan.flying
        if plan is not None and plan.milestone == milestone:
            area = site.areas[plan.area]
            area.flown, area.stand_back, area.driven = True, plan.stand_back, plan.driven
            area.used = plan.rows if plan.gate is None else site.gates.opened.get(plan.gate, plan.rows)
            if not self.begun.triggered:
                self.since = site.env.now
                self.begun.succeed()

    def begin_at(self, edge: LayingEdge, clock: str = "laying") -> Begin:
        """Return what begins steps at a laying edge: between flights where windows close it."""
        return self.between(clock) if self.closes(edge) else self._site.begin

    def closes(self, edge: LayingEdge) -> bool:
        """Return whether windows stop those who lay at a laying edge.

        Where temporary ends are made, those at an open one are away before a window begins, but for what is late; until its end
        stands nobody flies, and they go on with that.
        """
        return edge.under_flight() and (self._site.ends is None or not self._site.ends.in_windows or edge.laid == edge.rows)

    def put_off(self, step: Step, clock: str, number: int) -> Step | None:
        """Return the rest of a step that ends now and was under way when the area began to be flown from, if a window stopped it.

        Nobody knew of the window when it began. In the trace it becomes two: what was done by then, which bears `number` since it
        is not done with, and the rest, by the clock that stands in windows.
        """
        site, since = self._site, self.since
        if not step[START] <= since < step[END]:
            return None
        went, between = site.clocks.own.get(id(step), site.clocks[clock]), site.clocks[between_flights(clock)]
        done = went.worked(step[START], since)
        ends = between.finish(since, step[WORK] - done)
        if ends <= step[END] + _SLACK:
            return None
        index = bisect_left(site.trace, step[START], key=_start)
        while site.trace[index] is not step:
            index += 1
        because = step[BECAUSE]
        site.clocks.own.pop(id(step), None)
        if step[START] < since:
            because = site.trace[index] = (step[START], since, because, done, step[KIND], step[ACTOR], step[EDGE], number)
            site.clocks.own[id(because)] = went
        else:
            del site.trace[index]
        rest: Step = (since, ends, because, step[WORK] - done, step[KIND], step[ACTOR], step[EDGE], step[NUMBER])
        insort(site.trace, rest, key=_start)
        site.clocks.own[id(rest)] = between
        return rest

    def begin_trip(self, edge: LayingEdge, hours: float) -> Begin:
        """Return what begins a forklift's trip to a laying edge: one that ends before the next aircraft comes goes on."""
        return self._site.begin if self.may_drive(edge, hours) else self.between("forklift")

    def may_drive(self, edge: LayingEdge, hours: float) -> bool:
        """Return whether a trip of so many hours to a laying edge ends before the next aircraft comes there, or windows take
        none of its hours.
        """
        site, plan, now = self._site, self._site.plan.flying, self._site.env.now
        if plan is None or not edge.under_flight(driving=True):
            return True
        window = bisect_right(self._highs, now)
        comes = plan.spans[window][0] + plan.clear if window < len(self._highs) else math.inf
        end = site.clocks["forklift"].finish(now, hours)
        return end <= comes or site.clocks[between_flights("forklift")].finish(now, hours) <= end

    def between(self, clock: str) -> Begin:
        """Return what begins steps of work that goes by a clock, at an area that is flown from."""
        begin = self._begins.get(clock)
        if begin is None:
            begin = self._begins[clock] = self._site.begin_on(between_flights(clock))
        return begin


def _start(step: Step) -> float:
    start: float = step[START]
    return start
