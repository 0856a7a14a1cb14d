"""What the planner writes: TOML becomes frozen, checked objects, and units end here."""

# What a name is, a type checker reads off the imports below.
# mypy: implicit-reexport
# ruff: noqa: F401
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

# A worker runs plans and reads no scenario: the tables, which take long to load, are imported where they are asked for.
_LATER = {
    "reading.changes": "read_variation",
    "reading.reading": "begin_by load_scenario parse_scenario shipped shipped_names vary",
    "reading.teams": "Scaled Team read_team",
    "tables.scenario": "Scenario",
    "types.change": "Change",
    "types.mistakes": "LogError Mistake ScenarioError",
    "types.texts.site_log_text": "SiteLog",
}
_ROOM_OF = {name: room for room, names in _LATER.items() for name in names.split()}
__all__ = [*_ROOM_OF]


def __getattr__(name: str) -> Any:
    if name in _ROOM_OF:
        from importlib import import_module

        return getattr(import_module(f"simulation.scenario.{_ROOM_OF[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
