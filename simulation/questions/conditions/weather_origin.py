"""Where does the weather of a scenario come from, variable by variable: its own figures, a record, or planning values?"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta

import numpy as np

from simulation.conditions import ClockPlan, SkyPlan
from simulation.conditions.sky.rain import make_chain
from simulation.scenario import Scenario
from simulation.scenario.rules.weather_rules import replay_beyond
from simulation.scenario.weather_record.outlook import WeatherOutlook
from simulation.scenario.weather_record.weather_records import WeatherFile

_USES = {"fit": "a chain fitted by {by}", "resample": "resampled around the same dates", "replay": "the year {year} as it was"}
#: The columns of a record that a variable may stand in, where they are not its own.
_COLUMNS = {"temperature": ("temperature", "temperature_low", "temperature_high")}
PLANNED = "planning value; no figure of this place"


def weather_origin(scenario: Scenario, sky: SkyPlan, plans: Mapping[str, ClockPlan]) -> dict[str, str]:
    """Return by variable where it comes from: wet and dry spells, the amount of rain, and whatever else the clocks ask for."""
    weather = scenario.weather
    origins = {"wet and dry spells": _spells(scenario)}
    if weather.outlook is not None:
        origins["next days"] = _outlook(weather.outlook)
    if weather.model == "none":
        return origins
    asked = {"rain"}.union(*(plan.limits.needs for plan in plans.values() if plan.limits is not None))
    for name, words in (
        ("rain", "rain in a wet hour"),
        ("wind", "wind"),
        ("gust", "gusts"),
        ("temperature", "temperature"),
        ("humidity", "humidity"),
    ):
        if name in asked or (name == "gust" and "wind" in asked):
            origins[words] = _variable(scenario, sky, name)
    if scenario.stops.thunder and any(plan.limits is not None and plan.limits.all_clear is not None for plan in plans.values()):
        origins["thunder"] = f"stops.thunder: {100.0 * scenario.stops.thunder:.0f} % of the hours with rain"
    return origins


def _spells(scenario: Scenario) -> str:
    weather = scenario.weather
    if weather.model == "none":
        return "none: dry throughout, as the scenario says"
    if weather.model == "records" and weather.records is not None:
        named = weather.records
        how = _USES[named.use].format(by=named.by, year=named.year or named.record.first.year)
        drawn = "; which hours of a day, by the fitted chain" if named.record.step == 24 and named.use != "fit" else ""
        beyond = list(replay_beyond(named, scenario.starts, scenario.horizon)) if named.use == "replay" else []
        others = ", other days of it where it has none" if beyond else ""
        return f"{_record(named, 'rain')}; {how}{others}{drawn}"
    if weather.model == "climate":
        given = "wet hours" if weather.climate and weather.climate.wet_hours is not None else "wet days"
        return f"{given} by month and mean spell in [weather.climate]"
    if weather.model == "three-state":
        return "chances of a three-state chain in [weather.states]"
    chain = make_chain(weather)
    assert chain is not None
    own = {"wet_spell", "dry_spell"} <= weather.model_fields_set
    origin = "of the scenario" if own else "by planning values"
    return f"two-state chain, mean spells {weather.wet_spell:g} h wet and {weather.dry_spell:g} h dry {origin}"


def _outlook(outlook: WeatherOutlook) -> str:
    lines = outlook.lines
    last = lines[-1].start + timedelta(hours=lines[-1].hours)
    chances = [line.chance for line in lines if line.chance is not None]
    rain = f", chance of rain {100 * min(chances):.0f} % to {100 * max(chances):.0f} %" if chances else ""
    names = ("wind", "gust", "temperature", "temperature_low", "humidity")
    stated = [name.removesuffix("_low") for name in names if any(getattr(line, name) is not None for line in lines)]
    others = f", {', '.join(stated)}" if stated else ""
    goes = f"from {lines[0].start:%Y-%m-%d %H:%M} to {last:%Y-%m-%d %H:%M}"
    return f"{outlook.file}, {len(lines)} lines {goes}{rain}{others}; it fades within {outlook.fade:g} h after that"


def _variable(scenario: Scenario, sky: SkyPlan, name: str) -> str:
    weather = scenario.weather
    key = "wind" if name == "gust" else name
    figures = getattr(weather, key)
    own = figures is not None and (name != "gust" or "gust" in figures.model_fields_set)
    recorded = name in sky.stated and weather.records is not None
    if own:
        return f"[weather.{key}]" if not recorded or name in sky.air.stated else _record(weather.records, name)
    if recorded and name == "gust":
        return _gusts(weather.records, sky.air.gust)
    if recorded:
        return _record(weather.records, name)
    if name == "humidity" and "temperature" in sky.stated:
        return "planning value, its course through the day by the temperature"
    if name == "gust":
        return f"{sky.air.gust:g} times the mean wind (planning value)"
    return PLANNED


def _gusts(named: WeatherFile | None, ratio: float) -> str:
    """Return where gusts of a record come from; one that is not reported is the mean wind times a ratio."""
    gusts = None if named is None else named.record.values.get("gust")
    if gusts is None:
        return f"{ratio:g} times the mean wind of the record (planning value)"
    unknown = int(np.isnan(gusts).sum())
    return _record(named, "gust") + (f"; {ratio:.3g} times the mean wind in {unknown:,} that report none" if unknown else "")


def _record(named: WeatherFile | None, variable: str) -> str:
    if named is None:
        return PLANNED
    record = named.record
    unit = "hour" if record.step == 1 else "day"
    many = f"{named.file}, {record.length:,} {unit}s from {record.first:%Y-%m-%d}"
    filled = max((record.filled.get(column, 0) for column in _COLUMNS.get(variable, (variable,))), default=0)
    if filled:
        many += f", {filled:,} of them filled in"
    return many
