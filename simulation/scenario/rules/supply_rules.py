"""Which numbers of a supply contradict each other: trucks, what is to come, and the limit of a day?"""

from __future__ import annotations

from collections.abc import Iterator

from simulation.scenario.tables.scenario import Scenario
from simulation.scenario.types.mistakes import Mistake
from simulation.scenario.types.section import MOST_TRUCKS


def _trucks(scenario: Scenario) -> Iterator[Mistake]:
    count = sum(fleet.count for fleet in scenario.supply.trucks)
    if count > MOST_TRUCKS:
        wrong = f"{count:,} in all are more than the {MOST_TRUCKS:,} that one scenario can hold"
        yield Mistake("supply.trucks", wrong, "write fewer, or larger loads")


def _bringers(scenario: Scenario) -> Iterator[Mistake]:
    supply = scenario.supply
    if not supply.comes_by and supply.total is not None and supply.total > supply.on_hand:
        yield Mistake(
            "supply",
            f"{supply.total - supply.on_hand} pallets are to come, but nothing brings them",
            "add [[supply.trucks]], [[supply.flights]] or [[supply.shipments]], or raise on_hand",
        )


def _total(scenario: Scenario) -> Iterator[Mistake]:
    supply = scenario.supply
    if supply.total is not None and supply.total < supply.on_hand:
        wrong = f"{supply.total} is less than the {supply.on_hand} on hand, which it includes"
        yield Mistake("supply.total", wrong, f"write at least {supply.on_hand}")


def _limit(scenario: Scenario) -> Iterator[Mistake]:
    supply = scenario.supply
    loads = [fleet.pallets for fleet in supply.trucks] + [flight.pallets for flight in supply.flights]
    loads += [shipment.lot for shipment in supply.shipments]
    if supply.per_day_limit is not None and loads and supply.per_day_limit < max(loads):
        wrong = f"{supply.per_day_limit} pallets a day let no load of {max(loads)} through"
        yield Mistake("supply.per_day_limit", wrong, f"write at least {max(loads)}")


#: In the order in which a planner reads the table.
SUPPLY = (_trucks, _bringers, _total, _limit)
