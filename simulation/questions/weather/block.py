"""How does fitted weather stand in a scenario? As a block to paste, which gives the same weather to the bit."""

from __future__ import annotations

from collections.abc import Iterable

from simulation.conditions.fit.fitting import Fit


def weather_block(fit: Fit) -> str:
    """Return the [weather] tables of a scenario that say what was fitted; what the record lacks is left to planning values."""
    chain, air = fit.chain, fit.air
    lines = ["[weather]", 'model = "three-state"', "", "[weather.states]"]
    lines += [f"{name} = {_list(getattr(chain, name))}" for name in ("wet", "short", "short_ends", "long_ends")]
    if "rain" in air.stated:
        lines += ["", "[weather.rain]", 'unit = "mm"', f"mean = {_list(air.rain)}"]
    if "wind" in air.stated:
        lines += ["", "[weather.wind]", 'unit = "mph"', f"dry = {_list(air.wind_dry)}", f"wet = {_list(air.wind_wet)}"]
        lines += [f"shape = {air.wind_shape!r}", f"lag = {air.wind_lag!r}"]
        lines += [f"gust = {air.gust!r}"] if "gust" in air.stated else []
    if "temperature" in air.stated:
        lines += ["", "[weather.temperature]", 'unit = "degC"', f"wet = {_list(air.temperature_wet)}"]
        lines += [f"sd = {_list(air.temperature_sd)}", f"lag = {air.temperature_lag!r}", *_table(air.temperature)]
    if "humidity" in air.stated:
        lines += ["", "[weather.humidity]", 'unit = "%"', f"wet = {_list(air.humidity_wet)}"]
        lines += [f"sd = {air.humidity_sd!r}", f"lag = {air.humidity_lag!r}", *_table(air.humidity_dry)]
    return "\n".join(lines) + "\n"


def _list(values: Iterable[float]) -> str:
    """Return twelve numbers, or one where all are the same."""
    numbers = list(values)
    if len(set(numbers)) == 1:
        return repr(numbers[0])
    return f"[{', '.join(map(repr, numbers))}]"


def _table(rows: Iterable[Iterable[float]]) -> list[str]:
    return ["by_hour = [", *(f"  [{', '.join(map(repr, row))}]," for row in rows), "]"]
