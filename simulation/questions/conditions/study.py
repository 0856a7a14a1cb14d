"""How many hours and days will calendar, sun and weather take from each kind of work, before any of it is done?

Seasons are drawn as runs draw their weather: season n is the sky of run n, so what is lost here is what a forecast loses.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy import bool_, float64, intp
from numpy.typing import NDArray

from simulation.conditions import clock_plans, sky_plan
from simulation.conditions.clock.lost_hours import AT_WORK, Asked, LostHours, Month, list_months, lost_hours
from simulation.conditions.clock.work_clocks import SHIFTS
from simulation.conditions.stops.limits_from_scenario import plan_efficiency, unstated
from simulation.conditions.stops.work_and_rest import MOST_A_DAY
from simulation.construction.trace.chain import LOSSES
from simulation.questions.conditions.weather_origin import weather_origin
from simulation.questions.conditions.work_kinds import Work, list_works
from simulation.questions.conditions.work_lost import CALENDAR, Estimate, MonthLost, WorkLost, slower_causes
from simulation.questions.conditions.workable_days import LOST, calendar_days, drawn_days, rain_days, rain_days_of_record
from simulation.questions.forecast.study import Forecast
from simulation.scenario import Scenario
from simulation.scenario.types.mistakes import ScenarioError

#: Seasons that are drawn unless another number is asked for: P80 of a month is then known to about a tenth of its spread.
SEASONS = 200
#: Days of work that are asked about unless others are.
WORK_DAYS = 10

Array = NDArray[float64]
Flags = NDArray[bool_]


@dataclass(frozen=True)
class ConditionsResult:
    """The answer of `expected_losses`; `typical` is the season whose loss to weather is the median, of the first kind of work.

    `rain_days` are the days of each month lost by the rule of rain alone, `recorded` those of the record, where there is one.
    """

    scenario: Scenario
    seed: int
    seasons: int
    work_days: int
    months: tuple[Month, ...]
    works: tuple[WorkLost, ...]
    rain_days: tuple[Estimate, ...]
    recorded: tuple[float | None, ...] | None
    origin: dict[str, str]
    typical: dict[str, int] = field(repr=False)

    @cached_property
    def first(self) -> WorkLost:
        """The kind of work that comes first."""
        return self.works[0]


def expected_losses(
    scenario: Scenario,
    seasons: int = SEASONS,
    seed: int | None = None,
    months: int | None = None,
    work_days: int = WORK_DAYS,
    progress: Callable[[int, int], None] | None = None,
) -> ConditionsResult:
    """Return what calendar, sun and weather are expected to take from each kind of work of a scenario.

    Parameters
    ----------
    scenario : Scenario
    seasons : int, optional
        Seasons that are drawn.
    seed : int, optional
        Default: the scenario's.
    months : int, optional
        Months from that of the start on, whatever the last day simulated. Default: up to the last day simulated.
    work_days : int, optional
        Days of work of which it is asked how many days of the calendar they take.
    progress : callable, optional
        Told how many seasons are drawn of how many.

    Raises
    ------
    ScenarioError
        If work minds weather of which the scenario says nothing.
    """
    if months is not None:
        upto = list_months(scenario.starts, 24.0 * 32 * (months + 1))[months - 1].end
        scenario = scenario.model_copy(update={"horizon": upto})
    seed = scenario.seed if seed is None else seed
    plans, sky = clock_plans(scenario), sky_plan(scenario)
    works = list_works(scenario, plans)
    minded = {kind: limits for kind, plan in plans.items() if (limits := plan.limits) is not None}
    if missing := unstated(scenario, {kind: minded[kind] for kind in SHIFTS if kind in minded}, sky.stated):
        raise ScenarioError(scenario.title, missing)
    drinking = {work.clock: work.begins for work in works if work.clock in minded and minded[work.clock].effort}
    caution = scenario.cold.caution_below if scenario.cold else None
    kinds = [work.clock for work in works]
    asked = Asked(drinking, caution, plan_efficiency(scenario), {work.clock: work.day_ends for work in works})
    lost = lost_hours(plans, sky, seed, seasons, kinds, scenario.horizon, asked, progress)
    read = [_Reading(lost, work).read(work_days) for work in works]
    rainy = rain_days(lost.rain)
    records = scenario.weather.records
    return ConditionsResult(
        scenario=scenario,
        seed=seed,
        seasons=seasons,
        work_days=work_days,
        months=lost.months,
        works=tuple(row for row, _ in read),
        rain_days=tuple(
            Estimate.of(rainy[:, lost.days_of(month)].sum(axis=1).astype(float)) for month in range(len(lost.months))
        ),
        recorded=rain_days_of_record(records.record) if scenario.weather.model == "records" and records else None,
        origin=weather_origin(scenario, sky, {kind: plans[kind] for kind in kinds}),
        typical={row.work.name: typical for row, typical in read},
    )


def losses_of(forecast: Forecast, seasons: int = 100, progress: Callable[[int, int], None] | None = None) -> ConditionsResult:
    """Return what is expected to be lost in the months in which the runs of a forecast are at work; `progress` as above."""
    scenario = forecast.scenario
    hours = [hour for hour in forecast.table[f"milestone.{forecast.readiness.name}"].tolist() if math.isfinite(hour)]
    last = max(hours) if len(hours) == forecast.run_count else scenario.horizon
    return expected_losses(scenario, seasons, forecast.seed, len(list_months(scenario.starts, last)), progress=progress)


class _Reading:
    """The hours of one kind of work as they were drawn."""

    def __init__(self, lost: LostHours, work: Work) -> None:
        self.lost, self.work, kind = lost, work, work.clock
        self.at_work = lost.by_day[kind, AT_WORK]
        self.causes = sorted((cause for cause in lost.causes(kind) if lost.by_day[kind, cause].any()), key=LOSSES.index)
        self.weather = [cause for cause in self.causes if cause not in CALENDAR]
        taken = [lost.by_day[kind, cause] for cause in self.weather]
        self.by_cause = np.stack(taken) if taken else np.zeros((0, *self.at_work.shape))
        self.taken: Array = self.by_cause.sum(axis=0)
        self.usable: Array = self.at_work + self.taken
        self.there: Flags = self.usable > 1e-6
        self.gone: Flags = self.there & (self.taken >= LOST * self.usable)
        #: Of each day, which cause took most of it.
        self.most: NDArray[intp] = self.by_cause.argmax(axis=0) if taken else np.zeros(self.at_work.shape, dtype=np.intp)

    def read(self, work_days: int) -> tuple[WorkLost, int]:
        """Return what is lost of it, and the season whose loss to weather is the median."""
        kind, of = self.work.clock, self.lost.by_day
        seasons = self.taken.sum(axis=1)
        there = float(self.there.sum(axis=1).mean())
        every = self.there.shape[1]
        calendar = drawn_days(work_days, self.there & ~self.gone, np.ones_like(self.there))
        chance = self.workable(int(min(calendar.p90, every)))
        middle = Estimate.of(seasons).p50
        row = WorkLost(
            work=self.work,
            at_work=Estimate.of(self.at_work.sum(axis=1)),
            hours={cause: Estimate.of(of[kind, cause].sum(axis=1)) for cause in self.causes},
            days={
                cause: Estimate.of((self.gone & (self.most == index)).sum(axis=1).astype(float))
                for index, cause in enumerate(self.weather)
            },
            lost_hours=Estimate.of(seasons),
            lost_days=Estimate.of(self.gone.sum(axis=1).astype(float)),
            days_with_hours=there,
            days_without=self.there.shape[1] - there,
            workable=self.workable(every),
            drawn=drawn_days(work_days, self.there & ~self.gone, self.there),
            independent=calendar_days(work_days, chance),
            calendar=calendar,
            chance=chance,
            months=tuple(self.read_month(index) for index in range(len(self.lost.months))),
        )
        return row, int(np.abs(seasons - middle).argmin())

    def workable(self, days: int) -> float:
        """Return which share of the days with hours, of the first so many, is not lost; 0 where there are none."""
        there = int(self.there[:, :days].sum())
        return 1.0 - int(self.gone[:, :days].sum()) / there if there else 0.0

    def read_month(self, index: int) -> MonthLost:
        """Return what weather takes of it in one month."""
        lost, kind = self.lost, self.work.clock
        days, month = lost.days_of(index), lost.months[index]
        drunk, too_much = None, 0.0
        if kind in lost.water:
            begins = np.array(self.work.begins)
            mine = lost.water[kind][:, (begins >= month.start) & (begins < month.end)]
            # Where two sets of people keep a shift, each drinks its part of it.
            each = mine[mine > 0.0] / self.work.sets
            too_much = float((each > MOST_A_DAY + 1e-9).mean()) if each.size else 0.0
            drunk = Estimate.of(np.minimum(each, MOST_A_DAY)) if each.size else Estimate(0.0, 0.0, 0.0)
        return MonthLost(
            usable=float(self.usable[:, days].sum(axis=1).mean()),
            slower=sum(lost.mean(kind, index, cause) for cause in self.causes if cause in slower_causes(self.work)),
            hours=Estimate.of(self.taken[:, days].sum(axis=1)),
            by_cause={cause: lost.mean(kind, index, cause) for cause in self.weather},
            days=Estimate.of(self.gone[:, days].sum(axis=1).astype(float)),
            water=drunk,
            too_much=too_much,
            caution=Estimate.of(lost.caution[kind][:, days].sum(axis=1)) if kind in lost.caution else None,
        )
