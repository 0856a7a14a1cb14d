"""What of the second file does a move not read, or take from planning values? It is said before the first run."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from simulation.questions.move.second_site import stock_of
from simulation.scenario import Mistake
from simulation.scenario.tables.supply import ON_EVERY_PALLET
from simulation.scenario.types.mistakes import listed

if TYPE_CHECKING:
    from simulation.scenario import Scenario


def not_read(second: Scenario) -> Iterator[Mistake]:
    """Yield, by its key, what is written of the second site and changes nothing in a move, and a leg that is not written."""
    supply, leg = second.supply, second.leg
    if "leg" not in second.model_fields_set:
        wrong = f"is missing, so planning values say how mats come: loads of {leg.load} pallets by {leg.by}, and all arrive"
        yield Mistake("leg", wrong, "write [leg] with load and time")
    if stock_of(second) > supply.on_hand:
        return
    written = [key for key in ("trucks", "flights", "shipments") if getattr(supply, key)]
    if written:
        several = listed([f"[[supply.{key}]]" for key in written])
        needed = {need.shipment for task in second.task for need in task.after if need.shipment is not None}
        parts = f"; {listed(sorted(needed))} comes for its tasks alone" if needed else ""
        wrong = f"{several} bring no pallets in a move, since no more than on_hand is its own{parts}"
        yield Mistake(f"supply.{written[0]}", wrong, "write total, all pallets of its own with those on hand, or leave it")
    if supply.half_mats != ON_EVERY_PALLET:
        yield Mistake("supply.half_mats", "is not read in a move: pallets by the leg hold what comes up", "leave it out")
