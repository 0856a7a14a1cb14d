"""What the planner writes: TOML becomes frozen, checked objects, and units end here."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from simulation.scenario.reading.changes import read_variation
    from simulation.scenario.reading.reading import begin_by, load_scenario, parse_scenario, shipped, shipped_names, vary
    from simulation.scenario.reading.teams import Scaled, Team, read_team
    from simulation.scenario.tables.scenario import Scenario
    from simulation.scenario.types.change import Change
    from simulation.scenario.types.mistakes import LogError, Mistake, ScenarioError
    from simulation.scenario.types.texts.site_log_text import SiteLog

__all__ = [
    "Change",
    "LogError",
    "Mistake",
    "Scaled",
    "Scenario",
    "ScenarioError",
    "SiteLog",
    "Team",
    "begin_by",
    "load_scenario",
    "parse_scenario",
    "read_team",
    "read_variation",
    "shipped",
    "shipped_names",
    "vary",
]

# A worker runs plans and reads no scenario: the tables, which take long to load, are imported where they are asked for.
_LATER = {
    "Change": "types.change",
    "LogError": "types.mistakes",
    "Mistake": "types.mistakes",
    "Scaled": "reading.teams",
    "Scenario": "tables.scenario",
    "ScenarioError": "types.mistakes",
    "SiteLog": "types.texts.site_log_text",
    "Team": "reading.teams",
    "begin_by": "reading.reading",
    "load_scenario": "reading.reading",
    "parse_scenario": "reading.reading",
    "read_team": "reading.teams",
    "read_variation": "reading.changes",
    "shipped": "reading.reading",
    "shipped_names": "reading.reading",
    "vary": "reading.reading",
}


def __getattr__(name: str) -> Any:
    if name in _LATER:
        from importlib import import_module

        return getattr(import_module(f"simulation.scenario.{_LATER[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
