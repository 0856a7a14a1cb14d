"""On which day is how much lost, and to what? The hours of each day on which the laying crews did not lay, by cause.

What calendar, sun and weather take of a day does not depend on how far a run has come, so the clocks that the crews of a run
went by can be wound again without doing the run: what they lost on each day is exact, run by run. What was lost on shift,
waiting for mats, ground or forklifts, is the rest between the clocks' hours and the hours at work that the run's record holds.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from simulation.conditions.clock.calendar import OFF_SHIFT
from simulation.conditions.clock.clock import WorkClock
from simulation.conditions.stops.weather_limits import HEAT
from simulation.construction.trace.chain import LOSSES
from simulation.questions.forecast.days.use_by_day import day_borders, days_recorded
from simulation.questions.forecast.study import Forecast

#: Runs that are read, at the most: winding their clocks takes a few milliseconds each. Planning value.
MOST_RUNS_READ = 400
WAITING, ABSENT, WORKING = "waiting on shift", "crews not there", "at work"


@dataclass(frozen=True)
class LostDays:
    """Hours of the laying crews' days, means over runs; a run's days count up to its readiness, or to the last day simulated.

    Attributes
    ----------
    runs : int
        Read: the first ones of the forecast.
    borders : tuple of float
        Where days begin and end, hours since the start.
    hours : dict of str to tuple of float
        Of each day, means of the crews: `WORKING`, `WAITING` and `ABSENT` while their own clocks ran, and what these lost, by
        cause. On a day that every run went through to its end, they sum to 24. Work past the end of hours is taken off those
        off shift, and work of a crew that rests in another's turns off what its own clock lost to heat.
    beyond : int
        Runs that went on after the last of the days.
    flown : str
        The area that is flown from while it is laid; empty where none is.
    closed : tuple of float
        Hours of each day in which it was closed for flying and crews were on shift, mean of the crews. Who was on it waits in
        them, so they are hours of `WAITING`; who has work elsewhere goes on, so that they may be hours of `WORKING` too. Empty
        where no area is flown from.
    """

    runs: int
    borders: tuple[float, ...]
    hours: dict[str, tuple[float, ...]]
    beyond: int
    flown: str = ""
    closed: tuple[float, ...] = ()

    @property
    def causes(self) -> tuple[str, ...]:
        """What hours were lost to at all, what was lost on shift first."""
        of_the_clock = sorted((cause for cause in self.hours if cause in LOSSES), key=LOSSES.index, reverse=True)
        return tuple(cause for cause in (WAITING, ABSENT, *of_the_clock) if any(self.hours[cause]))

    def total(self, cause: str) -> float:
        """Return the hours of a cause, all days together."""
        return math.fsum(self.hours[cause])


def tabulate_lost_days(forecast: Forecast, most: int = MOST_RUNS_READ) -> LostDays:
    """Return the hours that the laying crews lost on each day, by cause, over the first `most` runs of a forecast."""
    from simulation.chance import Streams
    from simulation.construction import compile_plan
    from simulation.construction.site.site import Site

    plan = replace(compile_plan(forecast.scenario), seed=forecast.seed, sampling=forecast.sampling)
    runs = forecast.table.head(most)
    borders = day_borders(forecast.calendar, days_recorded(runs))
    days = list(pairwise(borders))
    until = [min(hours, plan.horizon) for hours in runs[f"milestone.{forecast.readiness.name}"].tolist()]
    on_shift, working = (
        [runs[f"day.{number}.crews.{what}"] / len(plan.crews) for number in range(1, len(days) + 1)]
        for what in ("on shift", "working")
    )
    flying = plan.flying
    opened = [0.0] * len(runs) if flying is None else runs[f"milestone.{plan.milestones[flying.milestone].name}"].tolist()
    of_crews = Counter(crew.clock for crew in plan.crews)
    closed = [0.0] * len(days)
    sums = {cause: [0.0] * len(days) for cause in (WORKING, WAITING, ABSENT, *LOSSES)}
    for index, (run_number, last) in enumerate(zip(runs["run"], until, strict=True)):
        # A site that nobody comes to: its clocks are those of the run.
        clocks = Site(plan, Streams(plan.seed, int(run_number))).clocks
        shares = [(clocks[name], crews / len(plan.crews)) for name, crews in of_crews.items()]
        for day, (start, end) in enumerate(days):
            if start >= last:
                break
            end = min(end, last)
            there, worked = float(on_shift[day][index]), float(working[day][index])
            shut_spans = [] if flying is None else _closed(flying.spans, opened[index], start, end)
            ran, shut, lost = _of_clocks(shares, start, end, shut_spans)
            closed[day] += shut
            sums[WORKING][day] += worked
            sums[WAITING][day] += max(there - worked, 0.0)
            sums[ABSENT][day] += ran - there
            beyond = max(worked - there, 0.0)
            for cause in (HEAT, OFF_SHIFT, *LOSSES):
                taken = min(beyond, lost[cause])
                lost[cause], beyond = lost[cause] - taken, beyond - taken
            for cause, hours in lost.items():
                sums[cause][day] += hours
    shown = max((index for index, (start, _) in enumerate(days, 1) if any(last > start for last in until)), default=0)
    means = {cause: tuple(_settled(hours / len(runs)) for hours in each[:shown]) for cause, each in sums.items()}
    return LostDays(
        runs=len(runs),
        borders=borders[: shown + 1],
        hours=means,
        beyond=sum(last > borders[-1] + 1e-9 for last in until),
        flown="" if flying is None else forecast.scenario.area[flying.area].name,
        closed=() if flying is None else tuple(_settled(hours / len(runs)) for hours in closed[:shown]),
    )


def _of_clocks(
    shares: list[tuple[WorkClock, float]], start: float, end: float, closed: list[tuple[float, float]]
) -> tuple[float, float, dict[str, float]]:
    """Return the hours of part of a day that clocks ran, those of them in which the area was closed, and what they lost."""
    ran, shut, lost = 0.0, 0.0, dict.fromkeys(LOSSES, 0.0)
    for clock, share in shares:
        ran += share * clock.worked(start, end)
        for low, high in closed:
            shut += share * clock.worked(low, high)
        for cause, hours in clock.losses(start, end).items():
            lost[cause] += share * hours
    return ran, shut, lost


def _closed(spans: Sequence[tuple[float, float]], opened: float, start: float, end: float) -> list[tuple[float, float]]:
    """Return when between two moments an area that is flown from was closed."""
    parts = [(max(shut, start, opened), min(free, end)) for shut, free in spans]
    return [(low, high) for low, high in parts if low < high]


def _settled(hours: float) -> float:
    """Return hours without what only the last bits of many sums leave."""
    return 0.0 if abs(hours) < 1e-6 else hours
