"""What do the next days bring in one run, when a forecaster has spoken of them?

Each line of an outlook says a chance of rain in its hours, and perhaps how much, how windy, how warm and how humid. Whether it
rains is drawn by that chance, with luck of its own; what the outlook does not speak of stays as it was drawn. After the last line
it counts less from day to day, until the drawn weather is as it would have been without it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.chance import Streams
from simulation.conditions.sky.climate_defaults import day_shape
from simulation.conditions.sky.hourly_variables import LEAST_HUMIDITY, MOST_HUMIDITY
from simulation.conditions.sky.rain import BLOCK

Array = NDArray[float64]
_HOURS = int(BLOCK)
#: Hours over which the luck of neighbouring lines falls off to 1/e: three-hourly lines of a day are wet together, days hardly.
#: Planning value.
_GOES_ON = 12.0
#: How far a forecaster errs: wind by so much of itself, temperature by so many °C, humidity by so many %. Planning values.
_WIND_ERROR, _TEMPERATURE_ERROR, _HUMIDITY_ERROR = 0.2, 1.5, 8.0

#: Share of the highest gust that the windiest hour may have on average: more than 1 over a usual gust factor. Planning value.
_BELOW_GUST = 0.8


@dataclass(frozen=True)
class OutlookPeriod:
    """Some hours of an outlook, since the start; `weight` is the chance that it counts in them. None is not spoken of."""

    start: float
    end: float
    weight: float = 1.0
    chance: float | None = None
    rain: float | None = None
    wind: float | None = None
    gust: float | None = None
    temperature: float | None = None
    temperature_low: float | None = None
    temperature_high: float | None = None
    humidity: float | None = None


@dataclass(frozen=True)
class Outlook:
    """An outlook: its periods in order, those in which it fades among them, mean hours of a wet spell, hour of the start."""

    periods: tuple[OutlookPeriod, ...]
    spell: float
    starts_at: int

    @property
    def ends(self) -> float:
        """When it has faded."""
        return self.periods[-1].end


def part_of(period: OutlookPeriod, hours: float) -> OutlookPeriod:
    """Return what is left of a period that went over so many hours, with the chance and the rain of what is left."""
    share = (period.end - period.start) / hours
    chance = None if period.chance is None else 1.0 - (1.0 - period.chance) ** share
    return replace(period, chance=chance, rain=None if period.rain is None else period.rain * share)


def faded(last: OutlookPeriod, hours: float) -> tuple[OutlookPeriod, ...]:
    """Return the periods in which an outlook fades after its last one, a day each at the most, counting less and less."""
    count = math.ceil(hours / 24.0)
    periods = []
    for number in range(count):
        start, end = last.end + 24.0 * number, last.end + min(24.0 * (number + 1), hours)
        # A chance for fewer hours than a day is another chance for a day.
        longer = part_of(replace(last, start=start, end=end), last.end - last.start)
        periods.append(replace(longer, weight=1.0 - (number + 1) / (count + 1)))
    return tuple(periods)


class OutlookDraws:
    """An outlook in one run.

    Attributes
    ----------
    spells : list of (float, float)
        Wet spells by it.
    covered : list of (float, float)
        Where it says whether it rains.
    """

    __slots__ = ("_counting", "_starts_at", "covered", "spells")

    def __init__(self, outlook: Outlook, luck: Streams) -> None:
        self._starts_at = outlook.starts_at
        self.spells: list[tuple[float, float]] = []
        self.covered: list[tuple[float, float]] = []
        self._counting: list[tuple[OutlookPeriod, bool, tuple[float, float, float]]] = []
        score, before = 0.0, -math.inf
        for number, period in enumerate(outlook.periods):
            stream = luck.stream("outlook", str(number))
            counts, long, position = stream.random(3).tolist()
            shock, *errors = stream.standard_normal(4).tolist()
            middle = (period.start + period.end) / 2
            alike = math.exp(-(middle - before) / _GOES_ON)
            score, before = alike * score + math.sqrt(1.0 - alike * alike) * shock, middle
            if counts >= period.weight:
                continue
            wet = period.chance is not None and 0.5 * math.erfc(-score / math.sqrt(2.0)) < period.chance
            self._counting.append((period, wet, (errors[0], errors[1], errors[2])))
            if period.chance is None:
                continue
            self.covered.append((period.start, period.end))
            if wet:
                whole = period.end - period.start
                lasts = min(whole, max(1.0, -outlook.spell * math.log(1.0 - long)))
                start = period.start + position * (whole - lasts)
                self.spells.append((start, start + lasts))

    def mixed(self, drawn: list[list[float]]) -> list[list[float]]:
        """Return wet spells as drawn, those of the outlook in their place where it says whether it rains."""
        left: list[tuple[float, float]] = [(start, end) for start, end in drawn]
        for low, high in self.covered:
            parts = [part for start, end in left for part in ((start, min(end, low)), (max(start, high), end))]
            left = [(start, end) for start, end in parts if start < end]
        joined: list[list[float]] = []
        for start, end in sorted([*left, *self.spells]):
            if joined and start <= joined[-1][1]:
                joined[-1][1] = max(joined[-1][1], end)
            else:
                joined.append([start, end])
        return joined

    def covers(self, number: int) -> NDArray[np.bool_]:
        """Return in which hours of a block the outlook says whether it rains."""
        hours = np.arange(number * _HOURS, (number + 1) * _HOURS) + 0.5
        covered = np.zeros(_HOURS, dtype=bool)
        for low, high in self.covered:
            covered |= (hours > low) & (hours < high)
        return covered

    def put_into(self, number: int, hours: dict[str, Array]) -> None:
        """Put what the outlook says of a block's hours in the place of what was drawn."""
        for period, wet, (wind, warm, damp) in self._counting:
            low, high = (round(min(max(at - number * BLOCK, 0.0), BLOCK)) for at in (period.start, period.end))
            if low >= high:
                continue
            part = slice(low, high)
            if wet and period.rain is not None and (total := hours["rain"][part].sum()) > 0.0:
                share = (high - low) / (period.end - period.start)
                hours["rain"][part] *= max(period.rain * share, 1e-6) / total
            if period.wind is not None or period.gust is not None:
                self._blow(period, hours, part, math.exp(_WIND_ERROR * wind - 0.5 * _WIND_ERROR**2))
            self._warm(period, hours, part, number * _HOURS + low, _TEMPERATURE_ERROR * warm)
            if period.humidity is not None:
                away = hours["humidity"][part] - hours["humidity"][part].mean()
                level = period.humidity + _HUMIDITY_ERROR * damp + away
                hours["humidity"][part] = np.clip(level, LEAST_HUMIDITY, MOST_HUMIDITY)

    @staticmethod
    def _blow(period: OutlookPeriod, hours: dict[str, Array], part: slice, error: float) -> None:
        wind, gust = hours["wind"][part], hours["gust"][part]
        if period.wind is not None:
            factor = period.wind * error / max(float(wind.mean()), 1e-9)
            wind, gust = wind * factor, gust * factor
        if period.gust is not None:
            most, mean = period.gust * error, float(wind.mean())
            # No hour is windier on average than the highest gust: the hours of such a day differ less.
            above, room = float(wind.max()) - mean, _BELOW_GUST * most - mean
            wind = mean + (wind - mean) * min(1.0, max(room, 0.0) / above) if above > 0.0 else wind
            gust = gust * (most / max(float(gust.max()), 1e-9))
        hours["wind"][part], hours["gust"][part] = wind, np.maximum(gust, wind)

    def _warm(self, period: OutlookPeriod, hours: dict[str, Array], part: slice, first: int, error: float) -> None:
        low, high = period.temperature_low, period.temperature_high
        if low is not None and high is not None:
            of_day = (self._starts_at + first + np.arange(part.stop - part.start)) % 24
            hours["temperature"][part] = (low + high) / 2 + (high - low) / 2 * np.array(day_shape())[of_day] + error
        elif (temperature := period.temperature) is not None:
            away = hours["temperature"][part] - hours["temperature"][part].mean()
            hours["temperature"][part] = temperature + away + error
        elif low is not None or high is not None:
            values = hours["temperature"][part]
            away = low - values.min() if low is not None else (high or 0.0) - values.max()
            hours["temperature"][part] = values + away + error
