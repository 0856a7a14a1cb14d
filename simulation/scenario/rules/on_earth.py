"""Which figures of weather are those of no place on earth? A slip of the pen or of the unit, by the same bounds as records."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from simulation.scenario.tables.sky import Weather
from simulation.scenario.types.mistakes import Mistake
from simulation.scenario.weather_record.weather_record import MOST_RAIN, POSSIBLE, TEMPERATURES
from simulation.scenario.weather_record.weather_units import Conversion

#: Most mm in a month: the wettest on record had 9,300 (from memory).
_MOST_IN_A_MONTH = 10_000.0
#: °C by which wet hours may differ from dry ones, and a spread may be. Planning values.
_DIFFERENCE = 30.0


#: Table and key -> what no place has less or more of, and what is usual, in the units used inside; planning values.
_FEEL = (*TEMPERATURES, -60.0, 52.0)
_WIND = (*POSSIBLE["wind"], 0.5, 45.0)
_DAMP = (*POSSIBLE["humidity"], 5.0, 100.0)
FIGURES = {
    ("rain", "mean"): (0.0, MOST_RAIN[1], 0.1, 25.0),
    ("rain", "month"): (0.0, _MOST_IN_A_MONTH, 0.1, 2_500.0),
    **{("wind", key): _WIND for key in ("mean", "dry", "wet")},
    **{("temperature", key): _FEEL for key in ("low", "high", "by_hour")},
    ("temperature", "wet"): (-_DIFFERENCE, _DIFFERENCE, -15.0, 15.0),
    ("temperature", "sd"): (0.0, _DIFFERENCE, 0.2, 15.0),
    **{("humidity", key): _DAMP for key in ("dry", "by_hour", "wet")},
}


def on_earth(weather: Weather) -> Iterator[Mistake]:
    """Yield the figures of a scenario's weather that no place has."""
    for table, key, figures, convert, unit in _written(weather):
        least, most, *_ = FIGURES[table, key]
        if (figure := _beyond(figures, convert, least, most)) is not None:
            wrong = f"{figure:.6g} {unit} is the {table} of no place on earth"
            yield Mistake(f"weather.{table}.{key}", wrong, f"write {_between(least, most, convert)} {unit}")


def unusual_weather(weather: Weather) -> Iterator[Mistake]:
    """Yield the figures of a scenario's weather that few places have; one of nothing is meant."""
    for table, key, figures, convert, unit in _written(weather):
        *_, least, most = FIGURES[table, key]
        if (figure := _beyond([value for value in figures if value], convert, least, most)) is not None:
            wrong = f"{figure:.6g} {unit} is out of the usual range, {_between(least, most, convert)} {unit} (planning value)"
            yield Mistake(f"weather.{table}.{key}", wrong, "check the number and its unit; leave it if it is meant")


def _written(weather: Weather) -> Iterator[tuple[str, str, Sequence[float], Conversion, str]]:
    """Yield table, key, figures, what turns them into the unit used inside, and their own unit."""
    for table, key in FIGURES:
        named: Any = getattr(weather, table)
        if named is not None and (figures := getattr(named, key)) is not None:
            convert: Conversion = named.convert
            if table == "temperature" and key in ("sd", "wet"):
                convert = Conversion(convert.factor)  # a difference of two
            yield table, key, [value for row in figures for value in row] if key == "by_hour" else figures, convert, named.unit


def _beyond(figures: Sequence[float], convert: Conversion, least: float, most: float) -> float | None:
    return next((figure for figure in figures if not least <= convert(figure) <= most), None)


def _between(least: float, most: float, convert: Conversion) -> str:
    low, high = ((bound - convert.offset) / convert.factor for bound in (least, most))
    return f"{low:.4g} to {high:.4g}"
