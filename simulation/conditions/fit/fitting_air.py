"""What are the wet and dry hours of a record like, month by month?"""

from __future__ import annotations

from dataclasses import replace
from math import gamma
from typing import TYPE_CHECKING

import numpy as np
from numpy import bool_, int8, intp
from numpy.typing import NDArray

from simulation.conditions.sky.climate_defaults import DRY_HUMIDITY, PLANNED, humidity_curves
from simulation.scenario.types.named_values import MONTHS

if TYPE_CHECKING:
    from simulation.conditions.sky.hourly_variables import Air, Array
    from simulation.scenario.weather_record.weather_record import WeatherRecord

#: Hours of a month, or a season, for it to speak for itself; and wet hours for theirs. Planning values.
ENOUGH_HOURS, ENOUGH_WET = 240, 20
#: Winds from which a gust is compared with its mean, mph: in a light wind the ratio says nothing.
_BREEZE = 5.0


def digits(value: float) -> float:
    """Return a value with five significant digits."""
    return float(f"{value:.5g}")


class _Table:
    """Means by month, of a season where a month has too few hours, of the year where the season has."""

    def __init__(self, months: NDArray[intp]) -> None:
        self._months = months
        self._seasons = (months + 1) % MONTHS // 3

    def __call__(self, values: Array, which: NDArray[bool_], enough: int) -> Array:
        which = which & ~np.isnan(values)
        by_month = np.empty(MONTHS)
        overall = float(values[which].mean()) if which.any() else np.nan
        for month in range(MONTHS):
            for part in (self._months == month, self._seasons == (month + 1) % MONTHS // 3):
                chosen = values[which & part]
                if len(chosen) >= enough:
                    by_month[month] = chosen.mean()
                    break
            else:
                by_month[month] = overall
        return by_month

    def by_hour(self, values: Array, which: NDArray[bool_], hours: NDArray[intp]) -> Array:
        """Return means by month and hour of the day."""
        return np.stack([self(values, which & (hours == hour), ENOUGH_HOURS // 24) for hour in range(24)], axis=1)


def air_of_hours(record: WeatherRecord, states: NDArray[int8], months: NDArray[intp], hours: NDArray[intp]) -> Air:
    """Return what the hours of a record are like; what it lacks are planning values, and not among what is stated.

    Parameters
    ----------
    record : WeatherRecord
        By hours.
    states : ndarray
        Of each hour: 1 wet, 0 dry, −1 not known.
    months, hours : ndarray
        Month (0 to 11) and hour of the day of each hour.
    """
    table, values = _Table(months), record.values
    wet, dry = states == 1, states == 0
    air = replace(PLANNED, rain=_listed(table(values["rain"], wet, ENOUGH_WET)), stated=frozenset({"rain"}))
    if "wind" in values:
        air = _wind(air, values["wind"], values.get("gust"), table, wet, dry, months)
    if "temperature" in values:
        air = _temperature(air, values["temperature"], table, wet, dry, months, hours)
    if "humidity" in values:
        air = _humidity(air, values["humidity"], table, wet, dry, months, hours)
    elif "temperature" in values:
        air = replace(air, humidity_dry=humidity_curves((DRY_HUMIDITY,) * MONTHS, air.temperature))
    return air


def _listed(values: Array) -> tuple[float, ...]:
    return tuple(digits(value) for value in values.tolist())


def _rows(table: Array) -> tuple[tuple[float, ...], ...]:
    return tuple(_listed(row) for row in table)


def _wet_or(table: _Table, values: Array, wet: NDArray[bool_], otherwise: Array) -> Array:
    """Return means of wet hours by month; where none is known, what is given."""
    monthly = table(values, wet, ENOUGH_WET)
    return np.where(np.isnan(monthly), otherwise, monthly)


def _wind(
    air: Air, wind: Array, gust: Array | None, table: _Table, wet: NDArray[bool_], dry: NDArray[bool_], months: NDArray[intp]
) -> Air:
    of_dry = table(wind, dry, ENOUGH_HOURS)
    of_wet = _wet_or(table, wind, wet, of_dry)
    relative = wind / np.maximum(np.where(wet, of_wet[months], of_dry[months]), 1e-9)
    known = relative[~np.isnan(relative)]
    shape = _shape(float(known.std() / known.mean()))
    air = replace(
        air,
        wind_dry=_listed(of_dry),
        wind_wet=_listed(of_wet),
        wind_shape=digits(shape),
        wind_lag=_lag(_scores(relative)),
        stated=air.stated | {"wind"},
    )
    if gust is not None:
        both = (wind >= _BREEZE) & ~np.isnan(gust)
        if both.sum() >= ENOUGH_WET:
            ratio = float(gust[both].sum() / wind[both].sum())
            air = replace(air, gust=digits(max(ratio, 1.0)), stated=air.stated | {"gust"})
    return air


def _shape(variation: float) -> float:
    """Return the shape of the Weibull distribution with a coefficient of variation, between 0.5 and 10."""
    low, high = 0.5, 10.0
    for _ in range(60):
        shape = (low + high) / 2
        squared = gamma(1 + 2 / shape) / gamma(1 + 1 / shape) ** 2 - 1
        low, high = (shape, high) if squared > variation**2 else (low, shape)
    return (low + high) / 2


def _scores(values: Array) -> Array:
    """Return the normal scores of values; equal ones have the mean of their ranks, NaN stays NaN."""
    from scipy.special import ndtri

    scores = np.full(len(values), np.nan)
    known = ~np.isnan(values)
    _, places, counts = np.unique(values[known], return_inverse=True, return_counts=True)
    ranks = counts.cumsum() - counts / 2
    scores[known] = ndtri(ranks[places] / known.sum())
    return scores


def _lag(series: Array) -> float:
    """Return the correlation of a series from one hour to the next, where both are known, between 0 and .999."""
    before, after = series[:-1], series[1:]
    both = ~np.isnan(before) & ~np.isnan(after)
    if both.sum() < 2 or before[both].std() == 0:
        return 0.0
    return digits(min(max(float(np.corrcoef(before[both], after[both])[0, 1]), 0.0), 0.999))


def _temperature(
    air: Air, values: Array, table: _Table, wet: NDArray[bool_], dry: NDArray[bool_], months: NDArray[intp], hours: NDArray[intp]
) -> Air:
    means = table.by_hour(values, dry, hours)
    away = values - means[months, hours]
    warmer = _wet_or(table, away, wet, np.zeros(MONTHS))
    away = away - np.where(wet, warmer[months], 0.0)
    sd = np.sqrt(table(away**2, wet | dry, ENOUGH_HOURS))
    return replace(
        air,
        temperature=_rows(means),
        temperature_wet=_listed(warmer),
        temperature_sd=_listed(sd),
        temperature_lag=_lag(away / np.maximum(sd[months], 1e-9)),
        stated=air.stated | {"temperature"},
    )


def _humidity(
    air: Air, values: Array, table: _Table, wet: NDArray[bool_], dry: NDArray[bool_], months: NDArray[intp], hours: NDArray[intp]
) -> Air:
    means = table.by_hour(values, dry, hours)
    of_wet = _wet_or(table, values, wet, np.full(MONTHS, PLANNED.humidity_wet[0]))
    away = values - np.where(wet, of_wet[months], means[months, hours])
    return replace(
        air,
        humidity_dry=_rows(means),
        humidity_wet=_listed(of_wet),
        humidity_sd=digits(float(np.nanstd(away))),
        humidity_lag=_lag(away),
        stated=air.stated | {"humidity"},
    )
