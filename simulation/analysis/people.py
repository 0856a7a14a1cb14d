"""Who is on site? Crews, and those who drive and grade for them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.scenario import Scenario


@dataclass(frozen=True)
class People:
    """People on site by what they do.

    Attributes
    ----------
    crews, forklift_operators, truck_drivers, graders, rail_gang : int
    total : int
    """

    crews: int
    forklift_operators: int
    truck_drivers: int
    graders: int
    rail_gang: int
    total: int


def people_of(scenario: Scenario) -> People:
    """Return the people on site of a scenario; grading gangs and a rail gang only where they have something to do."""
    crews = sum(crew.people for crew in scenario.crew)
    operators = scenario.forklifts.count * scenario.forklifts.operators
    drivers = sum(fleet.count for fleet in scenario.supply.trucks)
    rail = scenario.rail_gang.people if any(area.guide_rail for area in scenario.area) else 0
    total = scenario.people_on_site
    return People(crews, operators, drivers, total - crews - operators - drivers - rail, rail, total)
