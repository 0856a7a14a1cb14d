"""What takes each hour of each day of one drawn season from a kind of work?"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.chance import Streams
from simulation.conditions import HourlySky, clock_plans, make_clocks, sky_plan
from simulation.conditions.clock.lost_hours import AT_WORK, productive_share, tally
from simulation.conditions.stops.limits_from_scenario import plan_efficiency
from simulation.questions.conditions.work_lost import CALENDAR
from simulation.scenario import Scenario

#: Hours that weather must take of an hour for it to be shown, ten minutes; and calendar and light, half an hour: work under
#: lights, or with a short break in it, is work. Planning values.
LEAST, LEAST_OF_CALENDAR = 1 / 6 - 1e-9, 1 / 2 - 1e-9


@dataclass(frozen=True)
class SeasonHours:
    """The hours of one season.

    Attributes
    ----------
    season : int
        Its number: the sky is that of the run of this number.
    first : datetime.date
        The local day of the start.
    days : tuple of tuple of str
        Of each local day, for each of its 24 hours, the cause that took most of it, of those that took `LEAST`; `AT_WORK` where
        none did, and an empty text before the start and after the last day simulated.
    shares : tuple of tuple of float
        How much of each hour that cause took; 1 where none did.
    """

    season: int
    first: date
    days: tuple[tuple[str, ...], ...]
    shares: tuple[tuple[float, ...], ...]

    def day(self, number: int) -> date:
        """Return the date of one of the days, counted from 0."""
        return self.first + timedelta(days=number)

    @property
    def causes(self) -> frozenset[str]:
        """Every cause that is shown of any hour."""
        return frozenset(cause for day in self.days for cause in day if cause)


def draw_hours(scenario: Scenario, seed: int, season: int, clock: str) -> SeasonHours:
    """Return the hours of one season of a scenario by the clock of that name, up to the last day simulated."""
    plans, streams = clock_plans(scenario), Streams(seed, season)
    clocks = make_clocks(
        {clock: plans[clock]},
        HourlySky(sky_plan(scenario), streams),
        streams,
        productive_share(plan_efficiency(scenario), streams),
    )
    starts, horizon = scenario.starts, scenario.horizon
    before = starts.hour + starts.minute / 60 + starts.second / 3600
    days = int(np.ceil((horizon + before) / 24 - 1e-9))
    edges = np.clip(np.arange(24 * days + 1) - before, 0.0, horizon)
    taken_by = tally(clocks[clock], edges.tolist())
    causes = [cause for cause in taken_by if cause != AT_WORK]
    names = np.array([AT_WORK, *causes, ""])
    taken = np.stack([np.full(len(edges) - 1, 1e-12), *(_where_enough(cause, taken_by[cause]) for cause in causes)])
    which = taken.argmax(axis=0)
    whole = np.diff(edges)
    which[whole < 1e-9] = len(names) - 1
    shown = names[which].reshape(days, 24)
    by_work = (which == 0) | (which == len(names) - 1)
    shares = np.where(by_work, 1.0, np.minimum(taken.max(axis=0) / np.maximum(whole, 1e-9), 1.0)).reshape(days, 24)
    return SeasonHours(
        season, starts.date(), tuple(tuple(str(cause) for cause in day) for day in shown), tuple(map(tuple, shares.tolist()))
    )


def _where_enough(cause: str, taken: NDArray[float64]) -> NDArray[float64]:
    least = LEAST_OF_CALENDAR if cause in CALENDAR else LEAST
    return np.where(taken >= least, taken, 0.0)
