"""Which hours do the calendar and the sun leave for a kind of work? Known before anything is drawn, so laid out once."""

from __future__ import annotations

import math
from datetime import datetime
from itertools import pairwise

from simulation.conditions.sun import Span
from simulation.scenario.people import Shift

#: (start, end, rate of work, cause of the loss or None)
Segment = tuple[float, float, float, str | None]

#: Segments are cut at this many hours, so that a clock need not draw the weather of months to lay one out.
_WEEK = 7 * 24.0

OFF_SHIFT, DARK = "off shift", "dark"


def on_shift(shift: Shift, starts: datetime, horizon: float) -> list[Span]:
    """Return the spans on shift from hour zero to the horizon, in order; those that touch are one."""
    midnight = -(starts.hour + starts.minute / 60 + starts.second / 3600)
    spans: list[Span] = []
    for day in range(-1, math.ceil(horizon / 24) + 1):
        for start, end in sorted(shift.hours):
            low, high = max(midnight + 24 * day + start, 0.0), min(midnight + 24 * day + end, horizon)
            if low < high:
                spans.append((low, high))
    return _joined(spans)


def _joined(spans: list[Span]) -> list[Span]:
    joined: list[Span] = []
    for start, end in sorted(spans):
        if joined and start <= joined[-1][1] + 1e-9:
            joined[-1] = (joined[-1][0], max(end, joined[-1][1]))
        else:
            joined.append((start, end))
    return joined


def lay_out(shift: Shift, light: list[Span] | None, starts: datetime, horizon: float) -> tuple[Segment, ...]:
    """Return segments without gap from hour zero to the horizon.

    Parameters
    ----------
    shift : Shift
    light : list of (float, float) or None
        Spans of daylight; None where it is not considered. Off shift comes before dark where both hold.
    starts : datetime.datetime
        Local time of hour zero.
    horizon : float
    """
    spans = on_shift(shift, starts, horizon)
    lit = spans if light is None or shift.lighting else _both(spans, light)
    segments: list[Segment] = []
    bright = iter(lit)
    upcoming = next(bright, None)
    for start, end in spans:
        _fill(segments, start, OFF_SHIFT)
        while upcoming is not None and upcoming[0] < end:
            _fill(segments, upcoming[0], DARK)
            segments.append((*upcoming, 1.0, None))
            upcoming = next(bright, None)
        _fill(segments, end, DARK)
    _fill(segments, horizon, OFF_SHIFT)
    return tuple(piece for segment in segments for piece in _by_weeks(*segment))


def _by_weeks(start: float, end: float, rate: float, cause: str | None) -> list[Segment]:
    """Cut a segment at weeks."""
    edges = [start, *(_WEEK * week for week in range(int(start // _WEEK) + 1, math.ceil(end / _WEEK))), end]
    return [(low, high, rate, cause) for low, high in pairwise(edges)]


def _both(some: list[Span], others: list[Span]) -> list[Span]:
    """Return the spans that lie in both of two rising lists."""
    found: list[Span] = []
    rest = iter(others)
    other = next(rest, None)
    for start, end in some:
        while other is not None and other[1] <= start:
            other = next(rest, None)
        while other is not None and other[0] < end:
            found.append((max(start, other[0]), min(end, other[1])))
            if other[1] > end:
                break
            other = next(rest, None)
    return found


def _fill(segments: list[Segment], until: float, cause: str) -> None:
    reached = segments[-1][1] if segments else 0.0
    if reached < until:
        segments.append((reached, until, 0.0, cause))
