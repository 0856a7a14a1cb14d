"""Which pallets of the yard does a laying edge get, where pallets hold different mats?

Pallets that came up elsewhere, or are packed apart, hold full mats or half mats alone. An edge gets a pallet with what it lacks
most, of all that it takes: so both kinds of mat run out there together, as they do where every pallet holds the mix of a row.
"""

from __future__ import annotations

from collections.abc import Iterable

from simulation.construction.plan.packing import Mix, find_pallet
from simulation.construction.site.edges.laying_edge import LayingEdge


class MixedYard:
    """Pallets in the yard by what they hold; of like ones, it does not matter which is taken.

    Attributes
    ----------
    pallets : dict of (int, int) to int
        Full and half mats of a pallet -> how many of these there are.
    """

    def __init__(self, pallets: Iterable[Mix]) -> None:
        self.pallets: dict[Mix, int] = {}
        self.put(pallets)

    def put(self, pallets: Iterable[Mix]) -> None:
        """Set pallets down."""
        for pallet in pallets:
            self.pallets[pallet] = self.pallets.get(pallet, 0) + 1

    def mats(self, kind: int) -> int:
        """Return all full mats here, for kind 0, or half mats, for kind 1."""
        return sum(pallet[kind] * count for pallet, count in self.pallets.items())

    def serves(self, edge: LayingEdge) -> bool:
        """Return whether a pallet here holds something that a laying edge still lacks."""
        due = edge.due_full, edge.due_half
        return any((pallet[0] and due[0] > 0) or (pallet[1] and due[1] > 0) for pallet in self.pallets)

    def fails(self, edge: LayingEdge) -> bool:
        """Return whether a laying edge lacks mats of a kind of which there are none here."""
        return (edge.due_full > 0 and not self.mats(0)) or (edge.due_half > 0 and not self.mats(1))

    def take(self, edge: LayingEdge) -> Mix:
        """Take the pallet for a laying edge: with most of what it lacks most, as a share of all that it takes."""
        takes = sum(edge.plan.full), sum(edge.plan.half)
        pallet = find_pallet(self.pallets, (edge.due_full, edge.due_half), takes)
        assert pallet is not None, "no pallet here serves that laying edge"
        self.pallets[pallet] -= 1
        if not self.pallets[pallet]:
            del self.pallets[pallet]
        return pallet
