"""What the planner writes: TOML becomes frozen, checked objects, and units end here."""

from simulation.scenario.changes import Change, read_variation
from simulation.scenario.crews import Scaled, Team, read_team
from simulation.scenario.mistakes import Mistake, ScenarioError
from simulation.scenario.reading import load_scenario, parse_scenario, shipped, shipped_names, vary
from simulation.scenario.scenario import Scenario

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
