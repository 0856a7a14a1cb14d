"""How much will calendar and sky take from each kind of work, month by month, before anything is built?

Clocks are drawn for many builds and read month by month: nothing in here knows a build, a crew or a mat.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from typing import TYPE_CHECKING

from simulation.chance import Streams
from simulation.conditions.clock import ClockPlan, WorkClock
from simulation.conditions.effects import HourEffects
from simulation.conditions.hourly import HOURS, HourlySky, SkyPlan
from simulation.conditions.kinds import wind_clocks
from simulation.conditions.limits import Limits
from simulation.conditions.work_and_rest import water

if TYPE_CHECKING:
    import numpy as np
    from numpy import float64
    from numpy.typing import NDArray

#: What is told of work itself, beside its losses.
AT_WORK = "at work"


@dataclass(frozen=True)
class Month:
    """One month of a scenario, or the part of it that lies between hour zero and the horizon."""

    year: int
    month: int
    start: float
    end: float


@dataclass(frozen=True)
class LostHours:
    """Hours of the months of a scenario, of many drawn skies.

    Attributes
    ----------
    months : tuple of Month
    hours : dict of (str, int, str) to ndarray
        By kind of work, place of the month, and cause (or `AT_WORK`): one number for each sky. For a kind and a month they sum to
        the hours of the month.
    """

    months: tuple[Month, ...]
    hours: dict[tuple[str, int, str], NDArray[float64]]

    def mean(self, kind: str, month: int, cause: str) -> float:
        """Return the mean of the hours that a cause takes; 0 where it takes none."""
        found = self.hours.get((kind, month, cause))
        return 0.0 if found is None else float(found.mean())

    def quantile(self, kind: str, month: int, causes: Iterable[str], share: float) -> float:
        """Return what the hours that some causes take together do not exceed in this share of the skies: an order statistic."""
        import numpy as np

        found = [self.hours[kind, month, cause] for cause in causes if (kind, month, cause) in self.hours]
        return float(np.quantile(sum(found), share, method="inverted_cdf")) if found else 0.0

    def causes(self, kind: str) -> tuple[str, ...]:
        """Return what a kind of work loses hours to in any month, in the order in which they were met."""
        return tuple(dict.fromkeys(cause for one, _, cause in self.hours if one == kind and cause != AT_WORK))


def months_of(starts: datetime, horizon: float) -> tuple[Month, ...]:
    """Return the months from hour zero to the horizon; the first and the last may be parts of one."""
    edges, moment = [starts], starts
    while True:
        year, month = moment.year + moment.month // 12, moment.month % 12 + 1
        moment = datetime(year, month, 1)
        hours = (moment - starts).total_seconds() / 3600
        if hours >= horizon:
            break
        edges.append(moment)
    begins = [(edge - starts).total_seconds() / 3600 for edge in edges]
    return tuple(
        Month(edge.year, edge.month, low, high) for edge, (low, high) in zip(edges, pairwise([*begins, horizon]), strict=True)
    )


def lost_hours(
    plans: Mapping[str, ClockPlan], sky: SkyPlan, seed: int, skies: int, kinds: Sequence[str], horizon: float
) -> LostHours:
    """Return what is lost by kind of work, month and cause.

    Parameters
    ----------
    plans : dict of str to ClockPlan
        From `clock_plans`.
    sky : SkyPlan
        From `sky_plan`.
    seed : int
        The scenario's: sky n is that of build n.
    skies : int
        How many are drawn.
    kinds : sequence of str
        Kinds of work to tell of, keys of `plans`.
    horizon : float
        Hours since hour zero that are looked at; at most that of the plans.
    """
    import numpy as np

    months = months_of(sky.starts, horizon)
    hours: dict[tuple[str, int, str], NDArray[np.float64]] = {}

    for number in range(skies):
        luck = Streams(seed, number)
        clocks = wind_clocks(dict(plans), HourlySky(sky, luck), luck)
        for kind in kinds:
            for place, month in enumerate(months):
                clock = clocks[kind]
                spent = {AT_WORK: clock.worked(month.start, month.end), **clock.losses(month.start, month.end)}
                for cause, lost in spent.items():
                    hours.setdefault((kind, place, cause), np.zeros(skies))[number] = lost
    return LostHours(months, hours)


def hours_of_caution(clock: WorkClock, effects: HourEffects, below: float, start: float, end: float) -> float:
    """Return the hours worked between two moments in a wind chill below so many °C: short of a stop, but with care."""
    hours, block, cold = 0.0, -1, []
    for hour, low, high in _hours_between(start, end):
        if hour // HOURS != block:
            block = hour // HOURS
            cold = (effects.chill(block) < below).tolist()
        if cold[hour % HOURS]:
            hours += clock.worked(low, high)
    return hours


def _hours_between(start: float, end: float) -> Iterator[tuple[int, float, float]]:
    for hour in range(int(start), math.ceil(end)):
        yield hour, max(float(hour), start), min(hour + 1.0, end)


def water_of_shifts(clock: WorkClock, limits: Limits, effects: HourEffects, start: float, end: float) -> float:
    """Return the quarts of water that one person drinks between two moments: by the heat of each hour that is on shift at all.

    People drink while they rest as well, so an hour counts by whether anything of it is worked.
    """
    assert limits.effort is not None
    quarts, block, by_hour = 0.0, -1, []
    for hour, low, high in _hours_between(start, end):
        if clock.worked(low, high) > 0.0:
            if hour // HOURS != block:
                block = hour // HOURS
                by_hour = water(effects.heat(block), limits.effort).tolist()
            quarts += by_hour[hour % HOURS] * (high - low)
    return quarts
