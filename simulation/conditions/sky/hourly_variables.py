"""What is an hour like, given whether it is wet: how much rain, how windy, how warm, how humid?

Rain is exponential in a wet hour. Wind is Weibull, through normal scores that go on from hour to hour as AR(1). Temperature is
its mean by month and hour plus an AR(1) anomaly; humidity the same, within its bounds.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from itertools import accumulate
from math import erfc, gamma, log, sqrt

import numpy as np
from numpy import float64, intp
from numpy.typing import NDArray

from simulation.chance import Streams
from simulation.conditions.sky.rain import BLOCK

Array = NDArray[float64]
#: One number for each month, January first.
Monthly = tuple[float, ...]
#: For each month, one number for each hour of the day.
Hourly = tuple[Monthly, ...]

_HOURS = int(BLOCK)
#: Relative humidity is kept within these, in %.
LEAST_HUMIDITY, MOST_HUMIDITY = 1.0, 100.0
#: A normal score beyond this is taken to be at it: one hour in 30,000 years.
_FURTHEST = 6.0

#: Upper ends of the classes of rain, mm/h (AMS glossary: light up to 2.5, moderate 2.6 to 7.6, heavy above).
LIGHT, MODERATE = 2.5, 7.6


@dataclass(frozen=True)
class Air:
    """What hours are like, by month.

    Attributes
    ----------
    rain : tuple of float
        Mean mm of a wet hour, by month.
    wind_dry, wind_wet : tuple of float
        Mean mph of dry and of wet hours, by month.
    wind_shape : float
        Shape of the Weibull distribution.
    wind_lag : float
        Correlation of the normal scores of wind from one hour to the next.
    gust : float
        Highest gust of an hour as a multiple of its mean wind.
    temperature : tuple of tuple of float
        Mean °C of dry hours, by month and hour of the day.
    temperature_wet : tuple of float
        How much warmer wet hours are, °C, by month.
    temperature_sd : tuple of float
        Standard deviation of the anomaly, °C, by month.
    temperature_lag : float
        Correlation of the anomaly from one hour to the next.
    humidity_dry : tuple of tuple of float
        Mean % of dry hours, by month and hour of the day.
    humidity_wet : tuple of float
        Mean % of wet hours, by month.
    humidity_sd, humidity_lag : float
        Of the difference from the mean.
    stated : frozenset of str
        Fields of an hour that a scenario or a record speaks of; the others rest on planning values.
    """

    rain: Monthly
    wind_dry: Monthly
    wind_wet: Monthly
    wind_shape: float
    wind_lag: float
    gust: float
    temperature: Hourly
    temperature_wet: Monthly
    temperature_sd: Monthly
    temperature_lag: float
    humidity_dry: Hourly
    humidity_wet: Monthly
    humidity_sd: float
    humidity_lag: float
    stated: frozenset[str] = frozenset()

    @cached_property
    def wind_scales(self) -> Array:
        """Scales of the Weibull distribution of wind, by month and whether the hour is wet."""
        return np.array([self.wind_dry, self.wind_wet]).T / gamma(1.0 + 1.0 / self.wind_shape)

    @cached_property
    def by_month(self) -> dict[str, Array]:
        """The monthly tables as arrays."""
        names = ("rain", "temperature", "temperature_wet", "temperature_sd", "humidity_dry", "humidity_wet")
        return {name: np.array(getattr(self, name)) for name in names}


def months_and_hours(starts: datetime, first: int, count: int) -> tuple[NDArray[intp], NDArray[intp]]:
    """Return the month (0 to 11) and hour of the day of each of `count` hours, of which `first` is that many after `starts`."""
    hours = np.datetime64(starts.replace(minute=0, second=0, microsecond=0), "h") + np.arange(first, first + count)
    return hours.astype("datetime64[M]").astype(np.intp) % 12, hours.astype(np.intp) % 24


class AirDraws:
    """The air of one run, block by block, in their order; each variable and block has a stream of its own."""

    __slots__ = ("_air", "_last", "_luck", "_starts")

    def __init__(self, air: Air, starts: datetime, luck: Streams) -> None:
        self._air, self._starts, self._luck = air, starts, luck
        self._last: dict[str, float] = {}

    def block(self, number: int, wet: Array) -> dict[str, Array]:
        """Return the hours of the next block by variable.

        Parameters
        ----------
        number : int
            Of the block: one more than of the last.
        wet : ndarray
            Share of each hour that is wet.
        """
        air, tables = self._air, self._air.by_month
        month, hour = months_and_hours(self._starts, number * _HOURS, _HOURS)
        rains = wet > 0.0
        amounts = self._luck.stream("weather rain", str(number)).standard_exponential(_HOURS)
        wind = self._winds(number) * air.wind_scales[month, rains.astype(np.intp)]
        anomaly = np.array(self._goes_on("temperature", number, air.temperature_lag))
        temperature = tables["temperature"][month, hour] + anomaly * tables["temperature_sd"][month]
        mean = np.where(rains, tables["humidity_wet"][month], tables["humidity_dry"][month, hour])
        away = np.array(self._goes_on("humidity", number, air.humidity_lag)) * air.humidity_sd
        return {
            # An amount of zero would make a wet hour look dry.
            "rain": np.where(rains, np.maximum(amounts, 1e-6) * tables["rain"][month] * wet, 0.0),
            "wind": wind,
            "gust": wind * air.gust,
            "temperature": temperature + np.where(rains, tables["temperature_wet"][month], 0.0),
            "humidity": np.clip(mean + away, LEAST_HUMIDITY, MOST_HUMIDITY),
        }

    def _winds(self, number: int) -> Array:
        """Return Weibull values of scale 1 whose normal scores are AR(1)."""
        root, power = sqrt(0.5), 1.0 / self._air.wind_shape
        scores = self._goes_on("wind", number, self._air.wind_lag)
        exceeded = (0.5 * erfc(min(max(score, -_FURTHEST), _FURTHEST) * root) for score in scores)
        return np.array([(-log(share)) ** power for share in exceeded])

    def _goes_on(self, name: str, number: int, lag: float) -> list[float]:
        """Return a standard normal series of one block that goes on from the block before as AR(1)."""
        stream = self._luck.stream(f"weather {name}", str(number))
        if number == 0:
            self._last[name] = float(self._luck.stream(f"weather {name}", "before").standard_normal())
        shocks = (stream.standard_normal(_HOURS) * sqrt(1.0 - lag * lag)).tolist()
        values = list(_autoregressive(self._last[name], shocks, lag))[1:]
        self._last[name] = values[-1]
        return values


def _autoregressive(before: float, shocks: list[float], lag: float) -> Iterator[float]:
    return accumulate(shocks, lambda last, shock: lag * last + shock, initial=before)
