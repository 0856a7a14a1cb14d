"""On which day and in which shift does an hour of the run fall?

A finishing time is never known to the minute, and work only ends while somebody is on shift: a moment is given as a day and the
span of hours of the laying shifts that holds it. Where crews keep hours of their own, these shifts are the union of all that some
crew keeps, and a span is given with the crews that do.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from simulation.scenario import Scenario

#: Hours by which a moment may miss the edge of a span and still belong to it: less than a second.
_SLACK = 1e-4


def clock(hour: float) -> str:
    """Return an hour of the day as written on a clock; 24:00 is the end of the day.

    Examples
    --------
    >>> clock(13.5), clock(30.0)
    ('13:30', '06:00')
    """
    minutes = round(hour * 60)
    if minutes > 24 * 60:
        minutes -= 24 * 60
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def day(moment: datetime) -> str:
    """Return a day as it is printed everywhere, such as ``Thu 10 Apr 2031``."""
    return f"{moment:%a} {moment.day} {moment:%b %Y}"


@dataclass(frozen=True)
class Moment:
    """A day, and the shift of it that holds an hour.

    Attributes
    ----------
    day : str
        ``Thu 10 Apr 2031``, the one on which the shift begins.
    shift : str
        ``shift 2``; outside every shift the time, and the shift it comes after.
    hours : str
        The shift's span of hours, ``13:00-18:00``; after midnight with the weekday that the clock has by then.
    night_to : str
        That weekday, ``Fri``; empty where the moment lies before midnight.
    """

    day: str
    shift: str
    hours: str
    night_to: str = ""

    def __str__(self) -> str:
        return f"{self.day}, {self.shift} ({self.hours})"

    @property
    def short(self) -> str:
        """The same without the shift's hours."""
        return f"{self.day}, {self.shift}"

    @property
    def day_alone(self) -> str:
        """The day without its shift; after midnight it says so, for without the shift's hours nobody would know."""
        return f"{self.day}, in the night to {self.night_to}" if self.night_to else self.day


Spans = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Keepers:
    """Crews that keep the same hours, which are not those of other crews.

    Attributes
    ----------
    crews : tuple of str
    people : int
        In all of them.
    spans : tuple of (float, float)
        As in `Calendar`.
    """

    crews: tuple[str, ...]
    people: int
    spans: Spans


@dataclass(frozen=True)
class Calendar:
    """Hours since the start in local time.

    Attributes
    ----------
    starts : datetime
        Local time of the start.
    spans : tuple of (float, float)
        The day's spans of hours with somebody on shift, in order of their start; one that runs past midnight ends above 24. Of a
        shift with a break around midnight the later spans begin above 24: they belong to the day on which the shift begins.
    keepers : tuple of Keepers
        Who keeps which of them; empty where all keep the same.
    """

    starts: datetime
    spans: Spans
    keepers: tuple[Keepers, ...] = ()

    @classmethod
    def of(cls, starts: datetime, spans: Iterable[tuple[float, float]]) -> Calendar:
        """Return the calendar of a scenario's start and the spans of a shift, in whatever order they were written."""
        return cls(starts, _by_shift(spans))

    @classmethod
    def kept_by(cls, starts: datetime, crews: Iterable[tuple[str, int, Iterable[tuple[float, float]]]]) -> Calendar:
        """Return the calendar of the start and of crews, each with its name, its people and the spans of its shift."""
        alike: dict[Spans, list[tuple[str, int]]] = {}
        for name, people, spans in crews:
            alike.setdefault(_by_shift(spans), []).append((name, people))
        keepers = tuple(
            Keepers(tuple(name for name, _ in some), sum(people for _, people in some), spans) for spans, some in alike.items()
        )
        every = tuple(sorted({span for spans in alike for span in spans}))
        return cls(starts, every, keepers if len(keepers) > 1 else ())

    @property
    def shares(self) -> tuple[tuple[float, Spans], ...]:
        """The hours that people keep, each with the share of the people who keep them."""
        people = sum(keeper.people for keeper in self.keepers)
        return tuple((keeper.people / people, keeper.spans) for keeper in self.keepers) if self.keepers else ((1.0, self.spans),)

    @property
    def hours_a_day(self) -> float:
        """Hours on shift in one day, of one person; the mean where not all keep the same."""
        return math.fsum(share * sum(end - start for start, end in spans) for share, spans in self.shares)

    @property
    def day_ends(self) -> float:
        """When a day ends with its last shift, in hours after its midnight; above 24 where that runs into the next morning."""
        return max(end for _, end in self.spans)

    def crews(self, span: tuple[float, float]) -> tuple[str, ...]:
        """Return the crews that keep a span; none where all keep the same."""
        return tuple(name for keeper in self.keepers if span in keeper.spans for name in keeper.crews)

    def moment(self, hours: float) -> datetime:
        """Return the local time of an hour since the start."""
        return self.starts + timedelta(hours=hours)

    def hours(self, moment: datetime) -> float:
        """Return the hours since the start of a local time."""
        return (moment - self.starts) / timedelta(hours=1)

    def day_and_shift(self, hours: float) -> Moment:
        """Return the day and shift of an hour since the start, such as ``Thu 10 Apr 2031, shift 2 (13:00-18:00)``.

        Work that ends with a span belongs to it, and midnight ends a day. What a shift does past midnight belongs to the day on
        which it begins, as in the table of days; so does a break of it.
        """
        moment = self.moment(hours)
        midnight = moment.replace(hour=0, minute=0, second=0, microsecond=0)
        at = (moment - midnight) / timedelta(hours=1)
        if at < _SLACK:
            midnight, at = midnight - timedelta(days=1), at + 24.0
        # The last shift of the day before goes first: that day ends with it, although the next one may have begun.
        for back in (24.0, 0.0):
            for number, (start, end) in enumerate(self.spans, 1):
                if start + _SLACK < at + back <= end + _SLACK:
                    return self._moment(midnight, back, number)
        for number, (start, _) in enumerate(self.spans, 1):
            for back in (0.0, 24.0):
                if abs(at + back - start) <= _SLACK:
                    return self._moment(midnight, back, number)
        ends = [(end - 24.0 * max(0, math.ceil((end - at) / 24.0)), number) for number, (_, end) in enumerate(self.spans, 1)]
        _, last = max(ends)
        return self._moment(midnight, 24.0 if at + 24.0 < self.day_ends else 0.0, last, clock(at))

    def _moment(self, midnight: datetime, back: float, number: int, time: str = "") -> Moment:
        """Return the moment of a span, or of a time after it, which belongs to the day `back` hours before this midnight."""
        today, night_to = day(midnight - timedelta(hours=back)), f"{midnight:%a}" if back else ""
        if time:
            return Moment(today, f"{time}{f' on {night_to}' if back else ''}, after shift {number}", self._span(number), night_to)
        return Moment(
            today, f"shift {number}", self._span(number, *([f"after midnight, on {night_to}"] if back else [])), night_to
        )

    def off_shift(self, start: float, end: float, at_least: float) -> list[tuple[float, float]]:
        """Return the stretches between two hours since the start when nobody is on shift, those of some length only."""
        stretches: list[tuple[float, float]] = []
        first = self.hours(self.moment(start).replace(hour=0, minute=0, second=0, microsecond=0)) - 48.0
        days = int((end - first) // 24.0) + 1
        edges = sorted((first + 24.0 * n + a, first + 24.0 * n + b) for n in range(days + 1) for a, b in self.spans)
        left = edges[0][1]
        for right, until in edges:
            if right - left >= at_least and right > start and left < end:
                stretches.append((max(left, start), min(right, end)))
            left = max(left, until)
        return stretches

    def _span(self, number: int, *more: str) -> str:
        span = self.spans[number - 1]
        crews = self.crews(span)
        who = [f"crew{'s' if len(crews) > 1 else ''} {' and '.join(crews)}"] if crews else []
        return ", ".join((span_text(span), *who, *more))


def span_text(span: tuple[float, float]) -> str:
    """Return a span of hours as it is printed, ``13:00-18:00``."""
    return f"{clock(span[0])}-{clock(span[1])}"


def _by_shift(spans: Iterable[tuple[float, float]]) -> Spans:
    """Return the spans of a day in order; what belongs to a shift that begins in the evening stands after midnight.

    Spans less than `APART` apart are one shift, as in `conditions.shift_pattern`: 20:00-24:00 and 00:30-04:00 are one. A morning
    that follows soon upon a night is a day of its own all the same.
    """
    from simulation.conditions.clock.shift_pattern import APART  # loads numpy; the help of a command does without

    ordered = sorted(spans)
    gaps = [index for index in range(1, len(ordered)) if ordered[index][0] - _latest(ordered[:index]) >= APART]
    if gaps and ordered[0][0] < APART and ordered[0][0] + 24.0 - _latest(ordered) < APART:
        early = ordered[: gaps[0]]
        ordered = ordered[gaps[0] :] + [(start + 24.0, end + 24.0) for start, end in early]
    return tuple(ordered)


def _latest(spans: Sequence[tuple[float, float]]) -> float:
    return max(end for _, end in spans)


def make_calendar(scenario: Scenario) -> Calendar:
    """Return the calendar that a scenario's moments are read by: start, and the shifts that its crews keep."""
    laying = scenario.shifts.of("laying")
    return Calendar.kept_by(scenario.starts, ((crew.name, crew.people, (crew.shift or laying).hours) for crew in scenario.crew))
