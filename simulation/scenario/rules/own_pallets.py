"""What of the parts that come on pallets of their own cannot be as it is written?"""

from __future__ import annotations

from collections.abc import Iterator

from simulation.scenario.tables.scenario import Scenario
from simulation.scenario.tables.supply import OwnPallets
from simulation.scenario.types.mistakes import Mistake
from simulation.scenario.types.unreadable import apply_rule


def own_pallets(scenario: Scenario) -> Iterator[Mistake]:
    """Tell of parts that never come, or that nothing needs."""
    yield from apply_rule(_comes, "supply.key_strips", scenario.supply.key_strips)
    yield from apply_rule(_comes, "supply.rail", scenario.supply.rail)
    yield from apply_rule(_without_rail, scenario)


def _comes(key: str, parts: OwnPallets | None) -> Iterator[Mistake]:
    if parts is not None and (parts.since is None) == (parts.load is None):
        wrong = "has neither or both of from and load, and one of them says when the rest comes"
        yield Mistake(key, wrong, 'write one of the two, such as from = "3 day" or load = 2')


def _without_rail(scenario: Scenario) -> Iterator[Mistake]:
    if scenario.supply.rail is not None and not any(area.guide_rail for area in scenario.area):
        yield Mistake("supply.rail", "is written, but no area has a guide rail", "leave it out, or write guide_rail = true")
