"""When is work at an area closed for flying, and by which clock does it go there?"""

from __future__ import annotations

import math
from bisect import bisect_right
from typing import TYPE_CHECKING

from simulation.conditions import between_flights
from simulation.construction.site.laying_edge import LayingEdge
from simulation.construction.site.step_factory import Begin

if TYPE_CHECKING:
    from simulation.construction.site.site import Site


class Flying:
    """Use of an area while it is laid.

    Attributes
    ----------
    begun : Event
        Fired when the area begins to be flown from.
    """

    def __init__(self, site: Site) -> None:
        self._site, self.begun = site, site.env.event()
        self._begins: dict[str, Begin] = {}
        self._highs = [high for _, high in site.plan.flying.spans] if site.plan.flying is not None else []

    def begin_with(self, milestone: int) -> None:
        """Let the area be flown from, if that is so from this milestone on, which was just reached."""
        site, plan = self._site, self._site.plan.flying
        if plan is not None and plan.milestone == milestone:
            area = site.areas[plan.area]
            area.flown, area.stand_back, area.driven = True, plan.stand_back, plan.driven
            area.used = plan.rows if plan.gate is None else site.opened.get(plan.gate, plan.rows)
            if not self.begun.triggered:
                self.begun.succeed()

    def begin_at(self, edge: LayingEdge, clock: str = "laying") -> Begin:
        """Return what begins steps at a laying edge: between flights where windows close it."""
        return self.between(clock) if self.closes(edge) else self._site.begin

    def closes(self, edge: LayingEdge) -> bool:
        """Return whether windows stop those who lay at a laying edge.

        Where temporary ends are made, those at an open one are away before a window begins, but for what is late; until its end
        stands nobody flies, and they go on with that.
        """
        return edge.under_flight() and (self._site.ends is None or not self._site.ends.in_windows or edge.laid == edge.rows)

    def begin_trip(self, edge: LayingEdge, hours: float) -> Begin:
        """Return what begins a forklift's trip to a laying edge: one that ends before the next aircraft comes goes on."""
        return self._site.begin if self.may_drive(edge, hours) else self.between("forklift")

    def may_drive(self, edge: LayingEdge, hours: float) -> bool:
        """Return whether a trip of so many hours to a laying edge ends before the next aircraft comes there, or windows take
        none of its hours.
        """
        site, plan, now = self._site, self._site.plan.flying, self._site.env.now
        if plan is None or not edge.under_flight(driving=True):
            return True
        place = bisect_right(self._highs, now)
        comes = plan.spans[place][0] + plan.clear if place < len(self._highs) else math.inf
        end = site.clocks["forklift"].finish(now, hours)
        return end <= comes or site.clocks[between_flights("forklift")].finish(now, hours) <= end

    def between(self, clock: str) -> Begin:
        """Return what begins steps of work that goes by a clock, at an area that is flown from."""
        begin = self._begins.get(clock)
        if begin is None:
            begin = self._begins[clock] = self._site.begin_on(between_flights(clock))
        return begin
