"""On which day and in which shift does an hour of the build fall?

A finishing time is never known to the minute, and work only ends while somebody is on shift: a moment is given as a day and the
span of hours of the laying shifts that holds it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

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
        ``Thu 10 Apr 2031``
    shift : str
        ``shift 2``; outside every shift the time, and the shift it comes after.
    hours : str
        The shift's span of hours, ``13:00-18:00``.
    """

    day: str
    shift: str
    hours: str

    def __str__(self) -> str:
        return f"{self.day}, {self.shift} ({self.hours})"

    @property
    def short(self) -> str:
        """The same without the shift's hours."""
        return f"{self.day}, {self.shift}"


@dataclass(frozen=True)
class Calendar:
    """Hours since hour zero in local time.

    Attributes
    ----------
    starts : datetime
        Local time of hour zero.
    spans : tuple of (float, float)
        The day's spans of hours on shift, in order of their start; one that runs past midnight ends above 24.
    """

    starts: datetime
    spans: tuple[tuple[float, float], ...]

    @classmethod
    def of(cls, starts: datetime, spans: Iterable[tuple[float, float]]) -> Calendar:
        """Return the calendar of a scenario's hour zero and the spans of a shift, in whatever order they were written."""
        return cls(starts, tuple(sorted(spans)))

    @property
    def hours_a_day(self) -> float:
        """Hours on shift in one day."""
        return sum(end - start for start, end in self.spans)

    def moment(self, hours: float) -> datetime:
        """Return the local time of an hour since hour zero."""
        return self.starts + timedelta(hours=hours)

    def hours(self, moment: datetime) -> float:
        """Return the hours since hour zero of a local time."""
        return (moment - self.starts) / timedelta(hours=1)

    def day_and_shift(self, hours: float) -> Moment:
        """Return the day and shift of an hour since hour zero, such as ``Thu 10 Apr 2031, shift 2 (13:00-18:00)``.

        Work that ends with a span belongs to it, and midnight ends a day.
        """
        moment = self.moment(hours)
        midnight = moment.replace(hour=0, minute=0, second=0, microsecond=0)
        at = (moment - midnight) / timedelta(hours=1)
        if at < _SLACK:
            midnight, at = midnight - timedelta(days=1), at + 24.0
        today = day(midnight)
        for number, (start, end) in enumerate(self.spans, 1):
            if start + _SLACK < at <= end + _SLACK:
                return Moment(today, f"shift {number}", self._span(number))
            if at + 24.0 <= end + _SLACK:
                began = midnight - timedelta(days=1)
                return Moment(today, f"shift {number}", f"{self._span(number)}, began {began:%a}")
        for number, (start, _) in enumerate(self.spans, 1):
            if abs(at - start) <= _SLACK:
                return Moment(today, f"shift {number}", self._span(number))
        _, last = max((end if end <= at else end - 24.0, number) for number, (_, end) in enumerate(self.spans, 1))
        return Moment(today, f"{clock(at)}, after shift {last}", self._span(last))

    def off_shift(self, start: float, end: float, at_least: float) -> list[tuple[float, float]]:
        """Return the stretches between two hours since hour zero when nobody is on shift, those of some length only."""
        stretches: list[tuple[float, float]] = []
        first = self.hours(self.moment(start).replace(hour=0, minute=0, second=0, microsecond=0)) - 24.0
        days = int((end - first) // 24.0) + 1
        edges = [(first + 24.0 * n + a, first + 24.0 * n + b) for n in range(days + 1) for a, b in self.spans]
        for (_, left), (right, _) in pairwise(edges):
            if right - left >= at_least and right > start and left < end:
                stretches.append((max(left, start), min(right, end)))
        return stretches

    def _span(self, number: int) -> str:
        start, end = self.spans[number - 1]
        return f"{clock(start)}-{clock(end)}"
