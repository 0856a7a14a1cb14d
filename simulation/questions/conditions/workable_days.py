"""How many days are lost by a rule, and how many days of the calendar do so many days of work take?

Two rules that planners use without an hour of weather: so much rain on a day and it is lost, and days of the calendar for days of
work where each is workable with one chance, whatever the day before was.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from simulation.conditions.sky.climate_defaults import DAYS

if TYPE_CHECKING:
    from numpy import bool_, float64
    from numpy.typing import NDArray

    from simulation.scenario.weather_record.weather_record import WeatherRecord

#: mm of rain from which a day counts as lost: 0.30 in, a rule in use by one state highway department.
RAIN_DAY = 7.62
#: Share of the hours that calendar and light leave of a day from which on it is lost, if weather takes so much. Planning value.
LOST = 0.5


def rain_days(rain: NDArray[float64]) -> NDArray[bool_]:
    """Return which days are lost by their rain, in mm; one that is not known is not."""
    wet: NDArray[bool_] = np.nan_to_num(rain) >= RAIN_DAY
    return wet


def rain_days_of_record(record: WeatherRecord) -> tuple[float | None, ...]:
    """Return the days that a record loses to rain in each month of a year, on average; None for a month that it does not know."""
    rain = record.values["rain"]
    days = np.datetime64(record.first, "h") + record.step * np.arange(record.length)
    number = (days.astype("datetime64[D]") - days[0].astype("datetime64[D]")).astype(np.intp)
    # A day that is known in part has rained what is known of it.
    known = np.bincount(number, weights=~np.isnan(rain)) > 0
    fallen = np.bincount(number, weights=np.nan_to_num(rain)).astype(np.float64)
    lost = rain_days(fallen)
    months = (days[0].astype("datetime64[D]") + np.arange(len(known))).astype("datetime64[M]").astype(np.intp) % 12
    every = np.bincount(months[known], minlength=12).tolist()
    of_them = np.bincount(months[known & lost], minlength=12).tolist()
    return tuple(count / all_ * usual if all_ else None for count, all_, usual in zip(of_them, every, DAYS, strict=True))


@dataclass(frozen=True)
class CalendarDays:
    """Days of the calendar that so many days of work take.

    Attributes
    ----------
    mean : float or None
        None where some seasons end before.
    p50, p80, p90 : float
        Whole days; infinite where so many seasons end before.
    """

    mean: float | None
    p50: float
    p80: float
    p90: float


def calendar_days(work: int, chance: float) -> CalendarDays:
    """Return the days of the calendar for `work` workable days, where each day is workable with a chance of its own.

    The days that are not are negative binomial: of t days at least n are workable with probability I_p(n, t − n + 1).

    Examples
    --------
    >>> calendar_days(60, 0.75)
    CalendarDays(mean=80.0, p50=80, p80=84, p90=87)
    """
    if chance <= 0.0:
        return CalendarDays(None, float("inf"), float("inf"), float("inf"))
    return CalendarDays(work / chance, *(_days_within(work, chance, share) for share in (0.5, 0.8, 0.9)))


def _days_within(work: int, chance: float, share: float) -> int:
    betainc: Any
    from scipy.special import betainc

    def enough(days: int) -> bool:
        return bool(betainc(work, days - work + 1, chance) >= share)

    low, high = work, work
    while not enough(high):
        low, high = high + 1, 2 * high
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle + 1, high)
    return low


def drawn_days(work: int, workable: NDArray[bool_], there: NDArray[bool_]) -> CalendarDays:
    """Return the same of drawn seasons, a row each: whether a day has hours of work at all, and whether they can be used.

    Days without hours, such as days of rest, are not counted.
    """
    reached = (workable.cumsum(axis=1) >= work) & there
    days = there.cumsum(axis=1)[np.arange(len(there)), reached.argmax(axis=1)].astype(float)
    days[~reached.any(axis=1)] = np.inf
    p50, p80, p90 = (float(np.quantile(days, share, method="inverted_cdf")) for share in (0.5, 0.8, 0.9))
    return CalendarDays(float(days.mean()) if np.isfinite(days).all() else None, p50, p80, p90)
