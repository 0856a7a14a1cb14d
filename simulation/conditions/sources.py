"""Where does the weather of a scenario's runs come from? Each model of a scenario becomes plain numbers here."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, assert_never

import numpy as np

from simulation.conditions.sky.climate import chain_of_climate
from simulation.conditions.sky.climate_defaults import make_air
from simulation.conditions.sky.hourly import SkyPlan
from simulation.conditions.sky.hourly_variables import LEAST_HUMIDITY, Array
from simulation.conditions.sky.outlook import Outlook, OutlookPeriod, faded, part_of
from simulation.conditions.sky.rain import Chain, make_chain
from simulation.conditions.sky.recorded import MANY_YEARS, Recorded
from simulation.conditions.sky.recorded_days import RecordedDays
from simulation.conditions.sky.three_states import ThreeStates
from simulation.scenario.types.named_values import MONTHS

if TYPE_CHECKING:
    from simulation.scenario.tables.scenario import Scenario
    from simulation.scenario.weather_record.outlook import WeatherOutlook
    from simulation.scenario.weather_record.weather_records import WeatherFile


def sky_plan(scenario: Scenario) -> SkyPlan:
    """Return where the weather of a scenario's runs comes from."""
    plan = _climate(scenario)
    return plan if scenario.weather.outlook is None else replace(plan, outlook=_outlook(scenario, scenario.weather.outlook, plan))


def _outlook(scenario: Scenario, named: WeatherOutlook, plan: SkyPlan) -> Outlook | None:
    """Return a forecaster's next days as far as they are not past; None where all are."""
    from simulation.scenario.weather_record.outlook import spans

    keys = [key for key in OutlookPeriod.__dataclass_fields__ if key not in ("start", "end", "weight")]
    periods = [
        part_of(OutlookPeriod(low, high, **{key: getattr(line, key) for key in keys}), line.hours)
        for low, high, line in spans(named.lines, scenario.starts)
    ]
    if not periods:
        return None
    month = scenario.starts.month - 1
    match plan.spells:
        case ThreeStates(wet=wet):
            spell = 1.0 / (1.0 - wet[month])
        case Chain(step=step, wet_after_wet=stays):
            spell = step / (1.0 - stays)
        case Recorded() as record:
            changes = int(np.count_nonzero(np.diff(record.wet.astype(int)) == 1))
            hours = record.length / len(record.wet)
            spell = float(record.wet.sum()) * hours / max(changes, 1) if hours == 1 else scenario.weather.wet_spell
        case None:
            spell = scenario.weather.wet_spell
        case _:
            assert_never(plan.spells)
    return Outlook((*periods, *faded(periods[-1], named.fade)), spell, scenario.starts.hour)


def _climate(scenario: Scenario) -> SkyPlan:
    weather = scenario.weather
    if weather.model == "records":
        assert weather.records is not None  # the scenario was checked
        return _of_record(scenario, weather.records)
    if weather.model == "three-state" and (states := weather.states) is not None:
        return _of_states(scenario, ThreeStates(states.wet, states.short, states.short_ends, states.long_ends))
    if weather.model == "climate" and weather.climate is not None:
        return _of_states(scenario, chain_of_climate(weather.climate))
    if weather.model not in ("chain", "none"):  # a new model must not be drawn as another one
        raise ValueError(f"there is no sky for weather.model {weather.model}")
    chain = make_chain(weather)
    return SkyPlan(scenario.starts, chain, make_air(weather, (chain.wet_share if chain else 0.0,) * MONTHS))


def _of_states(scenario: Scenario, chain: ThreeStates) -> SkyPlan:
    return SkyPlan(scenario.starts, chain, make_air(scenario.weather, wet_shares(chain)))


def wet_shares(chain: ThreeStates) -> tuple[float, ...]:
    """Return the long-run share of wet hours by month."""
    return tuple(chain.shares(month)[0] for month in range(MONTHS))


def _of_record(scenario: Scenario, named: WeatherFile) -> SkyPlan:
    from simulation.conditions.fit.fitting import fit  # here: most scenarios have no record

    fitted = fit(named.record, named.wet, named.by)
    air = make_air(scenario.weather, wet_shares(fitted.chain), fitted.air)
    spells = fitted.chain if named.use == "fit" else _recorded(named, fitted.chain, air.gust)
    return SkyPlan(scenario.starts, spells, air)


def _recorded(named: WeatherFile, chain: ThreeStates, gust: float) -> Recorded:
    """Return a record as runs take their weather from it; a gust that was not reported is `gust` times the mean wind."""
    record, year = named.record, named.year or named.record.first.year
    values: dict[str, Array] = {name: record.values[name] for name in ("rain", "wind", "humidity") if name in record.values}
    if "wind" in values:
        values["gust"] = record.values.get("gust", np.full(record.length, np.nan))
    if "humidity" in values:
        values["humidity"] = np.maximum(values["humidity"], LEAST_HUMIDITY)
    sky: Recorded
    if record.step == 1:
        if "wind" in values:
            known = values["gust"]
            values["gust"] = np.where(np.isnan(known), values["wind"] * gust, np.maximum(known, values["wind"]))
        if "temperature" in record.values:
            values["temperature"] = record.values["temperature"]
        sky = Recorded(record.first, "replay", year, values, named.wet)
    else:
        ends: dict[str, Array] = {
            name: record.values[name] for name in ("temperature_low", "temperature_high") if name in record.values
        }
        sky = RecordedDays(record.first, "replay", year, values | (ends if len(ends) == 2 else {}), named.wet, chain=chain)
    if named.use == "replay":
        return sky
    return replace(sky, way="years" if len(sky.years) >= MANY_YEARS else "pieces", year=record.first.year)
