"""How does the site stand at an hour: rows, graded ground, pallets, every mat?"""

from __future__ import annotations

from dataclasses import dataclass

#: Rows of a laying edge, in laying order: from the first up to, not including, the last.
Spans = tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Mats:
    """Mats of one kind at an hour; `supplied` is the sum of all the others.

    Those that a forklift left where it broke down count as on forks.
    """

    supplied: int
    to_come: int
    yard: int
    on_forks: int
    at_edges: int
    in_work: int
    laid: int
    rejected: int


@dataclass(frozen=True)
class Stand:
    """How the site stands at an hour.

    Attributes
    ----------
    hour : float
    laid, in_work, graded, staged : tuple of int
        Of each edge, in laying order: rows laid; rows begun and not yet done; rows whose ground is ready; unopened pallets.
    strips : tuple of frozenset of int
        Key strips set, by laying edge.
    prepared : frozenset of int
        Areas whose starter key strip is set.
    joined : frozenset of int
        Areas whose connectors are set.
    yard, at_port, on_road, waiting : int
        Pallets in the yard; not yet taken by a truck, flight or shipment; being loaded, on the road or ordered again; on loads
        that wait at the yard or are being unloaded.
    loads : int
        Loads that wait for a forklift.
    full, half : Mats
    railed : tuple of int
        Sections of each guide rail that are set.
    after_rows : tuple of int
        Of each piece of work that follows the rows, in the order of the plan, how many of its steps are done.
    ends : frozenset of int
        Laying edges where a temporary end stands.
    by_shipment : int or None
        Pallets at the port that are kept for shipments; None where there is none.
    lying, begun : tuple of tuple
        Where a field is taken up: of each laying edge the rows that lie, and those in work; see `rows_lying`, `rows_begun`.
    front : tuple of int
        Where a field is taken up: of each laying edge the row that was begun last.
    """

    hour: float
    laid: tuple[int, ...]
    in_work: tuple[int, ...]
    graded: tuple[int, ...]
    staged: tuple[int, ...]
    strips: tuple[frozenset[int], ...]
    prepared: frozenset[int]
    joined: frozenset[int]
    yard: int
    at_port: int
    on_road: int
    waiting: int
    loads: int
    full: Mats
    half: Mats
    railed: tuple[int, ...]
    after_rows: tuple[int, ...]
    ends: frozenset[int] = frozenset()
    by_shipment: int | None = None
    lying: tuple[Spans, ...] = ()
    begun: tuple[Spans, ...] = ()
    front: tuple[int, ...] = ()

    def at_work(self, edge: int) -> int:
        """Return the rows of a laying edge before the one that was begun last."""
        return self.front[edge] if self.front else self.laid[edge] + self.in_work[edge]

    def rows_lying(self, edge: int) -> Spans:
        """Return the rows of a laying edge that lie."""
        return self.lying[edge] if self.lying else ((0, self.laid[edge]),) if self.laid[edge] else ()

    def rows_begun(self, edge: int) -> Spans:
        """Return the rows of a laying edge that are in work."""
        if self.begun:
            return self.begun[edge]
        return ((self.laid[edge], self.laid[edge] + self.in_work[edge]),) if self.in_work[edge] else ()
