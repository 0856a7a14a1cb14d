"""Which shipments are written with more pallets than are to come, so that part of them is never on board?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from simulation.scenario import Mistake

if TYPE_CHECKING:
    from simulation.field import TakeOff
    from simulation.scenario import Scenario


def shipments_too_large(scenario: Scenario, quantities: TakeOff) -> Iterator[Mistake]:
    """Yield a line for each shipment that is written with more pallets than those before it leave to come."""
    to_come = left = max(0, quantities.comes - scenario.supply.on_hand)
    for number, shipment in enumerate(scenario.supply.shipments, 1):
        if shipment.pallets > left:
            less = f", and shipments before it bring {to_come - left:,} of them" if left < to_come else ""
            wrong = f"{shipment.pallets:,} pallets are more than the {to_come:,} to come{less}: it brings {left:,}"
            right = f"write {left}" if left else "leave it out"
            if left == to_come and (scenario.supply.trucks or scenario.supply.flights):
                right += " or fewer: what it is to bring, no truck or flight brings"
            yield Mistake(f"supply.shipments.{number}.pallets", wrong, right)
        left = max(0, left - shipment.pallets)
