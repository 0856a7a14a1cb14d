"""How busy are crews and forklifts on each day of the site? Hours at work as a share of the hours that they could work."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from simulation.stats.quantiles import order_statistic

if TYPE_CHECKING:
    from collections.abc import Sequence

    from simulation.replicate.run_table import RunTable
    from simulation.study.calendar import Calendar

#: Who is told apart in a record's days.
ACTORS = ("crews", "forklifts")
#: A day is shown if at least this share of the runs is still at work: of fewer, a band says little. Planning value.
ENOUGH = 0.05
#: A median speaks of the work as a whole while at least this share of the runs is at work: later days are those of slow runs
#: alone, and the last hours of each of these would read as a stoppage. Planning value.
MOST_OF_THEM = 0.5


@dataclass(frozen=True)
class Band:
    """P10, P50 and P90 over runs of the share of the workable hours of a day spent at work."""

    low: float
    middle: float
    high: float


@dataclass(frozen=True)
class DayOfUse:
    """One local day.

    Attributes
    ----------
    start, end : float
        Hours since the start; the first day begins with the start.
    runs : float
        Share of the runs at work on it: those not ready before it, with somebody on shift.
    use : dict of str to Band
        Of crews and of forklifts, each over the runs in which they were on shift that day; missing where there was none.
    """

    start: float
    end: float
    runs: float
    use: dict[str, Band]

    @property
    def speaks_for_all(self) -> bool:
        """Whether enough runs are at work for their median to be that of the work, and not of a few slow runs."""
        return self.runs >= MOST_OF_THEM


@dataclass(frozen=True)
class UseByDay:
    """The days, and how many later ones are left out because fewer than `ENOUGH` of the runs were at work on them."""

    days: tuple[DayOfUse, ...]
    left_out: int


def day_borders(calendar: Calendar, days: int) -> tuple[float, ...]:
    """Return where the local days begin and end, hours since the start: start itself, then every midnight."""
    starts = calendar.starts
    midnight = 24.0 - (starts.hour + starts.minute / 60 + starts.second / 3600)
    return (0.0, *(midnight + 24.0 * day for day in range(days)))


def days_recorded(runs: RunTable) -> int:
    """Return how many days the records of runs tell apart."""
    return sum(1 for name in runs.columns if name.startswith("day.") and name.endswith(".crews.working"))


def use_by_day(runs: RunTable, calendar: Calendar) -> UseByDay:
    """Return the use of crews and forklifts by day, up to readiness of each run."""
    busy: list[DayOfUse] = []
    for number, (start, end) in enumerate(pairwise(day_borders(calendar, days_recorded(runs))), 1):
        on_shift = {actor: runs[f"day.{number}.{actor}.on shift"].tolist() for actor in ACTORS}
        at_work = sum(any(of_run) for of_run in zip(*on_shift.values(), strict=True))
        shares = {actor: _shares(runs[f"day.{number}.{actor}.working"].tolist(), on_shift[actor]) for actor in ACTORS}
        use = {actor: _band(each) for actor, each in shares.items() if each}
        busy.append(DayOfUse(start, end, at_work / len(runs), use))
    worked = max((index for index, day in enumerate(busy, 1) if day.runs), default=0)
    shown = max((index for index, day in enumerate(busy, 1) if day.runs >= ENOUGH), default=0)
    return UseByDay(tuple(busy[:shown]), worked - shown)


def _shares(working: Sequence[float], on_shift: Sequence[float]) -> list[float]:
    return [min(1.0, hours / could) for hours, could in zip(working, on_shift, strict=True) if could > 0 and math.isfinite(hours)]


def _band(shares: Sequence[float]) -> Band:
    low, middle, high = (order_statistic(shares, share) for share in (0.1, 0.5, 0.9))
    return Band(low, middle, high)
