"""Does a field that is flown from leave anybody time to lay?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from simulation.conditions import between_flights, clock_plans, crew_clock
from simulation.scenario import Mistake

if TYPE_CHECKING:
    from simulation.scenario import Scenario


def closed_to_laying(scenario: Scenario) -> Iterator[Mistake]:
    """Yield a line where flying windows close every hour of every crew on an area."""
    if area_closed(scenario):
        wrong = f"close every hour of the crews, so from {scenario.flying.since} on no row of {scenario.flown} is laid"
        closing = "windows" if scenario.flying.windows else "movements"
        yield Mistake(f"flying.{closing}", wrong, f"write shorter {closing}, or hours for the crews between them")


def area_closed(scenario: Scenario) -> str:
    """Return the area of which flying windows close every hour of every crew; an empty text where there is none."""
    if scenario.flown is None or not scenario.flying.closes or scenario.flying.stand_back == 0.0:
        return ""
    plans = clock_plans(scenario)
    clocks = {between_flights(crew_clock(scenario, number)) for number in range(len(scenario.crew))}
    return "" if any(rate for clock in clocks for _, _, rate, _ in plans[clock].calendar) else scenario.flown
