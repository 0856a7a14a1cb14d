"""Which way of taking a field up cannot be?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from simulation.scenario.types.mistakes import Mistake, did_you_mean

if TYPE_CHECKING:
    from simulation.scenario.tables.scenario import Scenario
    from simulation.scenario.tables.take_up import TakeUpMilestone


def take_up_mistakes(scenario: Scenario) -> Iterator[Mistake]:
    """Yield what is wrong with the areas that are taken up: unknown, twice, or gone while another needs them as its way out."""
    areas = {area.name: area for area in scenario.area}
    order = scenario.take_up.areas
    for index, name in enumerate(order):
        if name not in areas:
            yield Mistake("take_up.areas", f'there is no area "{name}"', did_you_mean(name, areas))
        elif name in order[:index]:
            yield Mistake("take_up.areas", f'"{name}" stands in it twice', "write it once")
        else:
            for other in scenario.area:
                if other.joins and other.joins.area == name and other.name not in order[:index]:
                    wrong = f'"{other.name}" joins "{name}" and would lose its way out'
                    right = f'write "{other.name}" before "{name}"' if other.name in order else f'add "{other.name}" before it'
                    yield Mistake("take_up.areas", wrong, right)


def loads_leave(here: str, milestone: TakeUpMilestone, scenario: Scenario) -> Iterator[Mistake]:
    """Yield a mistake where a milestone waits for loads to leave, and nothing brings any away."""
    if milestone.when == "away" and not scenario.leaves:
        right = 'write when = "in yard", or add [[supply.trucks]], [[supply.flights]] or [[take_up.shipments]]'
        yield Mistake(f"{here}.when", "nothing brings pallets away, so it would never be reached", right)


def areas_come_up(here: str, milestone: TakeUpMilestone, scenario: Scenario) -> Iterator[Mistake]:
    """Yield a mistake for each area of a milestone that is there, and stays where it lies."""
    taken = scenario.take_up.areas
    for name in (area.name for area in scenario.area if taken and area.name in milestone.areas and area.name not in taken):
        yield Mistake(f"{here}.areas", f'"{name}" is not taken up', "add it to take_up.areas, or leave it out here")
