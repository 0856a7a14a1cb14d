"""What does each kind of work mind, as the scenario says it?"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING

from simulation.chance import LevelPlan
from simulation.conditions.stops.drying import Ground
from simulation.conditions.stops.sunshine import Location
from simulation.conditions.stops.weather_limits import Limits, Surroundings
from simulation.conditions.stops.work_and_rest import ARMOUR
from simulation.scenario.types.mistakes import Mistake
from simulation.scenario.types.named_values import RAIN_CLASSES, TEXTURES

if TYPE_CHECKING:
    from simulation.scenario.tables.scenario import Scenario
    from simulation.scenario.tables.stops import Stop

_MM_PER_FOOT = 304.8
#: What a kind of work minds where it has nothing of its own: loading at the port is part of the haul.
_LIKE = {"port": "haul"}
_WORDS = {"rain": "the amount of rain", "wind": "wind", "temperature": "temperature"}


def limits_of(scenario: Scenario, kind: str, crews: int = 1) -> Limits:
    """Return what a kind of work minds; repair is under cover and minds nothing.

    Parameters
    ----------
    scenario : Scenario
    kind : str
        A key of `kinds.SHIFTS`.
    crews : int
        That take turns at it.
    """
    around = surroundings(scenario)
    if kind == "repair":
        return Limits(around=around)
    weather, soil, heat, cold = scenario.weather, scenario.soil, scenario.heat, scenario.cold
    like = _LIKE.get(kind, kind)
    stop = _stop_of(scenario, kind)
    above = RAIN_CLASSES[stop.rain] if stop else 0.0 if like in weather.rain_stops else math.inf
    dry = weather.model == "none" or above == math.inf
    waits = soil is not None and kind in soil.waits
    effort = getattr(heat, like) if heat is not None else "none"
    return Limits(
        rain=None if dry else above,
        drying=weather.drying if kind == "grading" and not dry and not waits else 0.0,
        wind=_unless_never(stop.wind) if stop else None,
        gust=_unless_never(stop.gust) if stop else None,
        all_clear=scenario.stops.all_clear if stop and stop.lightning and around.thunder else None,
        dry_ground=waits,
        wet_roads=scenario.roads.rate if scenario.roads is not None and kind == "haul" else 1.0,
        effort=None if effort == "none" else effort,
        crews=crews,
        covered=heat.rest_covered if heat is not None and effort != "none" and kind == "laying" else 0.0,
        cold=cold is not None and kind in cold.stops,
        around=around,
    )


def plan_efficiency(scenario: Scenario) -> LevelPlan | None:
    """Return the level of the crews' productive share, where heat asks for it."""
    return LevelPlan.of("laying.efficiency", scenario.laying.efficiency) if scenario.heat is not None else None


def surroundings(scenario: Scenario) -> Surroundings:
    """Return what the hours of a scenario's weather meet."""
    site, soil, roads, heat, cold = scenario.site, scenario.soil, scenario.roads, scenario.heat, scenario.cold
    around = Surroundings(
        location=Location(site.latitude, site.longitude, site.utc_offset, scenario.starts) if site else None,
        thunder=scenario.stops.thunder if scenario.weather.model != "none" else 0.0,
        clothing=ARMOUR if heat and heat.clothing == "body armour" else 0.0,
        acclimatised=heat.acclimatised if heat else True,
        stop_below=cold.stop_below if cold else -273.15,
        roads_wet=roads.wet_at * _MM_PER_FOOT if roads else 0.0,
        roads_keep=roads.keeps ** (1 / 24) if roads else 1.0,
        roads_before=roads.before * _MM_PER_FOOT if roads else 0.0,
    )
    if soil is None:
        return around
    readily, totally = TEXTURES[soil.texture]
    ground = Ground(
        readily if soil.readily is None else soil.readily * _MM_PER_FOOT,
        totally if soil.totally is None else soil.totally * _MM_PER_FOOT,
    )
    return Surroundings(
        **{
            **vars(around),
            "ground": ground,
            "workable": soil.workable * ground.totally,
            "dried_out": soil.dried_out * ground.totally,
            "evaporation": None if soil.evaporation is None else soil.evaporation * _MM_PER_FOOT,
        }
    )


def _stop_of(scenario: Scenario, kind: str) -> Stop | None:
    stops = scenario.stops
    if kind == "port":
        return stops.lifting or stops.haul
    stop: Stop | None = getattr(stops, kind, None)
    return stop


def _unless_never(speed: float) -> float | None:
    return None if speed == math.inf else speed


def unstated(scenario: Scenario, asked: Mapping[str, Limits], stated: frozenset[str]) -> list[Mistake]:
    """Return which key asks for weather of which the scenario says nothing; planning values would answer without a season.

    Humidity and gusts may rest on planning values: they go by temperature and wind.

    Parameters
    ----------
    scenario : Scenario
    asked : dict of str to Limits
        What kinds of work mind.
    stated : frozenset of str
        Variables that scenario or record speak of.
    """
    mistakes: dict[tuple[str, str], Mistake] = {}
    for kind, limits in asked.items():
        for variable in ("rain", "wind", "temperature"):
            missing = variable in limits.needs and variable not in stated
            if missing and not (variable == "rain" and scenario.weather.model == "none"):
                key = _asks(scenario, kind, variable)
                by_default, way_out = _default_of(scenario, kind, key, variable)
                wrong = f"asks for {_WORDS[variable]}{by_default}, of which the weather says nothing"
                right = f"write [weather.{variable}], or take a record that has it{way_out}"
                mistakes.setdefault((key, variable), Mistake(key, wrong, right))
    if scenario.grading.may_be_undone and "rain" not in stated and scenario.weather.model != "none":
        wrong = f"asks for {_WORDS['rain']}, of which the weather says nothing"
        mistakes["grading.undone", "rain"] = Mistake(
            "grading.undone", wrong, "write [weather.rain], or take a record that has it"
        )
    return list(mistakes.values())


def _default_of(scenario: Scenario, kind: str, key: str, variable: str) -> tuple[str, str]:
    """Return in words that a default asks for a variable, and how a planner who wrote no such key does without; or nothing."""
    stop = _stop_of(scenario, kind)
    if stop is None or not key.startswith("stops.") or key.rsplit(".", 1)[1] in stop.model_fields_set:
        return "", ""
    asking = [name for name in ("wind", "gust") if getattr(stop, name) < math.inf] if variable == "wind" else [variable]
    if stop.model_fields_set.intersection(asking):  # without the default, what is written would ask for it
        return " by default", ""
    table = key.rsplit(".", 1)[0]
    without = " and ".join(f'{name} = "never"' for name in asking)
    return " by default", f"; or write {without} under [{table}]"


def _asks(scenario: Scenario, kind: str, variable: str) -> str:
    """Return the key by which a kind of work asks for a variable of the weather."""
    stops, stop = scenario.stops, _stop_of(scenario, kind)
    if stop is not None:
        name = next(name for name in (kind, "lifting", "haul") if getattr(stops, name, None) is stop)
        if variable == "rain" and 0.0 < RAIN_CLASSES[stop.rain] < math.inf:
            return f"stops.{name}.rain"
        if variable == "wind" and stop.wind < math.inf:
            return f"stops.{name}.wind"
        if variable == "wind" and stop.gust < math.inf:
            return f"stops.{name}.gust"
    if scenario.soil is not None and kind in scenario.soil.waits and variable != "wind":
        return "soil"
    if scenario.roads is not None and variable == "rain":
        return "roads"
    return "heat" if scenario.heat is not None and getattr(scenario.heat, _LIKE.get(kind, kind), "none") != "none" else "cold"
