"""What is lost of one kind of work: hours and days by cause, days that work takes, and month by month."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.conditions.clock.calendar import DARK, FATIGUE, OFF_SHIFT
from simulation.questions.conditions.work_kinds import Work
from simulation.questions.conditions.workable_days import CalendarDays

Array = NDArray[float64]

#: What a clock loses hours to whatever the weather.
CALENDAR = (OFF_SHIFT, DARK, FATIGUE)


def slower_causes(work: Work) -> tuple[str, ...]:
    """Return the causes that take hours of a kind of work by a slower pace: hours on shift all the same."""
    return (DARK, FATIGUE) if work.lit else (FATIGUE,)


@dataclass(frozen=True)
class Estimate:
    """Mean, P50 and P80 over the drawn seasons."""

    mean: float
    p50: float
    p80: float

    @classmethod
    def of(cls, values: Array) -> Estimate:
        """Return it of one value a season; quantiles are order statistics."""
        p50, p80 = (float(np.quantile(values, share, method="inverted_cdf")) for share in (0.5, 0.8))
        return cls(float(values.mean()), p50, p80)


@dataclass(frozen=True)
class MonthLost:
    """What weather takes from one kind of work in one month.

    Attributes
    ----------
    usable : float
        Mean hours that calendar and light leave, at full pace.
    slower : float
        Mean hours that a slower pace takes, at night or by fatigue; with `usable` they are the shift hours.
    hours : Estimate
        Lost to weather.
    by_cause : dict of str to float
        Mean of these, by cause.
    days : Estimate
        Lost days: those on which weather takes at least half of the usable hours.
    water : Estimate or None
        Quarts that one person drinks in a shift, over all shifts of all seasons, `MOST_A_DAY` at most; None where heat is not
        considered.
    too_much : float
        Share of these shifts in which the table asks for more than that.
    caution : Estimate or None
        Hours at work in a wind chill of caution; None where cold is not considered.
    """

    usable: float
    slower: float
    hours: Estimate
    by_cause: dict[str, float]
    days: Estimate
    water: Estimate | None
    too_much: float
    caution: Estimate | None


@dataclass(frozen=True)
class WorkLost:
    """What is lost of one kind of work over all months.

    Attributes
    ----------
    work : Work
    at_work : Estimate
        Hours.
    hours : dict of str to Estimate
        Lost, by cause; with `at_work` their means sum to all hours.
    days : dict of str to Estimate
        Lost days, each by the cause that took most of it; weather alone.
    lost_hours, lost_days : Estimate
        To weather, all causes together.
    days_with_hours, days_without : float
        Mean number of days on which calendar and light leave hours at all, and of those on which they leave none.
    workable : float
        Share of these that are not lost.
    drawn, independent : CalendarDays
        Days with hours that the asked number of days of work take: of the drawn seasons, and if every day were workable with the
        chance `chance` whatever the weather of the day before.
    calendar : CalendarDays
        Days of the calendar that they take, counted from that of the start, of the drawn seasons: those of rest, and without
        light, among them.
    chance : float
        Share of the days with hours that are not lost among those from the start to the P90 of `calendar`: days of the same
        season, so that `drawn` and `independent` differ by bad days in rows alone.
    months : tuple of MonthLost
    """

    work: Work
    at_work: Estimate
    hours: dict[str, Estimate]
    days: dict[str, Estimate]
    lost_hours: Estimate
    lost_days: Estimate
    days_with_hours: float
    days_without: float
    workable: float
    drawn: CalendarDays
    independent: CalendarDays
    calendar: CalendarDays
    chance: float
    months: tuple[MonthLost, ...]

    @property
    def slower(self) -> tuple[str, ...]:
        """Causes that take hours by a slower pace of work: lamps are lit in the dark, or people tire."""
        return tuple(cause for cause in self.hours if cause in slower_causes(self.work))

    @property
    def slower_hours(self) -> float:
        """Mean hours that the slower pace takes."""
        return sum(self.hours[cause].mean for cause in self.slower)

    @property
    def shift_hours(self) -> float:
        """Mean hours on shift, in daylight or under lights."""
        return self.at_work.mean + self.lost_hours.mean + self.slower_hours

    @property
    def share(self) -> float:
        """What weather takes of the hours that calendar, light and pace leave; 0 where they leave none."""
        usable = self.at_work.mean + self.lost_hours.mean
        return self.lost_hours.mean / usable if usable > 0.0 else 0.0

    @property
    def causes(self) -> tuple[str, ...]:
        """Causes of the weather that took an hour of any season."""
        return tuple(cause for cause in self.hours if cause not in CALENDAR)
