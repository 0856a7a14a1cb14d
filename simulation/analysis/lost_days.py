"""On which day is how much lost, and to what? The hours of each day on which the laying crews did not lay, by cause.

What calendar, sun and weather take of a day does not depend on how far a build has come, so the laying clock of a build can be
wound again without doing the build: what it lost on each day is exact, build by build. What was lost on shift, waiting for mats,
ground or forklifts, is the rest between the clock's hours and the hours at work that the record of the build holds.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from simulation.analysis.use_by_day import day_borders, days_recorded
from simulation.build.chain import LOSSES

if TYPE_CHECKING:
    from simulation.analysis.readiness import Forecast

#: Builds that are read, at the most: winding their clocks takes a few milliseconds each. Planning value.
MOST = 400
WAITING, ABSENT, WORKING = "waiting on shift", "crews not there", "at work"


@dataclass(frozen=True)
class LostDays:
    """Hours of the laying crews' days, means over builds; a build's days count up to its readiness, or to the horizon.

    Attributes
    ----------
    builds : int
        Read: the first ones of the forecast.
    borders : tuple of float
        Where days begin and end, hours since hour zero.
    hours : dict of str to tuple of float
        Of each day: `WORKING`, `WAITING` and `ABSENT`, means of the crews while the laying clock ran, and what that clock lost,
        by cause. On a day that every build went through to its end, they sum to 24.
    beyond : int
        Builds that went on after the last of the days.
    """

    builds: int
    borders: tuple[float, ...]
    hours: dict[str, tuple[float, ...]]
    beyond: int

    @property
    def causes(self) -> tuple[str, ...]:
        """What hours were lost to at all, what was lost on shift first."""
        of_the_clock = sorted((cause for cause in self.hours if cause in LOSSES), key=LOSSES.index, reverse=True)
        return tuple(cause for cause in (WAITING, ABSENT, *of_the_clock) if any(self.hours[cause]))

    def total(self, cause: str) -> float:
        """Return the hours of a cause, all days together."""
        return math.fsum(self.hours[cause])


def lost_days_of(forecast: Forecast, most: int = MOST) -> LostDays:
    """Return the hours that the laying crews lost on each day, by cause, over the first `most` builds of a forecast."""
    from simulation.build import compile_plan
    from simulation.build.site import Site
    from simulation.chance import Streams

    plan = replace(compile_plan(forecast.scenario), seed=forecast.seed, sampling=forecast.sampling)
    builds = forecast.builds.head(most)
    borders = day_borders(forecast.calendar, days_recorded(builds))
    days = list(pairwise(borders))
    until = [min(hours, plan.horizon) for hours in builds[f"milestone.{forecast.readiness.name}"]]
    on_shift, working = (
        [builds[f"day.{number}.crews.{what}"].to_numpy() / len(plan.crews) for number in range(1, len(days) + 1)]
        for what in ("on shift", "working")
    )
    sums = {cause: [0.0] * len(days) for cause in (WORKING, WAITING, ABSENT, *LOSSES)}
    for place, (replication, last) in enumerate(zip(builds["replication"], until, strict=True)):
        # A site that nobody comes to: its clocks are those of the build.
        clock = Site(plan, Streams(plan.seed, int(replication))).clocks["laying"]
        for day, (start, end) in enumerate(days):
            if start >= last:
                break
            end = min(end, last)
            there, worked = float(on_shift[day][place]), float(working[day][place])
            sums[WORKING][day] += worked
            sums[WAITING][day] += there - worked
            sums[ABSENT][day] += clock.worked(start, end) - there
            for cause, hours in clock.losses(start, end).items():
                sums[cause][day] += hours
    shown = max((place for place, (start, _) in enumerate(days, 1) if any(last > start for last in until)), default=0)
    means = {cause: tuple(_settled(hours / len(builds)) for hours in each[:shown]) for cause, each in sums.items()}
    return LostDays(len(builds), borders[: shown + 1], means, sum(last > borders[-1] + 1e-9 for last in until))


def _settled(hours: float) -> float:
    """Return hours without what only the last bits of many sums leave."""
    return 0.0 if abs(hours) < 1e-6 else hours
