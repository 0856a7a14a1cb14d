"""How much will calendar and sky take from each kind of work, day by day, before anything is built?

Clocks are drawn for many runs and read by days and months: nothing in here knows a run, a crew or a mat.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from itertools import pairwise

import numpy as np
from numpy import float64, intp
from numpy.typing import NDArray

from simulation.chance import LevelPlan, Streams, draw_levels
from simulation.conditions.clock.calendar import losses_of
from simulation.conditions.clock.clock import ClockPlan, WorkClock
from simulation.conditions.clock.work_clocks import make_clocks
from simulation.conditions.sky.hourly import HOURS, HourlySky, SkyPlan
from simulation.conditions.stops.effects import HourEffects
from simulation.conditions.stops.weather_limits import Limits, Surroundings
from simulation.conditions.stops.work_and_rest import water

Array = NDArray[float64]

#: What is told of work itself, beside its losses.
AT_WORK = "at work"


@dataclass(frozen=True)
class Month:
    """One month of a scenario, or the part of it that lies between the start and the last day simulated."""

    year: int
    month: int
    start: float
    end: float


@dataclass(frozen=True)
class Asked:
    """What is asked of the skies beside the hours of the clocks.

    Attributes
    ----------
    shifts : dict of str to tuple of float
        By kind of work, when its shifts begin, for the water of each; only kinds that heat has rest.
    caution_below : float or None
        °C of wind chill below which hours at work are hours of caution.
    efficiency : LevelPlan or None
        The productive share of a crew's hour, drawn for each sky, which tells how much of their rest in the heat crews have had.
    day_ends : dict of str to float
        By kind of work, hours past midnight at which its days end, where that is not midnight.
    """

    shifts: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    caution_below: float | None = None
    efficiency: LevelPlan | None = None
    day_ends: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class LostHours:
    """Hours of the days and months of a scenario, of many drawn skies.

    Attributes
    ----------
    months : tuple of Month
    borders : tuple of float
        Where local days begin and end, hours since the start, from it to the last day simulated. Those of a kind of work whose
        shift goes on
        past midnight end with the shift; they are as many.
    by_day : dict of (str, str) to ndarray
        By kind of work and cause (or `AT_WORK`): a row for each sky, a column for each day. For a kind and a day they sum to the
        hours of the day.
    hours : dict of (str, int, str) to ndarray
        The same by kind of work, place of the month, and cause: one number for each sky.
    rain : ndarray
        mm, a row for each sky, a column for each day.
    water : dict of str to ndarray
        Quarts that one person drinks, a row for each sky, a column for each shift; only what was asked for.
    caution : dict of str to ndarray
        Hours at work in a wind chill of caution, a row for each sky, a column for each day; only what was asked for.
    """

    months: tuple[Month, ...]
    borders: tuple[float, ...]
    by_day: dict[tuple[str, str], Array]
    hours: dict[tuple[str, int, str], Array]
    rain: Array
    water: dict[str, Array]
    caution: dict[str, Array]

    def mean(self, kind: str, month: int, cause: str) -> float:
        """Return the mean of the hours that a cause takes; 0 where it takes none."""
        hours = self.hours.get((kind, month, cause))
        return 0.0 if hours is None else float(hours.mean())

    def quantile(self, kind: str, month: int, causes: Iterable[str], share: float) -> float:
        """Return what the hours that some causes take together do not exceed in this share of the skies: an order statistic."""
        hours = [self.hours[kind, month, cause] for cause in causes if (kind, month, cause) in self.hours]
        return float(np.quantile(sum(hours), share, method="inverted_cdf")) if hours else 0.0

    def causes(self, kind: str) -> tuple[str, ...]:
        """Return what a kind of work loses hours to in any month, in the order in which they were met."""
        return tuple(cause for work, cause in self.by_day if work == kind and cause != AT_WORK)

    def days_of(self, month: int) -> slice:
        """Return which of the days are those of a month."""
        low, high = self.months[month].start, self.months[month].end
        starts = np.array(self.borders[:-1])
        return slice(int(np.searchsorted(starts, low - 1e-9)), int(np.searchsorted(starts, high - 1e-9)))


def list_months(starts: datetime, horizon: float) -> tuple[Month, ...]:
    """Return the months from the start to the last day simulated; the first and the last may be parts of one."""
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


def days_of(starts: datetime, horizon: float) -> tuple[float, ...]:
    """Return where local days begin and end from the start to the last day simulated, in hours since the start."""
    midnight = 24.0 - (starts.hour + starts.minute / 60 + starts.second / 3600)
    days = max(0, math.ceil((horizon - midnight) / 24.0 - 1e-9))
    return (0.0, *(midnight + 24.0 * day for day in range(days)), horizon)


def _worked_days(borders: tuple[float, ...], ends: float) -> tuple[float, ...]:
    """Return where days begin and end that end so many hours past midnight; the first begins with the start all the same."""
    first, *inner, last = borders
    return (first, *(min(border + ends, last) for border in inner), last)


def lost_hours(
    plans: Mapping[str, ClockPlan],
    sky: SkyPlan,
    seed: int,
    skies: int,
    kinds: Sequence[str],
    horizon: float,
    asked: Asked | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> LostHours:
    """Return what is lost by kind of work, day, month and cause.

    Parameters
    ----------
    plans : dict of str to ClockPlan
        From `clock_plans`.
    sky : SkyPlan
        From `sky_plan`.
    seed : int
        The scenario's: sky n is that of run n.
    skies : int
        How many are drawn.
    kinds : sequence of str
        Kinds of work to tell of, keys of `plans`.
    horizon : float
        Hours since the start that are looked at; at most that of the plans.
    asked : Asked, optional
        What else is to be told. Default: nothing.
    progress : callable, optional
        Told how many skies are wound of how many.
    """
    asked = asked or Asked()
    months, borders = list_months(sky.starts, horizon), days_of(sky.starts, horizon)
    by_day: dict[tuple[str, str], Array] = {}
    rain = np.zeros((skies, len(borders) - 1))
    days = {kind: _worked_days(borders, asked.day_ends.get(kind, 0.0)) for kind in kinds}
    quarts = {kind: np.zeros((skies, len(begins))) for kind, begins in asked.shifts.items()}
    caution = {kind: np.zeros((skies, len(borders) - 1)) for kind in kinds if asked.caution_below is not None}
    wanted = {kind: plans[kind] for kind in kinds}

    for number in range(skies):
        luck = Streams(seed, number)
        drawn = HourlySky(sky, luck)
        clocks = make_clocks(wanted, drawn, luck, productive_share(asked.efficiency, luck))
        effects = clocks.effects or HourEffects(Surroundings(), drawn)
        for kind in kinds:
            for cause, lost in tally(clocks[kind], days[kind]).items():
                by_day.setdefault((kind, cause), np.zeros((skies, len(lost))))[number] = lost
            if asked.caution_below is not None:
                caution[kind][number] = hours_of_caution(clocks[kind], effects, asked.caution_below, days[kind])
            if kind in quarts and (limits := wanted[kind].limits) is not None:
                quarts[kind][number] = water_of_shifts(clocks[kind], limits, effects, (*asked.shifts[kind], horizon))
        if not sky.dry:
            rain[number] = _rain(drawn, borders)
        if progress is not None:
            progress(number + 1, skies)

    firsts = [int(np.searchsorted(borders[:-1], month.start - 1e-9)) for month in months]
    hours = {
        (kind, index, cause): sums
        for (kind, cause), each in by_day.items()
        for index, sums in enumerate(np.add.reduceat(each, firsts, axis=1).T)
    }
    return LostHours(months, borders, by_day, hours, rain, quarts, caution)


def productive_share(efficiency: LevelPlan | None, luck: Streams) -> float:
    """Return the productive share of a crew's hour in the run of these streams; 1 where nothing is said of it."""
    return 1.0 if efficiency is None else draw_levels([efficiency], luck)[efficiency.key]


def tally(clock: WorkClock, borders: Sequence[float]) -> dict[str, Array]:
    """Return the hours of a clock between each of some rising moments and the next, by cause, and `AT_WORK`; they sum to all."""
    layout = clock.laid_out(borders[-1])
    times = np.array(layout.times)
    spans = np.diff(times)
    rates: dict[str, Array] = {AT_WORK: np.array(layout.rates)}
    # A clock has thousands of segments and few different causes of a loss.
    groups: dict[object, list[int]] = {}
    for index, (cause, rate) in enumerate(zip(layout.causes, layout.rates, strict=True)):
        if cause is not None:
            groups.setdefault((cause, rate), []).append(index)
    for places in groups.values():
        for name, share in losses_of(layout.causes[places[0]], layout.rates[places[0]]):
            rates.setdefault(name, np.zeros(len(spans)))[places] += share
    moments = np.array(borders)
    return {
        name: np.diff(np.interp(moments, times, np.concatenate(([0.0], np.cumsum(spans * rate))))) for name, rate in rates.items()
    }


@dataclass(frozen=True)
class _Pieces:
    """Hours cut at some moments: when each piece begins, which hour since the start it lies in, and after which moment."""

    edges: Array
    hour: NDArray[intp]
    index: NDArray[intp]

    @classmethod
    def of(cls, borders: Sequence[float]) -> _Pieces:
        edges = np.union1d(np.array(borders), np.arange(math.ceil(borders[0]), math.floor(borders[-1]) + 1))
        middles = (edges[:-1] + edges[1:]) / 2
        index = np.searchsorted(np.array(borders), middles, side="right") - 1
        return cls(edges, np.floor(middles).astype(intp), index)

    def sums(self, values: Array, count: int) -> Array:
        return np.bincount(self.index, weights=values, minlength=count).astype(float64)


def _by_hours(pieces: _Pieces, block: object) -> Array:
    """Return what a function of blocks says of the hour of each piece."""
    assert callable(block)
    numbers = range(int(pieces.hour[0]) // HOURS, int(pieces.hour[-1]) // HOURS + 1)
    values: Array = np.concatenate([block(number) for number in numbers])
    return values[pieces.hour - numbers[0] * HOURS]


def hours_of_caution(clock: WorkClock, effects: HourEffects, below: float, borders: Sequence[float]) -> Array:
    """Return the hours worked between each of some moments and the next in a wind chill below so many °C: short of a stop."""
    pieces = _Pieces.of(borders)
    worked = tally(clock, pieces.edges.tolist())[AT_WORK]
    return pieces.sums(np.where(_by_hours(pieces, effects.chill) < below, worked, 0.0), len(borders) - 1)


def water_of_shifts(clock: WorkClock, limits: Limits, effects: HourEffects, borders: Sequence[float]) -> Array:
    """Return the quarts of water that one person drinks between each of some moments and the next.

    By the heat of each hour that is on shift at all: people drink while they rest as well, so an hour counts whole if anything of
    it is worked.
    """
    effort = limits.effort
    assert effort is not None
    pieces = _Pieces.of(borders)
    worked = tally(clock, pieces.edges.tolist())[AT_WORK]
    quarts = _by_hours(pieces, lambda number: water(effects.heat(number), effort))
    # What is left of a piece by sums that are not exact to the last bit is no work.
    return pieces.sums(np.where(worked > 1e-9, quarts * np.diff(pieces.edges), 0.0), len(borders) - 1)


def _rain(sky: HourlySky, borders: Sequence[float]) -> Array:
    pieces = _Pieces.of(borders)
    return pieces.sums(_by_hours(pieces, lambda number: sky.block(number).rain) * np.diff(pieces.edges), len(borders) - 1)
