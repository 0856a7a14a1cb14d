"""What is legal in a scenario, and still likely not what its planner means?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.field import take_off
from simulation.scenario import Mistake

if TYPE_CHECKING:
    from simulation.scenario import Scenario


def warnings_of(scenario: Scenario) -> list[Mistake]:
    """Return a line for everything in a sound scenario that a planner should look at again."""
    found: list[Mistake] = []
    quantities = take_off(scenario)
    if quantities.need.pallets <= quantities.comes < quantities.order.pallets:
        found.append(
            Mistake(
                "supply.total",
                f"{quantities.comes} pallets cover the field, but not the spares of {scenario.supply.spares:.0%}",
                f"{quantities.order.pallets} would",
            )
        )
    if scenario.site is None and not scenario.shifts.all.lighting:
        found.append(Mistake("site", "is missing, so darkness is not considered", "write latitude, longitude and utc_offset"))
    if scenario.weather.model == "none":
        found.append(Mistake("weather", "no rain is considered", "write wet_spell and dry_spell of the season"))
    if scenario.laying.efficiency.certain:
        found.append(
            Mistake(
                "laying.efficiency",
                "is stated as certain, so the forecast looks surer than it is",
                "write low, mode and high",
            )
        )
    ready = next(milestone for milestone in scenario.milestones if milestone.ready)
    left_out = [area.name for area in scenario.area if ready.areas and area.name not in ready.areas]
    if left_out:
        found.append(
            Mistake(
                f"milestone.{ready.name}.areas",
                f"readiness does not wait for {', '.join(left_out)}",
                "add it if it must be laid by then",
            )
        )
    alone = [area.name for area in scenario.area if area.start == "centre-out" and _crews_on(scenario, area.name) == 1]
    found.extend(
        Mistake(f"area.{name}.start", "one crew alone lays both faces, one after the other", "give the area a second crew")
        for name in alone
    )
    return found


def _crews_on(scenario: Scenario, area: str) -> int:
    return sum(area in crew.areas for crew in scenario.crew)
