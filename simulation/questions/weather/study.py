"""What does a record of weather say, and how well does the model fitted to it reproduce it?

Record and model are measured alike: the model as many records of the same hours, drawn as runs draw their weather.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy import bool_, float64, intp
from numpy.typing import NDArray

from simulation.chance import Streams
from simulation.conditions.fit.fitting import Fit, fit
from simulation.conditions.sky.hourly import HOURS, HourlySky, SkyPlan
from simulation.conditions.sky.hourly_variables import LIGHT, MODERATE, months_and_hours
from simulation.scenario.rules.weather_rules import ONE_YEAR
from simulation.scenario.weather_record.weather_record import WeatherRecord
from simulation.scenario.weather_record.weather_records import WeatherFile

#: Hours drawn for a comparison: 100 years, in records as long as the one that is compared. Their seed.
DRAWN, SEED = 100 * 8766, 1
#: Records drawn at least, so that their 5 % and 95 % quantiles say something.
FEWEST = 20

Flags = NDArray[bool_]


@dataclass(frozen=True)
class Measure:
    """One figure of the record, and of the model: the mean of the drawn records and the range of nine in ten of them."""

    name: str
    record: float
    model: float
    low: float
    high: float

    @property
    def within(self) -> bool:
        """Whether the record lies in the range."""
        return self.low <= self.record <= self.high


@dataclass(frozen=True)
class Spread:
    """What the picture shows, of the record or of the model.

    Attributes
    ----------
    by_month : list of float
        Share of wet hours, or days; NaN for a month that was not recorded.
    dry_spells : ndarray
        Lengths of whole dry spells, ascending.
    weeks : ndarray
        Wet hours, or days, of each week, ascending.
    """

    by_month: list[float]
    dry_spells: NDArray[intp]
    weeks: NDArray[intp]


@dataclass(frozen=True)
class WeatherResult:
    """The answer of `fit_weather`; `unit` is ``"hour"`` or ``"day"``."""

    named: WeatherFile
    fit: Fit
    unit: str
    measures: tuple[Measure, ...]
    recorded: Spread
    drawn: Spread
    drawn_records: int
    classes: dict[str, float]

    @property
    def record(self) -> WeatherRecord:
        """The record."""
        return self.named.record

    @property
    def days(self) -> int:
        """How many days the record goes over."""
        return round(self.record.length * self.record.step / 24)

    @property
    def months(self) -> frozenset[int]:
        """The months, from 0, of which the record knows any rain."""
        known = ~np.isnan(self.record.values["rain"])
        return frozenset(_months(self.record)[known].tolist())

    @property
    def share(self) -> tuple[float, float]:
        """Share of the record's hours (days) that are wet, and of those of the fitted chain in the same months.

        Of hours by the chain's equilibrium, so without the luck of drawing; of days the mean of the drawn records.
        """
        first = self.measures[0]
        if self.record.step == 24:
            return first.record, first.model
        known = _months(self.record)[~np.isnan(self.record.values["rain"])]
        hours = np.bincount(known, minlength=12)
        return first.record, float(np.average([self.fit.chain.shares(month)[0] for month in range(12)], weights=hours))

    @property
    def in_sample(self) -> bool:
        """Whether the record is one year, so that nothing but what it was fitted to is left to compare with."""
        return self.record.years <= ONE_YEAR


def fit_weather(named: WeatherFile) -> WeatherResult:
    """Return what is fitted to a record, and how well records drawn from it resemble it."""
    record = named.record
    fitted = fit(record, named.wet, named.by)
    rain = record.values["rain"]
    unit = "hour" if record.step == 1 else "day"
    midnight = (24 - record.first.hour) % 24

    def measure(wet: Flags, known: Flags) -> dict[str, float]:
        return _by_hours(wet, known, midnight) if record.step == 1 else _by_days(wet, known)

    known: Flags = ~np.isnan(rain)
    wet: Flags = known & (rain >= named.wet)
    hours = record.length * record.step
    number = max(FEWEST, round(DRAWN / hours))
    plan = SkyPlan(record.first, fitted.chain, fitted.air)
    drawn = [_draw_wet(plan, run, hours, record.step) for run in range(number)]
    # What the record does not know is not measured in the drawn ones either.
    figures = [measure(flags & known, known) for flags in drawn]
    measures = tuple(
        Measure(name, value, *_range([figure[name] for figure in figures])) for name, value in measure(wet, known).items()
    )
    months = _months(record)
    recorded = _spread([wet], known, months, record.step)
    spread = _spread(drawn, known, months, record.step)
    return WeatherResult(named, fitted, unit, measures, recorded, spread, number, share_by_class(rain[wet]))


def share_by_class(rain: NDArray[np.float64]) -> dict[str, float]:
    """Return the share of the rain that falls in hours of each class (AMS glossary); `rain` in mm/h."""
    total = max(float(rain.sum()), 1e-12)
    classes = {"light": rain <= LIGHT, "moderate": (rain > LIGHT) & (rain <= MODERATE), "heavy": rain > MODERATE}
    return {name: float(rain[hours].sum()) / total for name, hours in classes.items()}


def _range(values: list[float]) -> tuple[float, float, float]:
    low, high = np.quantile(values, [0.05, 0.95])
    return float(np.mean(values)), float(low), float(high)


def _months(record: WeatherRecord) -> NDArray[intp]:
    months, _ = months_and_hours(record.first, 0, record.length * record.step)
    return months[:: record.step]


def _draw_wet(plan: SkyPlan, run: int, hours: int, step: int) -> Flags:
    """Return whether each hour, or day, of one drawn record is wet."""
    sky = HourlySky(plan, Streams(SEED, run))
    sky.reach(hours)
    wet = np.zeros(max(hours, HOURS), dtype=bool)
    for start, end in sky.spells:
        wet[int(start) : int(end)] = True
    return np.asarray(wet[:hours].reshape(-1, step).max(axis=1))


def _by_hours(wet: Flags, known: Flags, midnight: int) -> dict[str, float]:
    """Return the figures of hours; days are those of the calendar, the first of them from `midnight` on."""
    weeks, days = _sums(wet, known, 168), _sums(wet[midnight:], known[midnight:], 24)
    return {
        "wet hours": _share(wet, known),
        "wet days": float((days > 0).mean()),
        "sd of wet hours a week": float(weeks.std()),
        "dry weeks": float((weeks == 0).mean()),
        "correlation from one hour to the next": _lag(wet),
    }


def _by_days(wet: Flags, known: Flags) -> dict[str, float]:
    weeks = _sums(wet, known, 7)
    return {
        "wet days": _share(wet, known),
        "wet day after a dry one": _after(wet, known, False),
        "wet day after a wet one": _after(wet, known, True),
        "sd of wet days a week": float(weeks.std()),
        "dry weeks": float((weeks == 0).mean()),
    }


def _share(wet: Flags, known: Flags) -> float:
    return float(wet.sum() / known.sum())


def _after(wet: Flags, known: Flags, first: bool) -> float:
    before = known[:-1] & known[1:] & (wet[:-1] == first)
    return float(wet[1:][before].mean()) if before.any() else 0.0


def _sums(wet: Flags, known: Flags, size: int) -> NDArray[intp]:
    """Return how many are wet of each `size` in turn that is known whole; of each, if there is none."""
    count = len(wet) // size
    if not count:
        return np.zeros(1, dtype=np.intp)
    sums, whole = wet[: count * size].reshape(-1, size).sum(axis=1), known[: count * size].reshape(-1, size).all(axis=1)
    of_whole: NDArray[intp] = sums[whole] if whole.any() else sums
    return of_whole


def _lag(wet: Flags) -> float:
    series = wet.astype(float64)
    if series[:-1].std() == 0 or series[1:].std() == 0:
        return 0.0
    return float(np.corrcoef(series[:-1], series[1:])[0, 1])


def _spread(many: list[Flags], known: Flags, months: NDArray[intp], step: int) -> Spread:
    every = np.bincount(months[known], minlength=12)
    wet = np.mean([np.bincount(months[flags & known], minlength=12) for flags in many], axis=0)
    by_month = [float(count / total) if total else float("nan") for count, total in zip(wet, every, strict=True)]
    spells = np.concatenate([_dry_spells(flags, known) for flags in many])
    weeks = np.concatenate([_sums(flags, known, 168 // step) for flags in many])
    return Spread(by_month, np.sort(spells), np.sort(weeks))


def _dry_spells(wet: Flags, known: Flags) -> NDArray[intp]:
    """Return the lengths of dry spells between two wet ones, of which nothing is unknown."""
    at = np.flatnonzero(wet & known)
    apart: NDArray[intp] = np.diff(at) - 1
    unknown = np.diff(np.cumsum(~known)[at])
    spells: NDArray[intp] = apart[(apart > 0) & (unknown == 0)]
    return spells
