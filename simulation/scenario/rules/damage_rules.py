"""Which damage can a field not meet, where a scenario says how often it comes?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from simulation.scenario.types.mistakes import Mistake, did_you_mean

if TYPE_CHECKING:
    from simulation.scenario.tables.scenario import Scenario


def damage_mistakes(scenario: Scenario) -> Iterator[Mistake]:
    """Yield what is wrong with the damage of a scenario: an area that is not there, touchdown zones that meet."""
    damage = scenario.damage
    if damage is None:
        return
    areas = {area.name: area for area in scenario.area}
    if damage.area is not None and damage.area not in areas:
        yield Mistake("damage.area", f'there is no area "{damage.area}"', did_you_mean(damage.area, areas))
        return
    area = scenario.area[0] if damage.area is None else areas[damage.area]
    if 2 * damage.touchdown > area.length:
        measures = scenario.measures.length
        wrong = f"two zones of {measures.text(damage.touchdown)} do not fit on {measures.text(area.length)} of {area.name}"
        yield Mistake("damage.touchdown", wrong, f'write "{measures.text(area.length / 2)}" or less')
