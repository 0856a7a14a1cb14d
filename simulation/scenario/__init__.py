"""What the planner writes: TOML becomes frozen, checked objects, and units end here."""

from simulation.scenario.mistakes import Mistake, ScenarioError
from simulation.scenario.reading import load_scenario, parse_scenario, shipped
from simulation.scenario.scenario import Scenario

__all__ = ["Mistake", "Scenario", "ScenarioError", "load_scenario", "parse_scenario", "shipped"]
