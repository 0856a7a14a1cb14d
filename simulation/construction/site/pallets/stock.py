"""Where are the pallets: at the port, on the road, in the yard; and what happens when they do not suffice?"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from simulation.construction.plan.field_state import FieldState
from simulation.construction.plan.plan_parts import SupplyPlan
from simulation.construction.plan.steps import Step
from simulation.construction.site.pallets.mixed_yard import MixedYard
from simulation.construction.site.pallets.packed_deliveries import PackedDeliveries

if TYPE_CHECKING:
    from simulation.construction.site.site import Site


#: Pallets by which a sum of shares may exceed a whole number before one more is ordered.
_SLACK = 1e-9
#: Days before midnight at which the new one begins: who has waited for it belongs to it, whatever the last bit of a sum says.
_DAY_SLACK = 1e-9
#: The same in hours.
DAY_SLACK = 24.0 * _DAY_SLACK


class Stock:
    """Pallets of one run.

    Attributes
    ----------
    to_come : int
        Pallets at the port.
    incoming : int
        Pallets to come, on the road, on loads that wait, and ordered again.
    on_the_way : list of int
        Full and half mats of these, where pallets hold different mats.
    yard : int
    pools : list of list of LayingEdge
        Laying edges that may use each other's left-over mats.
    mixed : MixedYard or None
        What the pallets in the yard hold; None where every pallet holds the same.
    packed : PackedDeliveries
        What the pallets hold that come.
    brought : (int, int)
        Full and half mats of all arrivals.
    spare_full, spare_half : int
        Mats that will be left when the field is laid, as far as is known.
    ordered_full, ordered_half : int
        Mats whose lack made somebody order more.
    through_gate : dict of int to int
        Local day, counted from that of the start -> pallets that come to the yard on it, by truck or flight.
    kept : list of int
        Pallets that are to come by each shipment, and by nothing else.
    never_came : dict of int to int
        Shipment of which it is known that it never comes -> pallets that were kept for it.
    flights_landed : list of int or None
        Landings of each timetable that are fixed; None where no more come.
    resupply : callable
        Called with the pallets to order and the step that made it necessary.
    """

    def __init__(self, site: Site) -> None:
        plan: SupplyPlan = site.plan.supply
        self.site, self.plan = site, plan
        self.pools = [site.edges] if plan.movable else [area.edges for area in site.areas]
        self.full, self.half = plan.full, plan.half
        self.yard = plan.on_hand
        self.to_come = self.incoming = plan.total - plan.on_hand
        brought = [pallet for arrival in plan.arrivals for pallet in arrival.pallets]
        here = [pallet for arrival in plan.arrivals if arrival.hour <= 0.0 for pallet in arrival.pallets]
        to_arrive = [pallet for arrival in plan.arrivals if arrival.hour > 0.0 for pallet in arrival.pallets]
        self.yard += len(here)
        self.incoming += len(to_arrive)
        state = site.plan.state
        apart = bool(brought) or plan.half_first is not None or (state is not None and state.apart is not None)
        self.mixed = MixedYard([*here, *[(plan.full, plan.half)] * plan.on_hand]) if apart else None
        self.brought = sum(full for full, _ in brought), sum(half for _, half in brought)
        self.need_full = sum(sum(edge.plan.full) for edge in site.edges)
        self.need_half = sum(sum(edge.plan.half) for edge in site.edges)
        self.supplied = plan.total
        self.spare_full = plan.total * plan.full + self.brought[0] - self.need_full
        self.spare_half = plan.total * plan.half + self.brought[1] - self.need_half
        self.rejected_full = self.rejected_half = 0
        self.ordered_full = self.ordered_half = 0
        self.through_gate: dict[int, int] = {}
        self.kept = [0] * len(plan.shipments)
        self.never_came: dict[int, int] = {}
        self.flights_landed: list[int | None] = [0] * len(plan.flights)
        self.resupply: Callable[[int, Step], None] = nobody
        if state is not None:
            self.stand(state)
        alike = self.incoming - len(to_arrive)
        self.on_the_way = [alike * on + sum(mats[kind] for mats in to_arrive) for kind, on in enumerate((self.full, self.half))]
        if state is not None and state.apart is not None:
            came, waiting = state.apart.came, state.mats_waiting
            self.on_the_way = [self.supplied * on - came[kind] + waiting[kind] for kind, on in enumerate((self.full, self.half))]
        self.packed = PackedDeliveries(plan, state, self.to_come)

    def stand(self, state: FieldState) -> None:
        """Stand as it did at the moment at which the run begins."""
        self.yard = state.yard
        self.never_came = self.plan.lost(state)
        lost = sum(self.never_came.values())
        self.supplied += state.ordered - lost
        self.incoming = self.supplied - state.came + state.waiting
        due = sum(pallets for pallets, since in state.orders if since + self.plan.resupply > state.at)
        self.to_come = max(0, self.incoming - state.waiting - state.on_trucks - due)
        self.rejected_full, self.rejected_half = state.rejected
        self.spare_full += (state.ordered - lost) * self.full - self.rejected_full
        self.spare_half += (state.ordered - lost) * self.half - self.rejected_half
        self.through_gate[self.day(state.at)] = state.came_today
        if self.mixed is not None:
            self.mixed = MixedYard(state.apart.yard if state.apart is not None else [(self.full, self.half)] * self.yard)

    def take(self, pallets: int) -> int:
        """Take up to so many pallets at the port for a load, and return how many there were."""
        taken = min(pallets, self.to_come)
        self.to_come -= taken
        return taken

    def keep_for_shipment(self, number: int, pallets: int) -> int:
        """Take up to so many pallets for a shipment, and return how many there were."""
        self.kept[number] = self.take(pallets)
        self.packed.keep_for_shipment(number, self.kept[number])
        return self.kept[number]

    def lose_shipment(self, number: int, step: Step) -> None:
        """Take the pallets of a shipment that never comes out of what is to come; where the spares are gone, order more."""
        lost, self.kept[number] = self.kept[number], 0
        self.never_came[number] = lost
        self._count_incoming(-lost)
        self.supplied -= lost
        self.spare_full -= lost * self.full
        self.spare_half -= lost * self.half
        self._order_what_lacks(step)

    def day(self, hour: float) -> int:
        """Return the local day of a moment, counted from that of the start."""
        return math.floor((hour - self.plan.midnight) / 24.0 + _DAY_SLACK) + 1

    def let_through(self, pallets: int, hour: float, flies: bool = False) -> bool:
        """Count a load that comes to the yard at `hour`, if the limit of that day leaves room for it; return whether it does."""
        if math.isinf(hour):  # it never comes
            return True
        day, limit = self.day(hour), self.plan.per_day_limit
        passed = self.through_gate.get(day, 0) + pallets
        if limit is not None and passed > limit - (0 if flies else self.kept_for_flights(day)):
            return False
        self.through_gate[day] = passed
        return True

    def pass_gate(self, pallets: int, hour: float) -> None:
        """Count a load that comes to the yard at `hour`, whatever the limit: it was let through before the run began."""
        if math.isfinite(hour):
            self.through_gate[self.day(hour)] = self.through_gate.get(self.day(hour), 0) + pallets

    def kept_for_flights(self, day: int) -> int:
        """Return the pallets of the limit of a day that trucks leave to the flights still to land on it."""
        if not (self.plan.flights_first and self.to_come):
            return 0
        high = self.midnight_after(day)
        kept = 0
        for plan, number in zip(self.plan.flights, self.flights_landed, strict=True):
            if number is not None:
                first, upto = ((edge - plan.first) / plan.every - 1e-9 for edge in (high - 24.0, high))
                kept += plan.pallets * max(0, math.ceil(upto) - max(number, math.ceil(first)))
        return kept

    def midnight_after(self, day: int) -> float:
        """Return the hour at which a local day ends."""
        return self.plan.midnight + 24.0 * day

    def unloaded(self, pallets: int, mats: Sequence[tuple[int, int]] = ()) -> None:
        """Count pallets that are set down in the yard; `mats` says what they hold where that is not what every pallet holds."""
        self.yard += pallets
        self.incoming -= pallets
        if self.mixed is not None:
            set_down = mats or [(self.full, self.half)] * pallets
            self.mixed.put(set_down)
            for full, half in set_down:
                self.on_the_way[0] -= full
                self.on_the_way[1] -= half

    def _count_incoming(self, pallets: int) -> None:
        """Count so many more pallets to come."""
        self.incoming += pallets
        self.on_the_way[0] += pallets * self.full
        self.on_the_way[1] += pallets * self.half

    def spent(self) -> bool:
        """Return whether nothing comes any more, and nothing in the yard is what some open laying edge lacks."""
        if self.incoming:
            return False
        return not self.yard or (self.mixed is not None and any(map(self.mixed.fails, self.site.open_edges)))

    def mats_supplied(self, kind: int) -> int:
        """Return the full mats that were there, came and are to come, for kind 0, or half mats, for kind 1."""
        return self.supplied * (self.full, self.half)[kind] + self.brought[kind]

    def mats_in_yard(self, kind: int) -> int:
        """Return the full or half mats in the yard."""
        return self.yard * (self.full, self.half)[kind] if self.mixed is None else self.mixed.mats(kind)

    def mats_incoming(self, kind: int) -> int:
        """Return the full or half mats that are to come, on the road, on loads that wait, and ordered again."""
        return self.incoming * (self.full, self.half)[kind] if self.mixed is None else self.on_the_way[kind]

    def rejected(self, mats: tuple[int, int], step: Step) -> None:
        """Count damaged mats; where the spares are gone, order more at once."""
        full, half = mats
        self.rejected_full += full
        self.rejected_half += half
        self.spare_full -= full
        self.spare_half -= half
        self._order_what_lacks(step)

    def _order_what_lacks(self, step: Step) -> None:
        """Order more at once where the spares are gone."""
        if self.spare_full < 0 or self.spare_half < 0:
            self.order(max(0, -self.spare_full), max(0, -self.spare_half), step)

    def mats_ahead(self) -> tuple[int, int]:
        """Return the full and half mats of rows that nobody has looked at for damage yet."""
        ahead = [(edge.plan, max(edge.seen, edge.taken)) for edge in self.site.edges]
        return sum(sum(plan.full[row:]) for plan, row in ahead), sum(sum(plan.half[row:]) for plan, row in ahead)

    def order_what_is_due(self, step: Step) -> None:
        """Order what laying edges still lack when nothing is left, nothing comes, and left-over mats do not make it up."""
        full = sum(max(0, sum(edge.due_full for edge in pool)) for pool in self.pools)
        half = sum(max(0, sum(edge.due_half for edge in pool)) for pool in self.pools)
        if self.mixed is not None:  # what stands in the yard serves other laying edges
            full, half = max(0, full - self.mixed.mats(0)), max(0, half - self.mixed.mats(1))
        if full or half:
            self.order(full, half, step)

    def order(self, full: int, half: int, step: Step) -> None:
        """Order pallets that cover a lack of mats, and what the damage seen so far says that the rows ahead will lack.

        That is, of their mats, the share found damaged of those looked at so far, or that of spares where it is more.
        """
        self.ordered_full += full
        self.ordered_half += half
        ahead_full, ahead_half = self.mats_ahead()
        looked_at = self.need_full + self.need_half - ahead_full - ahead_half
        seen = (self.rejected_full + self.rejected_half) / looked_at if looked_at else 0.0
        again = max(self.plan.spares, seen)
        wanted = 1
        if self.full:
            wanted = max(wanted, math.ceil((full + again * ahead_full) / self.full - _SLACK))
        if self.half:
            wanted = max(wanted, math.ceil((half + seen * ahead_half) / self.half - _SLACK))
        self.supplied += wanted
        self._count_incoming(wanted)
        self.spare_full += wanted * self.full
        self.spare_half += wanted * self.half
        self.resupply(wanted, step)


def nobody(pallets: int, step: Step) -> None:
    """Stand where nothing can be ordered."""
    raise AssertionError("nobody brings what is ordered")
