"""Which hours do the calendar and the sun leave for a kind of work? Known before anything is drawn, so laid out once."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from datetime import datetime
from itertools import pairwise
from typing import TYPE_CHECKING

from simulation.conditions.clock.shift_pattern import begins_of_shifts, on_shift

if TYPE_CHECKING:
    from simulation.conditions.clock.sun import Span
    from simulation.scenario.tables.people import Shift

#: What a segment's loss is called; several that share it each with its part, which together make up 1 − rate.
Cause = str | tuple[tuple[str, float], ...] | None

#: (start, end, rate of work, cause of the loss or None)
Segment = tuple[float, float, float, Cause]

#: Segments are cut at this many hours, so that a clock need not draw the weather of months to lay one out.
_WEEK = 7 * 24.0

OFF_SHIFT, DARK, FATIGUE, FLYING = "off shift", "dark", "fatigue", "closed for flying"

#: Output falls to this share of itself by fatigue, at most. Planning value.
LEAST_OUTPUT = 0.5


def charge(factors: Iterable[tuple[str, float]], rate: float = 1.0, cause: Cause = None) -> tuple[float, Cause]:
    """Return the rate that is left, and the cause of the loss, where causes take their parts one after the other.

    Parameters
    ----------
    factors : iterable of (str, float)
        Causes in the order in which they count; each leaves this share of what those before it left.
    rate, cause : float, Cause
        What was left, and lost, before them.

    Examples
    --------
    >>> charge([("dark", 0.8), ("heat", 0.5)])
    (0.4, (('dark', 0.2), ('heat', 0.4)))
    >>> charge([("rain", 0.0), ("heat", 0.5)])
    (0.0, 'rain')
    """
    lost = losses_of(cause, rate)
    for name, left in factors:
        if left < 1.0 and rate > 0.0:
            taken = rate * (1.0 - left)
            rate = round(rate - taken, 15)
            lost.append((name, round(taken, 15)))
    if len(lost) < 2:
        return rate, lost[0][0] if lost else None
    return rate, tuple(lost)


def losses_of(cause: Cause, rate: float) -> list[tuple[str, float]]:
    """Return what a segment of so high a rate loses in an hour, by cause."""
    if cause is None:
        return []
    return [(cause, 1.0 - rate)] if isinstance(cause, str) else list(cause)


def lay_out(shift: Shift, light: Sequence[Span] | None, starts: datetime, horizon: float) -> tuple[Segment, ...]:
    """Return segments without gap from the start to the last day simulated.

    Parameters
    ----------
    shift : Shift
    light : sequence of (float, float) or None
        Spans of daylight; None where it is not considered. Off shift comes before dark where both hold, dark before fatigue.
    starts : datetime.datetime
        Local time of the start.
    horizon : float
    """
    in_the_dark = shift.night_rate if shift.lighting else 0.0
    if light is None or in_the_dark == 1.0:
        light = None
    rises = [edge for span in light or () for edge in span]
    begins = begins_of_shifts(shift, starts, horizon) if shift.fatigue else []
    segments: list[Segment] = []
    for start, end in on_shift(shift, starts, horizon):
        _fill(segments, start, OFF_SHIFT)
        edges = {start, end, *rises[bisect_right(rises, start) : bisect_left(rises, end)], *_tiring(shift, begins, start, end)}
        for low, high in pairwise(sorted(edges)):
            middle = (low + high) / 2
            factors: list[tuple[str, float]] = []
            if light is not None and bisect_right(rises, middle) % 2 == 0:
                factors.append((DARK, in_the_dark))
            if begins:
                factors.append((FATIGUE, _output(shift, begins, middle)))
            _append(segments, (low, high, *charge(factors)))
    _fill(segments, horizon, OFF_SHIFT)
    return tuple(piece for segment in segments for piece in _by_weeks(*segment))


def any_of(calendars: Sequence[tuple[Segment, ...]]) -> tuple[Segment, ...]:
    """Return the calendar on which somebody is at work whenever somebody is on one of several, at the highest rate of them."""
    edges = sorted({edge for calendar in calendars for start, end, _, _ in calendar for edge in (start, end)})
    firsts = [[start for start, _, _, _ in calendar] for calendar in calendars]
    segments: list[Segment] = []
    for low, high in pairwise(edges):
        there = [
            calendar[bisect_right(first, low) - 1][2:] for calendar, first in zip(calendars, firsts, strict=True) if calendar
        ]
        _append(segments, (low, high, *max(there, key=lambda candidate: candidate[0])))
    return tuple(piece for segment in segments for piece in _by_weeks(*segment))


def closed_in(calendar: tuple[Segment, ...], closed: Sequence[Span], cause: str) -> tuple[Segment, ...]:
    """Return a calendar whose hours within spans, rising and apart, are lost to a cause; those that were lost before stay so."""
    segments: list[Segment] = []
    for start, end, rate, why in calendar:
        at = start
        for low, high in closed if rate else ():
            if low < end and high > at:
                if low > at:
                    _append(segments, (at, low, rate, why))
                _append(segments, (max(low, at), min(high, end), 0.0, cause))
                at = min(high, end)
        if at < end:
            _append(segments, (at, end, rate, why))
    return tuple(piece for segment in segments for piece in _by_weeks(*segment))


def _tiring(shift: Shift, begins: list[float], start: float, end: float) -> list[float]:
    """Return the moments within a span at which people tire further."""
    if not begins:
        return []
    since = begins[max(bisect_right(begins, start + 1e-9) - 1, 0) :]
    hours = (begin + shift.fatigue_after + hour for begin in since if begin < end for hour in range(24))
    return [moment for moment in hours if start < moment < end]


def _output(shift: Shift, begins: list[float], moment: float) -> float:
    """Return the share of their output that people still have at a moment of their shift."""
    tired = moment - begins[max(bisect_right(begins, moment) - 1, 0)] - shift.fatigue_after
    return max(LEAST_OUTPUT, 1.0 - shift.fatigue * math.ceil(tired)) if tired > 0 else 1.0


def _append(segments: list[Segment], new: Segment) -> None:
    """Add a segment; one that goes on as the last one did makes it longer."""
    if segments and segments[-1][2:] == new[2:]:
        segments[-1] = (segments[-1][0], *new[1:])
    else:
        segments.append(new)


def _by_weeks(start: float, end: float, rate: float, cause: Cause) -> list[Segment]:
    """Cut a segment at weeks."""
    edges = [start, *(_WEEK * week for week in range(int(start // _WEEK) + 1, math.ceil(end / _WEEK))), end]
    return [(low, high, rate, cause) for low, high in pairwise(edges)]


def _fill(segments: list[Segment], until: float, cause: str) -> None:
    reached = segments[-1][1] if segments else 0.0
    if reached < until:
        segments.append((reached, until, 0.0, cause))
