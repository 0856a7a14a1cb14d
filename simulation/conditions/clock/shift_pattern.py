"""From when to when is each shift on, day after day: over midnight, with breaks and hand-overs, and not on days of rest?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING

from simulation.scenario.types.named_values import WEEKDAYS
from simulation.scenario.types.spans import join_spans

if TYPE_CHECKING:
    from simulation.conditions.clock.sun import Span
    from simulation.scenario.tables.people import Shift

#: Spans of hours that are less than this apart are one shift with a break in it. Planning value.
APART = 3.0


def on_shift(shift: Shift, starts: datetime, horizon: float) -> list[Span]:
    """Return the spans on shift from the start to the last day simulated, in order; those that touch are one."""
    spans = [
        (max(start, 0.0), min(end, horizon))
        for pieces in _shifts(shift, starts, horizon)
        for start, end in _handed_over(shift, _without_breaks(shift, pieces, _midnight(starts)))
    ]
    return join_spans(((start, end) for start, end in spans if start < end), 1e-9)


def shifts_kept(shift: Shift, starts: datetime, horizon: float) -> tuple[Span, ...]:
    """Return each shift from its beginning to its end, breaks included, from the start to the last day simulated, in order."""
    kept: list[Span] = []
    for start, end in on_shift(shift, starts, horizon):
        if kept and start - kept[-1][1] < APART:
            kept[-1] = (kept[-1][0], end)
        else:
            kept.append((start, end))
    return tuple(kept)


def begins_of_shifts(shift: Shift, starts: datetime, horizon: float) -> list[float]:
    """Return when each shift begins, in order; the first may have begun before the start."""
    return sorted(pieces[0][0] for pieces in _shifts(shift, starts, horizon))


def rests(shift: Shift, starts: datetime, day: int) -> bool:
    """Return whether no shift begins on a day, counted from 0, that of the start, because it is one of rest.

    A rest that is counted from the start has none before it; a day of the week is what it is before the start as well.
    """
    counted = shift.rest_every is not None and day > 0 and (day + 1) % shift.rest_every == 0
    return counted or WEEKDAYS[(starts.weekday() + day) % 7] in shift.rest_on


def longest_of(shift: Shift) -> float:
    """Return the hours from the first to the last of the longest shift of a day, breaks included."""
    return max(pieces[-1][1] - pieces[0][0] for pieces in _pattern(shift))


def day_ends(shift: Shift) -> float:
    """Return how many hours past midnight the last shift of a day ends; 0 where none goes on past midnight.

    A shift belongs to the day on which it begins: days of work end there.
    """
    return max(0.0, _pattern(shift)[-1][-1][1] - 24.0)


def rest_of(shift: Shift, starts: datetime, horizon: float) -> tuple[int, float]:
    """Return how many shifts' days of rest lie between the start and the last day simulated, and the hours that the shift would
    have had.

    The hours are those of the calendar alone: in the dark, or in rain, they would not all have been worked.
    """
    if shift.rest_every is None and not shift.rest_on:
        return 0, 0.0
    always = shift.model_copy(update={"rest_every": None, "rest_on": ()})
    midnight, first = _midnight(starts), _pattern(shift)[0][0][0]
    days = sum(
        0.0 <= midnight + 24 * day + first < horizon and rests(shift, starts, day) for day in range(math.ceil(horizon / 24) + 1)
    )
    hours = [sum(end - start for start, end in on_shift(pattern, starts, horizon)) for pattern in (always, shift)]
    return days, hours[0] - hours[1]


def hours_kept(shift: Shift, starts: datetime, since: float, until: float) -> float:
    """Return the hours that people are on a shift between two hours, hand-overs and short breaks included, days of rest not."""
    return math.fsum(max(0.0, min(end, until) - max(start, since, 0.0)) for start, end in spans_kept(shift, starts, until))


def spans_kept(shift: Shift, starts: datetime, until: float) -> list[Span]:
    """Return when people are on a shift up to about an hour, as `hours_kept` counts them: spans that do not overlap, in order."""
    return join_spans((span for pieces in _shifts(shift, starts, until) for span in pieces), 1e-9)


def _midnight(starts: datetime) -> float:
    """Return the midnight before the start, in hours since the start."""
    return -(starts.hour + starts.minute / 60 + starts.second / 3600)


def _shifts(shift: Shift, starts: datetime, horizon: float) -> Iterator[list[Span]]:
    """Yield the spans of each shift; one that begins on a day of rest does not take place."""
    midnight, pattern = _midnight(starts), _pattern(shift)
    for day in range(-1, math.ceil(horizon / 24) + 1):
        if rests(shift, starts, day):
            continue
        for spans in pattern:
            yield [(midnight + 24 * day + start, midnight + 24 * day + end) for start, end in spans]


def _pattern(shift: Shift) -> list[list[Span]]:
    """Return the shifts of a day, each a list of spans in hours after its midnight."""
    first, *others = sorted(shift.hours)
    shifts: list[list[Span]] = [[first]]
    for span in others:
        if span[0] - shifts[-1][-1][1] < APART:
            shifts[-1].append(span)
        else:
            shifts.append([span])
    if len(shifts) > 1 and shifts[0][0][0] + 24 - shifts[-1][-1][1] < APART:  # 20:00-24:00 and 00:00-04:00 are one
        early = shifts.pop(0)
        shifts[-1] += [(start + 24, end + 24) for start, end in early]
    return shifts


def _without_breaks(shift: Shift, pieces: list[Span], midnight: float) -> list[Span]:
    for pause, resume in shift.breaks:
        cut: list[Span] = []
        for start, end in pieces:
            first = math.floor((start - midnight - resume) / 24)
            at = start
            for day in range(first, first + 4):
                low, high = midnight + 24 * day + pause, midnight + 24 * day + resume
                if low < end and high > at:
                    cut.append((at, max(low, at)))
                    at = min(high, end)
            cut.append((at, end))
        pieces = [(start, end) for start, end in cut if end - start > 1e-9]
    return pieces


def _handed_over(shift: Shift, pieces: list[Span]) -> list[Span]:
    """Return the spans of a shift without its hand-overs."""
    if shift.taking_over:
        pieces = _without_first(shift.taking_over, pieces)
    if shift.handing_over:
        mirrored = _without_first(shift.handing_over, [(-end, -start) for start, end in reversed(pieces)])
        pieces = [(-end, -start) for start, end in reversed(mirrored)]
    return pieces


def _without_first(hours: float, pieces: list[Span]) -> list[Span]:
    left: list[Span] = []
    for start, end in pieces:
        taken = min(hours, end - start)
        hours -= taken
        if end - start - taken > 1e-9:
            left.append((start + taken, end))
    return left
