"""Where are the pallets: at the port, on the road, in the yard; and what happens when they do not suffice?"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING

from simulation.build.plan import SupplyPlan
from simulation.build.steps import Step

if TYPE_CHECKING:
    from simulation.build.site import Site


class Stock:
    """Pallets of one build.

    Attributes
    ----------
    to_come : int
        Pallets at the port.
    incoming : int
        Pallets to come, on the road, on loads that wait, and ordered again.
    yard : int
    pools : list of list of Face
        Faces that may use each other's left-over mats.
    spare_full, spare_half : int
        Mats that will be left when the field is laid, as far as is known.
    ordered_full, ordered_half : int
        Mats whose lack made somebody order more.
    through_gate : dict of int to int
        Local day, counted from that of hour zero -> pallets that port and road let through: that left on trucks, or landed.
    resupply : callable
        Called with the pallets to order and the step that made it necessary.
    """

    def __init__(self, site: Site) -> None:
        plan: SupplyPlan = site.plan.supply
        self.site, self.plan = site, plan
        self.pools = [site.faces] if plan.movable else [area.faces for area in site.areas]
        self.full, self.half = plan.full, plan.half
        self.yard = plan.on_hand
        self.to_come = self.incoming = plan.total - plan.on_hand
        self.need_full = sum(sum(face.plan.full) for face in site.faces)
        self.need_half = sum(sum(face.plan.half) for face in site.faces)
        self.supplied = plan.total
        self.spare_full = plan.total * plan.full - self.need_full
        self.spare_half = plan.total * plan.half - self.need_half
        self.rejected_full = self.rejected_half = 0
        self.ordered_full = self.ordered_half = 0
        self.through_gate: dict[int, int] = {}
        self.resupply: Callable[[int, Step], None] = nobody

    def take(self, pallets: int) -> int:
        """Take up to so many pallets at the port for a load, and return how many there were."""
        taken = min(pallets, self.to_come)
        self.to_come -= taken
        return taken

    def day(self, hour: float) -> int:
        """Return the local day of a moment, counted from that of hour zero."""
        # Who has waited for midnight belongs to the new day, whatever the last bit of the sum says.
        return math.floor((hour - self.plan.midnight) / 24.0 + 1e-9) + 1

    def let_through(self, pallets: int, hour: float) -> float:
        """Count a load that passes the gate at `hour` and return that; or return the next midnight where the limit is reached."""
        day, limit = self.day(hour), self.plan.per_day_limit
        passed = self.through_gate.get(day, 0) + pallets
        if limit is not None and passed > limit:
            return self.plan.midnight + 24.0 * day
        self.through_gate[day] = passed
        return hour

    def unloaded(self, pallets: int) -> None:
        """Count a load that is set down in the yard."""
        self.incoming -= pallets
        self.yard += pallets

    def rejected(self, mats: tuple[int, int], step: Step) -> None:
        """Count damaged mats; where the spares are gone, order more at once."""
        full, half = mats
        self.rejected_full += full
        self.rejected_half += half
        self.spare_full -= full
        self.spare_half -= half
        if self.spare_full < 0 or self.spare_half < 0:
            self.order(max(0, -self.spare_full), max(0, -self.spare_half), step)

    def order_what_is_due(self, step: Step) -> None:
        """Order what faces still lack when nothing is left, nothing comes, and left-over mats do not make it up."""
        full = sum(max(0, sum(face.due_full for face in pool)) for pool in self.pools)
        half = sum(max(0, sum(face.due_half for face in pool)) for pool in self.pools)
        if full or half:
            self.order(full, half, step)

    def order(self, full: int, half: int, step: Step) -> None:
        """Order pallets that cover a lack of mats, and the stated share of spares on top of what is not yet laid."""
        self.ordered_full += full
        self.ordered_half += half
        faces = self.site.faces
        left = sum(face.rows - face.laid for face in faces) / sum(face.rows for face in faces)
        again = self.plan.spares * left
        wanted = 1
        if self.full:
            wanted = max(wanted, math.ceil((full + again * self.need_full) / self.full))
        if self.half:
            wanted = max(wanted, math.ceil(half / self.half))
        self.supplied += wanted
        self.incoming += wanted
        self.spare_full += wanted * self.full
        self.spare_half += wanted * self.half
        self.resupply(wanted, step)


def nobody(pallets: int, step: Step) -> None:
    """Stand where nothing can be ordered."""
    raise AssertionError("nobody brings what is ordered")
