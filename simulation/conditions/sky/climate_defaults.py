"""What are hours like by the figures of a scenario, and by planning values where it has none?"""

from __future__ import annotations

from math import cos, exp, pi
from typing import TYPE_CHECKING

from simulation.conditions.sky.hourly_variables import Air, Hourly, Monthly
from simulation.scenario.types.named_values import MONTHS

if TYPE_CHECKING:
    from simulation.scenario.tables.sky import Weather

#: Planning values, from the fit to one year of hourly records of a coastal station (in-sample): mm of a wet hour, mph of a dry
#: one, how much windier a wet one is; humidity of the two in %, its spread and that of temperature in °C.
RAIN, WIND, WINDIER = 1.5, 11.3, 1.25
WET_HUMIDITY, DRY_HUMIDITY, HUMIDITY_SD, HUMIDITY_LAG = 90.0, 63.0, 16.0, 0.9
TEMPERATURE_SD, TEMPERATURE_LAG = 4.0, 0.98
WIND_SHAPE, WIND_LAG, GUST = 2.2, 0.8, 1.5
#: Temperatures that know no season, °C: whoever goes by them must say so. Planning values.
LOW, HIGH = 11.0, 19.0
#: When the day is warmest. Planning value.
WARMEST = 15

DAYS = (31.0, 28.25, 31.0, 30.0, 31.0, 30.0, 31.0, 31.0, 30.0, 31.0, 30.0, 31.0)


def make_air(weather: Weather, wet_shares: Monthly, known: Air | None = None) -> Air:
    """Return what hours are like.

    Parameters
    ----------
    weather : Weather
    wet_shares : tuple of float
        Long-run share of wet hours, by month.
    known : Air, optional
        What a record says; the scenario's own figures come before it. Default: planning values.
    """
    air = known or PLANNED
    stated = set(air.stated)
    changed: dict[str, object] = {}
    if (rain := weather.rain) is not None:
        stated.add("rain")
        figures = tuple(map(rain.convert, rain.mean or rain.month or ()))
        if rain.mean is None:
            hours = [24.0 * days * share for days, share in zip(DAYS, wet_shares, strict=True)]
            figures = tuple(total / wet if wet > 0 else 0.0 for total, wet in zip(figures, hours, strict=True))
        changed["rain"] = figures
    if (wind := weather.wind) is not None:
        stated |= {"wind", "gust"} if "gust" in wind.model_fields_set else {"wind"}
        if wind.mean is not None:
            dry = tuple(wind.convert(m) / (1 + s * (WINDIER - 1)) for m, s in zip(wind.mean, wet_shares, strict=True))
            wet = tuple(wind * WINDIER for wind in dry)
        else:
            dry, wet = (tuple(map(wind.convert, figures or ())) for figures in (wind.dry, wind.wet))
        changed |= {"wind_dry": dry, "wind_wet": wet, "wind_shape": wind.shape, "wind_lag": wind.lag, "gust": wind.gust}
    if (warm := weather.temperature) is not None:
        stated.add("temperature")
        if warm.by_hour is not None:
            changed["temperature"] = tuple(tuple(map(warm.convert, row)) for row in warm.by_hour)
        elif warm.low is not None and warm.high is not None:
            changed["temperature"] = day_curves(tuple(map(warm.convert, warm.low)), tuple(map(warm.convert, warm.high)))
        nothing, spread = (0.0,) * MONTHS, (TEMPERATURE_SD,) * MONTHS
        changed["temperature_wet"] = nothing if warm.wet is None else tuple(map(warm.convert.difference, warm.wet))
        changed["temperature_sd"] = spread if warm.sd is None else tuple(map(warm.convert.difference, warm.sd))
        changed["temperature_lag"] = warm.lag
    temperature: Hourly = changed.get("temperature", air.temperature)  # type: ignore[assignment]
    if (humid := weather.humidity) is not None:
        stated.add("humidity")
        if humid.by_hour is not None:
            changed["humidity_dry"] = tuple(tuple(map(humid.convert, row)) for row in humid.by_hour)
        elif humid.dry is not None:
            changed["humidity_dry"] = humidity_curves(tuple(map(humid.convert, humid.dry)), temperature)
        wet_humidity = (WET_HUMIDITY,) * MONTHS if humid.wet is None else tuple(map(humid.convert, humid.wet))
        sd = HUMIDITY_SD if humid.sd is None else humid.convert.difference(humid.sd)
        changed |= {"humidity_wet": wet_humidity, "humidity_sd": sd, "humidity_lag": humid.lag}
    elif "humidity" not in air.stated and "temperature" in stated:
        changed["humidity_dry"] = humidity_curves((DRY_HUMIDITY,) * MONTHS, temperature)
    return Air(**{**vars_of(air), **changed, "stated": frozenset(stated)})  # type: ignore[arg-type]


def vars_of(air: Air) -> dict[str, object]:
    """Return the fields of an `Air` by name."""
    return {name: getattr(air, name) for name in air.__dataclass_fields__}


def day_curves(low: Monthly, high: Monthly) -> Hourly:
    """Return temperatures by month and hour between the lowest and highest of a day."""
    return tuple(
        tuple((top + bottom) / 2 + (top - bottom) / 2 * part for part in day_shape())
        for bottom, top in zip(low, high, strict=True)
    )


def day_shape() -> tuple[float, ...]:
    """Return where temperature stands hour by hour between the lowest (−1) and highest (1): a cosine with its top at 15:00."""
    return tuple(cos(2 * pi * (hour - WARMEST) / 24) for hour in range(24))


def saturation(temperature: float) -> float:
    """Return the vapour pressure of saturated air in hPa at °C (Magnus formula, from memory: 6.112 exp(17.62 T/(243.12 + T)))."""
    return 6.112 * exp(17.62 * temperature / (243.12 + temperature))


def humidity_curves(means: Monthly, temperature: Hourly) -> Hourly:
    """Return humidities by month and hour about their means: as much vapour all day, so the warmest hours are the driest."""
    table: list[Monthly] = []
    for mean, day in zip(means, temperature, strict=True):
        dryness = [1.0 / saturation(temperature) for temperature in day]
        usual = sum(dryness) / len(dryness)
        table.append(tuple(min(mean * relative / usual, 100.0) for relative in dryness))
    return tuple(table)


def _planned() -> Air:
    def every(value: float) -> Monthly:
        return (value,) * MONTHS

    temperature = day_curves(every(LOW), every(HIGH))
    return Air(
        rain=every(RAIN),
        wind_dry=every(WIND),
        wind_wet=every(WIND * WINDIER),
        wind_shape=WIND_SHAPE,
        wind_lag=WIND_LAG,
        gust=GUST,
        temperature=temperature,
        temperature_wet=every(0.0),
        temperature_sd=every(TEMPERATURE_SD),
        temperature_lag=TEMPERATURE_LAG,
        humidity_dry=humidity_curves(every(DRY_HUMIDITY), temperature),
        humidity_wet=every(WET_HUMIDITY),
        humidity_sd=HUMIDITY_SD,
        humidity_lag=HUMIDITY_LAG,
    )


PLANNED: Air = _planned()
