"""keystrip: how many days until an airfield of interlocking aluminium mats is ready, and how sure is that?

What a program needs, from the outside in::

    scenario = load_scenario("my_field.toml")   # every mistake in it at once, or a scenario
    take_off(scenario)                          # what must be ordered
    build_once(scenario, replication=7)         # one build, to be looked at
    forecast(scenario, deadline="9 d")          # many builds, and what they say
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from simulation.analysis.readiness import Forecast, forecast
    from simulation.build.once import Build, build_once
    from simulation.field.takeoff import TakeOff, take_off
    from simulation.scenario import Scenario, ScenarioError, load_scenario

__version__ = "0.1.0"
__all__ = [
    "Build",
    "Forecast",
    "Scenario",
    "ScenarioError",
    "TakeOff",
    "build_once",
    "forecast",
    "load_scenario",
    "take_off",
]

# Imported when first asked for, so that `keystrip --help` does not wait for libraries that it does not use.
_HOMES = {
    "Build": "build.once",
    "Forecast": "analysis.readiness",
    "Scenario": "scenario",
    "ScenarioError": "scenario",
    "TakeOff": "field.takeoff",
    "build_once": "build.once",
    "forecast": "analysis.readiness",
    "load_scenario": "scenario",
    "take_off": "field.takeoff",
}


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        from importlib import import_module

        return getattr(import_module(f"simulation.{_HOMES[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
