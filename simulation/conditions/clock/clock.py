"""When does a piece of work end, if it begins now?

Nothing inside a run can change weather, shifts or daylight, so their effect is a change of time: a clock maps hours of
work to hours on the calendar, exactly, across any number of stops. A step of a run is then one wait, with no interrupts.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Protocol

from simulation.conditions.clock.calendar import Cause, Segment, losses_of
from simulation.conditions.clock.weather_cut import cut_pieces, cut_rain
from simulation.conditions.sky.rain import BLOCK
from simulation.conditions.stops.weather_limits import Limits, Piece

#: Hours by which work may run past a stop before it counts as running into it: sums of many steps are not exact to the last bit.
SLACK = 1e-9


class Spells(Protocol):
    """What a clock that only rain stops asks of a sky."""

    @property
    def spells(self) -> list[list[float]]:
        """Wet spells so far; the last one may still grow."""

    def reach(self, hour: float) -> None:
        """Draw the spells up to an hour."""


class Effects(Protocol):
    """What a clock with limits asks: what the hours of the sky leave of work."""

    def pieces(self, limits: Limits, low: float, high: float) -> list[Piece]:
        """Return pieces without gap from `low` to `high`."""


@dataclass(frozen=True)
class Layout:
    """Break points of a clock, the hours of work up to each, and the rate and the cause of the loss from each to the next."""

    times: list[float]
    worked: list[float]
    rates: list[float]
    causes: list[Cause]

    def append(self, segments: Iterable[Segment]) -> None:
        """Lay out further segments."""
        for start, end, rate, cause in segments:
            self.times.append(end)
            self.worked.append(self.worked[-1] + (end - start) * rate)
            self.rates.append(rate)
            self.causes.append(cause)


@dataclass(frozen=True)
class ClockPlan:
    """What a clock is made from.

    Attributes
    ----------
    calendar : tuple of Segment
        Segments without gap from the start to the last day simulated.
    rain : bool
        Whether rain stops this work.
    drying : float
        How long after rain it goes on being stopped, by mud.
    limits : Limits or None
        What the weather leaves of this work hour by hour, where more than rain and a fixed time of drying matters; these are
        among them then.
    """

    calendar: tuple[Segment, ...]
    rain: bool = False
    drying: float = 0.0
    limits: Limits | None = None

    @cached_property
    def dry(self) -> Layout:
        """The whole calendar laid out, for clocks that no weather stops: they share it."""
        layout = Layout([0.0], [0.0], [], [])
        layout.append(self.calendar)
        return layout


class WorkClock:
    """The clock of one kind of work in one run, laid out block by block as the run reaches it.

    Between two break points the rate is constant: 1 is full work, 0 a stop; what is lost has one cause.

    Attributes
    ----------
    open_from, open_to : float
        A stretch of full work, the one that the last answer fell into: what lies within it ends without a loss, and whoever asks
        thousands of times may look here first.
    """

    __slots__ = (
        "_causes",
        "_effects",
        "_layout",
        "_next",
        "_plan",
        "_rates",
        "_sky",
        "_times",
        "_worked",
        "open_from",
        "open_to",
    )

    def __init__(self, plan: ClockPlan, sky: Spells, effects: Effects | None = None) -> None:
        self._plan = plan
        self._sky, self._effects = sky, effects
        weathered = plan.rain or plan.limits is not None
        self._layout = Layout([0.0], [0.0], [], []) if weathered else plan.dry
        self._next = 0 if weathered else len(plan.calendar)  # segment of the calendar to lay out next
        self._times, self._worked = self._layout.times, self._layout.worked
        self._rates, self._causes = self._layout.rates, self._layout.causes
        self.open_from, self.open_to = 1.0, 0.0

    def finish(self, start: float, work: float) -> float:
        """Return when work ends that begins at `start`.

        Parameters
        ----------
        start : float
            Hours since the start.
        work : float
            Hours of work at full rate.

        Returns
        -------
        float
            Hours since the start; infinite if the last day simulated comes first.
        """
        end = start + work
        if self.open_from <= start and end <= self.open_to:
            return end
        return self._search(start, work)

    def _search(self, start: float, work: float) -> float:
        if work <= 0.0:
            return start
        times, worked = self._times, self._worked
        if times[-1] <= start and not self._cover(start):
            return math.inf
        here = bisect_right(times, start) - 1
        goal = worked[here] + (start - times[here]) * self._rates[here] + work
        while worked[-1] + SLACK < goal:
            if not self._extend():
                return math.inf
        # The segment in whose course the goal is reached; one that ends within the slack of it still is.
        last = bisect_left(worked, goal - SLACK, here + 1) - 1
        rate = self._rates[last]
        if rate == 0.0:  # less work than the slack, begun in a stop
            return start
        end = min(times[last] + (goal - worked[last]) / rate, times[last + 1])
        if rate == 1.0:
            self.open_from, self.open_to = times[last], times[last + 1]
        return max(end, start)

    def stretch(self, at: float) -> tuple[float, float]:
        """Return from when to when work is under way, now or next, seen from `at`; both infinite if the last day simulated
        comes first.
        """
        if self._times[-1] <= at and not self._cover(at):
            return math.inf, math.inf
        here = bisect_right(self._times, at) - 1
        while here < len(self._rates) or self._extend():
            if self._rates[here] > 0.0:
                return max(at, self._times[here]), self._times[here + 1]
            here += 1
        return math.inf, math.inf

    def stopped_since(self, at: float) -> float:
        """Return since when no work has been under way at a moment; the moment itself where work is, or was until then."""
        self._cover(at)
        here = min(bisect_right(self._times, at), len(self._rates)) - 1
        if here < 0 or self._rates[here] > 0.0:
            return at
        while here > 0 and self._rates[here - 1] == 0.0:
            here -= 1
        return min(at, self._times[here])

    def worked(self, start: float, end: float) -> float:
        """Return the hours of work between two moments."""
        times = self._times
        here = bisect_right(times, start)
        if start <= end < times[-1] and end < times[here]:  # nothing changes in between
            before, since, rate = self._worked[here - 1], times[here - 1], self._rates[here - 1]
            return before + (end - since) * rate - (before + (start - since) * rate)
        return self.worked_to(end) - self.worked_to(start)

    def worked_to(self, moment: float) -> float:
        """Return the hours of work from the start to a moment."""
        times = self._times
        if times[-1] <= moment:
            self._cover(moment)
        here = bisect_right(times, moment) - 1
        if here == len(self._rates):
            return self._worked[-1]
        return self._worked[here] + (moment - times[here]) * self._rates[here]

    def losses(self, start: float, end: float) -> dict[str, float]:
        """Return the hours lost between two moments by cause; with `worked` they make up the elapsed time."""
        self._cover(end)
        lost: dict[str, float] = {}
        times = self._times
        here = bisect_right(times, start) - 1
        while here < len(self._rates) and times[here] < end:
            cause = self._causes[here]
            if cause is not None:
                span = min(times[here + 1], end) - max(times[here], start)
                for name, share in losses_of(cause, self._rates[here]):
                    lost[name] = lost.get(name, 0.0) + span * share
            here += 1
        return lost

    def laid_out(self, upto: float) -> Layout:
        """Return the clock as it is laid out, up to a moment at least, or to the last day simulated; it is not to be changed."""
        self._cover(upto)
        return self._layout

    def _cover(self, moment: float) -> bool:
        while self._times[-1] <= moment:
            if not self._extend():
                return False
        return True

    def _extend(self) -> bool:
        """Lay out another block of days; return whether there was one before the last day simulated."""
        calendar, first = self._plan.calendar, self._next
        if first == len(calendar):
            return False
        until, last = calendar[first][0] + BLOCK, first
        while last < len(calendar) and calendar[last][0] < until:
            last += 1
        self._next = last
        self._layout.append(self._left_of(calendar[first:last]))
        return True

    def _left_of(self, block: tuple[Segment, ...]) -> Iterable[Segment]:
        """Return the block with what weather leaves of it."""
        low, high, limits = block[0][0], block[-1][1], self._plan.limits
        if limits is None:
            self._sky.reach(high + SLACK)  # beyond the block, so that a spell that touches its end is known whole
            return cut_rain(block, self._sky.spells, self._plan.drying)
        assert self._effects is not None
        return cut_pieces(block, self._effects.pieces(limits, low, high))
