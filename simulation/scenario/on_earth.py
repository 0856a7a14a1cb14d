"""Which figures of weather are those of no place on earth? A slip of the pen or of the unit, by the same bounds as records."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from simulation.scenario.mistakes import Mistake
from simulation.scenario.sky import Weather
from simulation.scenario.weather_record import MOST_RAIN, POSSIBLE, TEMPERATURES
from simulation.scenario.weather_units import Conversion

#: Most mm in a month: the wettest on record had 9,300 (from memory).
_MOST_IN_A_MONTH = 10_000.0
#: °C by which wet hours may differ from dry ones, and a spread may be. Planning values.
_DIFFERENCE = 30.0


def on_earth(weather: Weather) -> Iterator[Mistake]:
    """Yield the figures of a scenario's weather that no place has."""
    for table, key, figures, least, most in _figures(weather):
        named: Any = getattr(weather, table)
        convert: Conversion = named.convert
        if table == "temperature" and key in ("sd", "wet"):
            convert = Conversion(convert.factor)  # a difference of two
        for figure in figures:
            if not least <= convert(figure) <= most:
                wrong = f"{figure:.6g} {named.unit} is the {table} of no place on earth"
                low, high = ((bound - convert.offset) / convert.factor for bound in (least, most))
                yield Mistake(f"weather.{table}.{key}", wrong, f"write {low:.4g} to {high:.4g} {named.unit}")
                break


def _figures(weather: Weather) -> Iterator[tuple[str, str, Sequence[float], float, float]]:
    """Yield table, key, figures, and what they may be in the units used inside."""
    wind, humid, cold, hot = POSSIBLE["wind"], POSSIBLE["humidity"], *TEMPERATURES
    bounds = {
        ("rain", "mean"): (0.0, MOST_RAIN[1]),
        ("rain", "month"): (0.0, _MOST_IN_A_MONTH),
        **{("wind", key): wind for key in ("mean", "dry", "wet")},
        **{("temperature", key): (cold, hot) for key in ("low", "high", "by_hour")},
        ("temperature", "wet"): (-_DIFFERENCE, _DIFFERENCE),
        ("temperature", "sd"): (0.0, _DIFFERENCE),
        **{("humidity", key): humid for key in ("dry", "by_hour", "wet")},
    }
    for (table, key), (least, most) in bounds.items():
        if (named := getattr(weather, table)) is not None and (figures := getattr(named, key)) is not None:
            yield table, key, [one for row in figures for one in row] if key == "by_hour" else figures, least, most
