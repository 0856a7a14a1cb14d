"""How likely is the field to be still not ready by the end of each day?

A day ends with the last shift on which some crew lays; with midnight, where runs are ready after that, as by a gang or forklifts
on hours of their own: so each counts for the day by which it is named. A shift that runs past midnight ends the day on which it
began.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from simulation.stats.chances import Chance, chance_among
from simulation.stats.likelihood_words import likelihood_among
from simulation.study.calendar import Calendar
from simulation.study.deadline import Deadline, on_time

#: Hours by which what ends with a shift, or with midnight, may miss it: less than a second.
_SLACK = 1e-4
#: Days that are told at the most: as many as a page shows at one look. Planning value.
MOST_DAYS = 16


@dataclass(frozen=True)
class ByDay:
    """How the runs stand at the end of one day.

    Attributes
    ----------
    hours : float
        From the start to the end of the day.
    day : datetime
        The midnight with which it begins.
    ends_at : float
        Hours from that midnight to its end; above 24 where its last shift runs into the next morning.
    not_ready : Chance
        Of being still not ready then: the exceedance.
    at_least : bool
        Whether `ready` is a lower bound: the day ends after the last day simulated, and an unfinished run may be ready by then.
    """

    hours: float
    day: datetime
    ends_at: float
    not_ready: Chance
    at_least: bool = False

    @property
    def ready(self) -> float:
        """Chance of being ready by then; the two sum to 1."""
        return (self.not_ready.runs - self.not_ready.count) / self.not_ready.runs

    @property
    def likelihood(self) -> str | None:
        """The word of ICD 203 for being ready; None where there are too few runs for one, or where `ready` is a lower bound."""
        return likelihood_among(self.ready, self.not_ready.runs, self.at_least)


def tabulate_by_day(
    hours: Sequence[float],
    calendar: Calendar,
    cube: int | None = None,
    most: int = MOST_DAYS,
    horizon: float = math.inf,
) -> tuple[ByDay, ...]:
    """Return how the runs stand day by day, from the first day on which one is ready to the last.

    Parameters
    ----------
    hours : sequence of float
        Readiness of each run, in order of run; infinite where it was not reached, which is never ready.
    calendar : Calendar
    cube : int, optional
        Runs of one hypercube, where they were sampled in hypercubes; see `chances.chance_among`.
    most : int
        Days to tell, 2 or more. Of a longer stretch those days are left out on which the fewest runs become ready, one after
        the other: every row still tells all runs that are ready by its own day.
    horizon : float
        Hours after which runs were not looked at.

    Returns
    -------
    tuple of ByDay
        Empty where no run was ready.
    """
    finished = sorted(hour for hour in hours if math.isfinite(hour))
    if not finished:
        return ()
    ends_at = _end_of_days(calendar, finished)
    ends = _ends(calendar, finished[0], finished[-1], ends_at)
    counts = [_ready_by(finished, end) for end in ends]
    return tuple(_standing(calendar, hours, (ends[index], ends_at), cube, horizon) for index in _told(counts, most))


def _ready_by(finished: Sequence[float], end: Deadline) -> int:
    return bisect_left(finished, True, key=lambda hour: not on_time(hour, end))


def _end_of_days(calendar: Calendar, finished: Sequence[float]) -> float:
    """Return in hours after its midnight when a day ends: with its last shift, or with midnight where runs are ready after it."""
    if calendar.day_ends >= 24.0:
        return calendar.day_ends
    midnight = calendar.hours(calendar.starts.replace(hour=0, minute=0, second=0, microsecond=0))
    late = any((hour - midnight - _SLACK) % 24.0 > calendar.day_ends for hour in finished)  # midnight itself ends a day
    return 24.0 if late else calendar.day_ends


def _ends(calendar: Calendar, first: float, last: float, ends_at: float) -> list[Deadline]:
    """Return the ends of the days from that of one hour to that of another."""
    eve = calendar.hours(calendar.moment(first).replace(hour=0, minute=0, second=0, microsecond=0)) - 24.0
    days = int((last - eve) // 24.0) + 2
    ends = [Deadline("", eve + 24.0 * day + ends_at) for day in range(-1, days)]
    start, stop = (next(index for index, end in enumerate(ends) if on_time(hour, end)) for hour in (first, last))
    return ends[start : stop + 1]


def _told(counts: Sequence[int], most: int) -> list[int]:
    """Return the places of the days to tell: the first, the last, and those between where the most happens."""
    places = [index for index, count in enumerate(counts) if index == 0 or count > counts[index - 1]]
    while len(places) > most:
        # What a day adds is then told by the next one that stays.
        least = min(range(1, len(places) - 1), key=lambda n: counts[places[n + 1]] - counts[places[n - 1]])
        del places[least]
    return places


def _standing(calendar: Calendar, hours: Sequence[float], day: tuple[Deadline, float], cube: int | None, horizon: float) -> ByDay:
    end, ends_at = day
    not_ready = chance_among([not on_time(hour, end) for hour in hours], cube)
    at_least = end.hours > horizon and max(hours) == math.inf
    if at_least:  # nothing is known of the other end
        not_ready = replace(not_ready, low=0.0)
    begins = calendar.moment(round(3600.0 * (end.hours - ends_at)) / 3600.0)  # shifts may end at times that binary cannot hold
    return ByDay(end.hours, begins, ends_at, not_ready, at_least)
