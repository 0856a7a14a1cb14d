"""What do the pallets hold that come next, where full and half mats are packed apart, each delivery for itself?"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from simulation.construction.plan.field_state import FieldState
from simulation.construction.plan.packing import Mix, pack_mats, spread
from simulation.construction.plan.plan_parts import SupplyPlan


class PackedDeliveries:
    """The pallets still to come of one run, by what brings them: trucks and flights together, each shipment, each order again.

    What has come before the run began is known with the field, and what is left of a delivery holds the rest of its mats.

    Parameters
    ----------
    plan : SupplyPlan
    state : FieldState or None
        None where the run begins at the start.
    to_come : int
        Pallets at the port.
    """

    def __init__(self, plan: SupplyPlan, state: FieldState | None, to_come: int) -> None:
        self.plan = plan
        self._came = None if state is None else state.apart
        #: Pallets still to come by each shipment, and by trucks and flights: under None.
        self._left: dict[int | None, int] = {None: to_come}
        if state is not None and self._came is not None:
            self._left[None] += state.on_trucks
        self._packed: dict[int | None, Iterator[Mix]] = {}

    def keep_for_shipment(self, number: int, pallets: int) -> None:
        """Let so many of the pallets at the port come by a shipment."""
        self._left[number] = pallets
        self._left[None] -= pallets

    def next_of(self, pallets: int, shipment: int | None = None) -> tuple[Mix, ...]:
        """Return what the next pallets of a shipment hold, or of what trucks and flights bring; empty where all hold the same."""
        if self.plan.half_first is None and self._came is None:
            return ()
        if shipment not in self._packed:
            self._packed[shipment] = iter(self._pack(shipment))
        return tuple(islice(self._packed[shipment], pallets))

    def on_road(self, pallets: int) -> tuple[Mix, ...]:
        """Return what the pallets of a truck hold that was loaded when the run began."""
        return () if self._came is None else self.next_of(pallets)

    def of_order(self, pallets: int) -> tuple[Mix, ...]:
        """Return what the pallets of an order again hold; empty where all pallets hold the same."""
        if self.plan.half_first is None:
            return ()
        full, half = self.plan.full, self.plan.half
        return tuple(pack_mats((pallets * full, pallets * half), 2 * full + half, self.plan.half_first))

    def _pack(self, shipment: int | None) -> list[Mix]:
        full, half, left = self.plan.full, self.plan.half, self._left[shipment]
        room, came = 2 * full + half, (0, 0)
        if self._came is not None:
            came = self._came.by_port if shipment is None else self._came.by_shipments[shipment]
        whole = left + (2 * came[0] + came[1]) // room
        mats = max(0, whole * full - came[0]), max(0, whole * half - came[1])
        return spread(mats, left) if self.plan.half_first is None else pack_mats(mats, room, self.plan.half_first)
