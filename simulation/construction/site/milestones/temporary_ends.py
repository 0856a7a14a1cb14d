"""Which laying edges need a temporary end when, how long does each take, and does a gap between two windows leave time to lay?

A temporary end is a ramp or tapered edge at an open laying edge. It stands when a milestone that it bounds is reached, and in
every flying window; the row after that needs it taken up. Whoever lays there makes it in time, by the hours of the shift alone:
how long the next rows and the end take is known, the weather is not.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from simulation.chance import draw_factors
from simulation.construction.plan.steps import END, END_STANDS, Step
from simulation.construction.site.edges.foreseen import Foreseen
from simulation.construction.site.edges.laying_edge import NEVER, Area, Event, LayingEdge
from simulation.construction.site.event_loop import Process

if TYPE_CHECKING:
    from simulation.construction.site.site import Site


MAKE, TAKE_UP = "temporary_end.make", "temporary_end.take_up"
#: Hours of work that are none: sums of many steps are not exact to the last bit.
_SLACK: Final = 1e-9
#: Hours before the last moment at which an end is called for: a crew whose shift ends then is gone.
_EARLY: Final = 1e-6
#: Rows that are looked ahead, at most: about as many as a crew lays in one step.
_AHEAD: Final = 12


@dataclass
class Ask:
    """A milestone that is reached as soon as a temporary end stands at every open laying edge of an area."""

    area: Area
    stands: Event
    held: list[Event] = field(default_factory=list)


class TemporaryEnds:
    """The temporary ends of one run.

    Attributes
    ----------
    made, taken_up : int
        How many, over all laying edges.
    in_windows : bool
        Whether one must stand in every flying window.
    late : list of (int, float, float)
        Laying edges where none stood when a window began, from its beginning until one stood, or it was over.
    """

    def __init__(self, site: Site) -> None:
        self._site = site
        self._asks: list[Ask] = []
        self._hours: dict[tuple[str, int], float] = {}
        self._luck: dict[tuple[str, int], Iterator[float]] = {}
        self._foreseen = Foreseen(site)
        self._reminders: dict[int, int] = {}
        self._lost: dict[int, float] = {}
        self._gone: dict[int, float] = {}
        flying = site.plan.flying
        self.in_windows = flying is not None and flying.area in site.plan.milestones[flying.milestone].ends
        self._highs = [] if flying is None else [high for _, high in flying.spans]
        self.made = self.taken_up = 0
        self.late: list[tuple[int, float, float]] = []

    def stand(self, milestone: int, because: Step) -> Process:
        """Wait until a temporary end stands wherever a milestone needs one; return the step that made the last, or `because`."""
        for number in self._site.plan.milestones[milestone].ends:
            area = self._site.areas[number]
            if self.all_stand(area):
                continue
            ask = Ask(area, self._site.env.event())
            self._asks.append(ask)
            for edge in area.edges:
                if not edge.done.triggered and not edge.end_stands:
                    self.call_for(edge, because)
            because = yield ask.stands
        return because

    def release(self, because: Step) -> None:
        """Let laying go on where it was held until a milestone was reached, which it is by now."""
        over = [ask for ask in self._asks if ask.stands.triggered]
        self._asks = [ask for ask in self._asks if not ask.stands.triggered]
        for event in (event for ask in over for event in ask.held):
            event.succeed(because)

    def hold(self, edge: LayingEdge) -> Event | None:
        """Return the event until which a temporary end that stands must not be taken up, for a milestone; None where it may."""
        ask = next((ask for ask in self._asks if ask.area is edge.area), None)
        if ask is None:
            return None
        ask.held.append(self._site.env.event())
        return ask.held[-1]

    def call_for(self, edge: LayingEdge, because: Step | None = None) -> None:
        """Have the end of a laying edge made as soon as what is under way there is done, and at once while it waits.

        `because` is the step that ends now for which it is made; None where it is the hour alone.
        """
        edge.end_due = True
        names = ("waits_for_ground", "waits_for_rail", "waits_for_strips", "waits_for_mats", "waits_for_people")
        for name in names:
            event = getattr(edge, name)
            if event is not None:
                setattr(edge, name, None)
                if not event.triggered:  # what it waits for may have come at this very moment
                    event.succeed(self._waited(edge) if because is None else because)

    def _waited(self, edge: LayingEdge) -> Step:
        """Return the step in which a laying edge waited until the hour came at which its end is made: nobody's, so that a replay
        says what its crew waits for.
        """
        crew = edge.parties[0][0] if edge.parties else edge.last_crew
        assert edge.since is not None
        if edge.since[END] >= self._site.env.now or crew is None:
            return edge.since
        return self._site.stood(END_STANDS, edge.since, -1, crew.plan.clock, edge.index)

    def hours(self, key: str, edge: LayingEdge) -> float:
        """Return the hours that making the next end of a laying edge takes, or taking the next one up."""
        hours = self._hours.get((key, edge.index))
        if hours is None:
            luck = self._luck.get((key, edge.index))
            if luck is None:
                owner = f"{edge.area.plan.name}, {'high' if edge.plan.upward else 'low'}"
                luck = self._luck[key, edge.index] = draw_factors(self._site.plan.scatters[key], self._site.streams, key, owner)
            hours = self._hours[key, edge.index] = self._site.levels[key] * next(luck)
        return hours

    def stands(self, edge: LayingEdge, step: Step) -> None:
        """Note that the end of a laying edge has been made by a step, and let the milestones go on that waited for it."""
        edge.end_stands = True
        self.made += 1
        self._hours.pop((MAKE, edge.index), None)
        self._note_late(edge, step[END])
        self.look(edge.area, step)

    def whole(self, edge: LayingEdge, step: Step) -> None:
        """Note that a laying edge has come to the end of its area, where it needs no end."""
        self._note_late(edge, step[END])
        self.look(edge.area, step)

    def _note_late(self, edge: LayingEdge, now: float) -> None:
        """Note the windows that began since the last end of a laying edge was taken up."""
        plan, state = self._site.plan.flying, self._site.plan.state
        since = self._gone.get(edge.index, None if state is None else state.at)
        if plan is None or not self.in_windows or since is None or not edge.under_flight():
            return
        for low, high in plan.spans[bisect_right(self._highs, max(since, self._lost.get(edge.index, 0.0))) :]:
            if low >= now - _SLACK:
                return
            self.late.append((edge.index, low, min(high, now)))

    def gone(self, edge: LayingEdge) -> None:
        """Note that the end of a laying edge has been taken up."""
        edge.end_stands = False
        self.taken_up += 1
        self._gone[edge.index] = self._site.env.now
        self._hours.pop((TAKE_UP, edge.index), None)
        self._site.flying.look()
        self.remind(edge)

    def look(self, area: Area, step: Step) -> None:
        """Let milestones go on that waited for the ends of an area, if all stand now because of a step."""
        self._site.flying.look()
        if self._asks and self.all_stand(area):
            for ask in self._asks:
                if ask.area is area and not ask.stands.triggered:
                    ask.stands.succeed(step)

    def left_to(self, edge: LayingEdge) -> list[LayingEdge]:
        """Return the other laying edges of an area whose ends are due and which nobody has come to yet: this one's crew sees to
        them.
        """
        return [other for other in edge.area.edges if other.end_due and not other.begun]

    def rows_that_fit(self, edge: LayingEdge, row: int, now: float, before: float) -> int:
        """Return up to which row a laying edge may be laid on before its end must be made; `row` where none fits.

        `before` is the hours of what comes before the next row: where there is any, it alone must fit.
        """
        if not self._flown(edge):
            return NEVER
        low, _ = self._span(edge, now)
        if low == math.inf:
            return NEVER
        left, make = self._foreseen.left(edge, now, low) + _SLACK, self.hours(MAKE, edge)
        if before:
            return NEVER if left >= before + make else row
        for next_row in range(row, min(row + _AHEAD, edge.rows)):
            left -= self._foreseen.row(edge, next_row)
            if left < (0.0 if next_row + 1 == edge.rows else make):
                return next_row
        return row + _AHEAD

    def stands_until(self, edge: LayingEdge, row: int, now: float, before: float) -> float:
        """Return until when an end that stands is left standing: `now` where it is taken up now, for the next row or for what
        comes before it.
        """
        if not self._flown(edge):
            return now
        low, high = self._span(edge, now)
        if low <= now:
            return high
        if low == math.inf:
            return now
        need = self.hours(TAKE_UP, edge) + (before or self._foreseen.row(edge, row))
        if before or row + 1 < edge.rows:
            need += self.hours(MAKE, edge)
        return now if self._foreseen.left(edge, now, low) + _SLACK >= need else high

    def wait(self, edge: LayingEdge, until: float) -> Event:
        """Return the event that is fired at a moment, or as soon as another crew comes to a laying edge whose end stands."""
        event = edge.waits_for_gap = self._site.env.event()
        self._site.start(self._end_wait(edge, until, event))
        return event

    def _end_wait(self, edge: LayingEdge, until: float, event: Event) -> Process:
        yield self._site.env.timeout(until - self._site.env.now)
        if edge.waits_for_gap is event:
            # In the next gap it takes another time: else one long draw would hold its laying edge for good.
            for key in (MAKE, TAKE_UP):
                self._hours.pop((key, edge.index), None)
            self._look_again(edge)

    def _look_again(self, edge: LayingEdge) -> None:
        event, edge.waits_for_gap = edge.waits_for_gap, None
        if event is not None:
            event.succeed()

    def crew_came(self, edge: LayingEdge) -> None:
        """Let a laying edge look anew at its end, with the hours of a crew that has come."""
        self._look_again(edge)
        self.remind(edge)

    def remind(self, edge: LayingEdge) -> None:
        """Have the end of a laying edge made in time, should it wait for something when it must be begun."""
        if edge.end_stands or edge.end_due or not self._flown(edge) or not (edge.parties or edge.last_crew):
            return
        now, token = self._site.env.now, self._reminders.get(edge.index, 0) + 1
        low, _ = self._span(edge, now)
        if low < math.inf:
            self._reminders[edge.index] = token
            clock = self._foreseen.clock(edge)
            begin = clock.finish(0.0, max(clock.worked_to(low) - self.hours(MAKE, edge) - _EARLY, 0.0))
            self._site.start(self._remind(edge, max(begin, now), token))

    def _remind(self, edge: LayingEdge, moment: float, token: int) -> Process:
        yield self._site.env.timeout(moment - self._site.env.now)
        if self._reminders[edge.index] == token and self._flown(edge) and not edge.end_stands and not edge.end_due:
            self.call_for(edge)

    def _flown(self, edge: LayingEdge) -> bool:
        """Return whether a laying edge must have an end in flying windows."""
        return self.in_windows and edge.laid < edge.rows and edge.under_flight()

    def all_stand(self, area: Area) -> bool:
        """Return whether a temporary end stands at every laying edge of an area that is not at its end."""
        return all(edge.end_stands or edge.done.triggered for edge in area.edges)

    def _span(self, edge: LayingEdge, now: float) -> tuple[float, float]:
        """Return when the area is closed next, or now, at which the end must stand; infinite where it never is again.

        A window in which no end stands, and of which by the hours of the shift too little is left for making it, is lost: laying
        goes on.
        """
        plan = self._site.plan.flying
        assert plan is not None
        for low, high in plan.spans[bisect_right(self._highs, max(now, self._lost.get(edge.index, 0.0))) :]:
            late = low < now - _SLACK and not edge.end_stands
            if not late or self._foreseen.clock(edge).finish(now, self.hours(MAKE, edge)) < high - plan.after:
                return low, high
            self._lost[edge.index] = high
            self.late.append((edge.index, low, high))
        return math.inf, math.inf
