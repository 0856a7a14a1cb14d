"""Who mends a strip that closes at a moment: the crew of its area that is at work then, or else the next that comes to work?"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.conditions import clock_plans, crew_clock
from simulation.study.damage.repair_draws import first_crew

if TYPE_CHECKING:
    from simulation.scenario import Scenario


@dataclass(frozen=True)
class MendingCrew:
    """The crew that begins, and who goes on with it in other hours.

    Attributes
    ----------
    number : int
        Of the crew, from 0.
    name : str
    at_work : float
        Hours since the start at which it is at work, once the strip is closed; infinite where it is no more.
    others : tuple of int
        Crews of the area with hours of their own that are there then as well, and go on with it in theirs.
    """

    number: int
    name: str
    at_work: float
    others: tuple[int, ...]


def crew_then(scenario: Scenario, area: str, since: float) -> MendingCrew:
    """Return who mends an area that closes at an hour since the start: of two at work then, the one that is written first."""
    clocks = clock_plans(scenario)
    numbers = [number for number, crew in enumerate(scenario.crew) if area in crew.areas] or [first_crew(scenario, area)]
    comes = {}
    for number in numbers:
        after = max(since, scenario.crew[number].since)
        spans = ((start, end) for start, end, rate, _ in clocks[crew_clock(scenario, number)].calendar if rate)
        comes[number] = next((max(start, after) for start, end in spans if end > after), math.inf)
    first = min(numbers, key=lambda number: comes[number])
    hours = crew_clock(scenario, first)
    there = [number for number in numbers if scenario.crew[number].since <= comes[first]]
    others = tuple(number for number in there if crew_clock(scenario, number) != hours)
    return MendingCrew(first, scenario.crew[first].name, comes[first], others)
