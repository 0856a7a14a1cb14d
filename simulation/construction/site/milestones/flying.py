"""When is work at an area closed for flying, and by which clock does it go there?"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right, insort
from typing import TYPE_CHECKING

from simulation.conditions import between_flights
from simulation.construction.plan.steps import ACTOR, BECAUSE, EDGE, END, KIND, NUMBER, START, WORK, Step
from simulation.construction.site.edges.laying_edge import Area, Event, LayingEdge
from simulation.construction.site.event_loop import Process
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
        self._under_way: list[Event] = []
        self._turned: tuple[Event, bool] | None = None

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
                self.change()

    @property
    def idle(self) -> bool:
        """Whether nobody flies in the window that it is, and it stops nothing: a temporary end does not stand that must."""
        site, plan = self._site, self._site.plan.flying
        ends = site.ends
        if plan is None or ends is None or not ends.in_windows or ends.all_stand(site.areas[plan.area]):
            return False
        window = bisect_right(self._highs, site.env.now)
        return window < len(self._highs) and plan.spans[window][0] <= site.env.now

    def until_turned(self, high: float) -> Event:
        """Return the event of somebody's flying in the window that ends at `high`, or of nobody's any more, or of its end."""
        turned = self._site.env.event()
        self._turned = turned, self.idle
        self._site.start(self._end(turned, high - self._site.env.now))
        return turned

    def look(self) -> None:
        """Let a window hold, or hold no more, because a temporary end stands now or is gone."""
        if self._turned is not None:
            turned, was_idle = self._turned
            if not turned.triggered and self.idle != was_idle:
                turned.succeed()

    def change(self) -> None:
        """Let those who are at work there look anew whether a window holds."""
        under_way, self._under_way = self._under_way, []
        for event in under_way:
            if not event.triggered:
                event.succeed()

    def begin_at(self, edge: LayingEdge, clock: str = "laying") -> Begin:
        """Return what begins steps at a laying edge: between flights where windows close it."""
        return self.between(clock) if self.closes(edge) else self._site.begin

    def work(
        self,
        at: Area | LayingEdge,
        begin: Begin,
        clock: str,
        kind: int,
        hours: float,
        because: Step,
        actor: int,
        edge: int,
        number: int,
        before: int,
    ) -> Process:
        """Do a piece of work at an area, or ahead of a laying edge, between flights where it is flown from.

        Parameters
        ----------
        at : Area or LayingEdge
        begin : callable
            Begins its steps where nobody flies.
        clock : str
            Of these.
        kind, hours, because, actor, edge, number
            Of its step.
        before : int
            Number of a step with which it is not done.

        Returns
        -------
        Step
            Its last one.
        """
        ends = self._site.ends
        while True:
            flown = at.flown if isinstance(at, Area) else at.under_flight()
            start = self.between(clock) if flown and not self.idle else begin
            step = start(kind, hours, because, actor, edge, number)
            if ends is None or not ends.in_windows:
                step = yield step
                flown = at.flown if isinstance(at, Area) else at.under_flight()
                rest = self.put_off(step, clock, before) if flown else None
                return step if rest is None else (yield rest)
            # Nobody knows before a window begins whether anybody flies in it.
            yield self._until_changed(step)
            if self._site.env.now >= step[END] - _SLACK:
                return step
            because, hours = self._cut(step, clock, before, self._site.env.now)

    def _until_changed(self, step: Step) -> Event:
        """Return the event of a step's end, or of a change before it of what windows hold."""
        event = self._site.env.event()
        self._under_way = [other for other in self._under_way if not other.triggered] + [event]
        self._site.start(self._end(event, step[END] - self._site.env.now))
        return event

    def _end(self, event: Event, hours: float) -> Process:
        yield self._site.env.timeout(hours)
        if not event.triggered:
            event.succeed()

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
        ends = between.finish(since, step[WORK] - went.worked(step[START], since))
        if ends <= step[END] + _SLACK:
            return None
        because, hours = self._cut(step, clock, number, since)
        rest: Step = (since, ends, because, hours, step[KIND], step[ACTOR], step[EDGE], step[NUMBER])
        insort(site.trace, rest, key=_start)
        site.clocks.own[id(rest)] = between
        return rest

    def _cut(self, step: Step, clock: str, number: int, at: float) -> tuple[Step, float]:
        """Let a step of the trace end at a moment, with another number; return what ends there, and the hours left of it."""
        site = self._site
        went = site.clocks.own.pop(id(step), site.clocks[clock])
        done = went.worked(step[START], at)
        index = bisect_left(site.trace, step[START], key=_start)
        while site.trace[index] is not step:
            index += 1
        because = step[BECAUSE]
        if step[START] < at:
            because = site.trace[index] = (step[START], at, because, done, step[KIND], step[ACTOR], step[EDGE], number)
            site.clocks.own[id(because)] = went
        else:
            del site.trace[index]
        return because, step[WORK] - done

    def begin_trip(self, edge: LayingEdge, hours: float) -> Begin:
        """Return what begins a forklift's trip to a laying edge: one that ends before the next aircraft comes goes on."""
        return self._site.begin if self.may_drive(edge, hours) else self.between("forklift")

    def may_drive(self, edge: LayingEdge, hours: float) -> bool:
        """Return whether a trip of so many hours to a laying edge ends before the next aircraft comes there, or windows take
        none of its hours.
        """
        site, plan, now = self._site, self._site.plan.flying, self._site.env.now
        if plan is None or not edge.under_flight(driving=True) or self.idle:
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
