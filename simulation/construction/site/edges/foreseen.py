"""What does whoever lays know beforehand? The hours left of the shifts, and how long the next rows take: not the weather."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.conditions import dry_clock
from simulation.construction.site.edges.laying_edge import LayingEdge
from simulation.construction.site.edges.rowtime import learned

if TYPE_CHECKING:
    from simulation.conditions import WorkClock
    from simulation.construction.site.site import Site


class Foreseen:
    """What is known beforehand at the laying edges of one run."""

    def __init__(self, site: Site) -> None:
        self._site = site
        self._dry: dict[frozenset[str], WorkClock] = {}

    def left(self, edge: LayingEdge, now: float, until: float) -> float:
        """Return the hours of their shifts that are left to those who lay at a laying edge until a moment."""
        return self.clock(edge).worked(now, until)

    def clock(self, edge: LayingEdge) -> WorkClock:
        """Return the clock, without weather, of those who lay at a laying edge.

        Of crews with different hours those who are there; and where no other laying edge of the area is left, all who would come
        to it before anything else.
        """
        names = {crew.plan.clock for party in edge.parties for crew in party}
        if not names and edge.last_crew is not None:
            names.add(edge.last_crew.plan.clock)
        if sum(not other.done.triggered for other in edge.area.edges) == 1:
            names |= {crew.clock for crew in self._site.plan.crews if self._comes_here(crew.areas, edge.area.index)}
        clock = self._dry.get(key := frozenset(names or {"laying"}))
        if clock is None:
            clock = self._dry[key] = dry_clock([self._site.plan.clocks[name] for name in sorted(key)])
        return clock

    def _comes_here(self, areas: tuple[int, ...], area: int) -> bool:
        first = next((own for own in areas if self._site.areas[own].open and not self._site.areas[own].finished), None)
        return first == area

    def row(self, edge: LayingEdge, row: int) -> float:
        """Return the hours of a row for those on turn, with the check that follows it."""
        hours, crew = edge.hours[row], edge.parties[0][0] if edge.parties else None
        if self._site.plan.laying.learning < 1.0 and crew is not None:
            hours *= learned(self._site.plan.laying, crew.rows_laid + 1 + row - edge.laid)
        return hours + (float(edge.checks[row]) if row + 1 in edge.plan.checks else 0.0)
