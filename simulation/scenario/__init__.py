"""What the planner writes: TOML becomes frozen, checked objects, and units end here."""

from simulation.scenario.reading.changes import read_variation
from simulation.scenario.reading.reading import load_scenario, parse_scenario, shipped, shipped_names, vary
from simulation.scenario.reading.teams import Scaled, Team, read_team
from simulation.scenario.tables.scenario import Scenario
from simulation.scenario.types.change import Change
from simulation.scenario.types.mistakes import Mistake, ScenarioError

__all__ = [
    "Change",
    "Mistake",
    "Scaled",
    "Scenario",
    "ScenarioError",
    "Team",
    "load_scenario",
    "parse_scenario",
    "read_team",
    "read_variation",
    "shipped",
    "shipped_names",
    "vary",
]
