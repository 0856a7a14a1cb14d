"""How likely is the field to be still not ready by the end of each day?

A day ends with the last shift on which some crew lays: what is ready between that and the next shift, such as final sweep,
inspection and marking on
hours of its own, counts for the next day. A shift that runs past midnight ends the day on which it began.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace

from simulation.stats.chances import Chance, chance_among
from simulation.stats.likelihood_words import likelihood_among
from simulation.study.calendar import Calendar
from simulation.study.deadline import Deadline, on_time

#: Days that are told at the most: as many as a page shows at one look. Planning value.
MOST_DAYS = 16


@dataclass(frozen=True)
class ByDay:
    """How the runs stand at the end of one day.

    Attributes
    ----------
    hours : float
        From the start to the end of the day's last laying shift.
    not_ready : Chance
        Of being still not ready then: the exceedance.
    at_least : bool
        Whether `ready` is a lower bound: the day ends after the last day simulated, and an unfinished run may be ready by then.
    """

    hours: float
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
    ends = _ends(calendar, finished[0], finished[-1])
    counts = [_ready_by(finished, end) for end in ends]
    return tuple(_standing(hours, ends[index], cube, horizon) for index in _told(counts, most))


def _ready_by(finished: Sequence[float], end: Deadline) -> int:
    return bisect_left(finished, True, key=lambda hour: not on_time(hour, end))


def _ends(calendar: Calendar, first: float, last: float) -> list[Deadline]:
    """Return the ends of the days from that of one hour to that of another."""
    eve = calendar.hours(calendar.moment(first).replace(hour=0, minute=0, second=0, microsecond=0)) - 24.0
    days = int((last - eve) // 24.0) + 2
    ends = [Deadline("", eve + 24.0 * day + calendar.day_ends) for day in range(-1, days)]
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


def _standing(hours: Sequence[float], end: Deadline, cube: int | None, horizon: float) -> ByDay:
    not_ready = chance_among([not on_time(hour, end) for hour in hours], cube)
    at_least = end.hours > horizon and max(hours) == math.inf
    if at_least:  # nothing is known of the other end
        not_ready = replace(not_ready, low=0.0)
    return ByDay(end.hours, not_ready, at_least)
