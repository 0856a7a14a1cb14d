"""From a scenario to its crews: which areas each lays, by which clock, and when its shifts are where that matters."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.conditions import crew_clock, ends_of_hours, shifts_of_crews
from simulation.construction.plan.plan import CrewPlan

if TYPE_CHECKING:
    from simulation.scenario import Scenario


def crew_plans(scenario: Scenario) -> tuple[CrewPlan, ...]:
    """Return the crews in the order of the scenario."""
    numbers = {area.name: number for number, area in enumerate(scenario.area)}
    plans = []
    for number, (crew, shifts) in enumerate(zip(scenario.crew, shifts_of_crews(scenario), strict=True)):
        areas = tuple(numbers[name] for name in crew.areas)
        clock, ends = crew_clock(scenario, number), ends_of_hours(scenario, number)
        plans.append(CrewPlan(crew.name, crew.people, areas, crew.second_crew, crew.since, clock, ends, shifts))
    return tuple(plans)
