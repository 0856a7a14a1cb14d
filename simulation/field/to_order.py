"""How many pallets are to be ordered, of what, and how does what the scenario plans stand to it? One sum for every page."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.field.order import MATS, Order

if TYPE_CHECKING:
    from simulation.field.pallets import PalletNeed
    from simulation.scenario.tables.supply import Supply


@dataclass(frozen=True)
class ToOrder:
    """The pallets of a field: every number of them is this sum, or a part of it.

    Attributes
    ----------
    needed : int
        Of mats, without spares.
    spares : int
        Of mats, beyond those.
    share : float
        Of mats that is ordered as spares.
    used : int
        Of mats, beyond those: for used ones that cannot be laid.
    unfit : float
        The share of those.
    others : tuple of (str, int)
        Pallets of key strips, of rail, of small parts and tools, each kind on its own.
    on_hand, deliveries : int
        Of mats: what the scenario plans to be there at the start, and to bring.
    """

    needed: int
    spares: int
    share: float
    others: tuple[tuple[str, int], ...]
    on_hand: int
    deliveries: int
    used: int = 0
    unfit: float = 0.0

    @property
    def mats(self) -> int:
        """Pallets of mats to order."""
        return self.needed + self.spares + self.used

    @property
    def beside(self) -> int:
        """Pallets of everything else."""
        return sum(count for _, count in self.others)

    @property
    def total(self) -> int:
        """All pallets to order."""
        return self.mats + self.beside

    @property
    def planned(self) -> int:
        """Pallets of mats that the scenario plans."""
        return self.on_hand + self.deliveries

    @property
    def more(self) -> int:
        """How many more pallets of mats are planned than are to be ordered; negative where they are fewer."""
        return self.planned - self.mats


def to_order(
    supply: Supply, need: PalletNeed, spared: PalletNeed, mats: PalletNeed, ordered: Order, comes: int, unfit: float
) -> ToOrder:
    """Return the pallets to order, and those that the scenario plans.

    Parameters
    ----------
    supply : Supply
    need, spared, mats : PalletNeed
        Of mats: without spares, with them, and with what used mats ask for as well.
    ordered : Order
    comes : int
        Pallets of mats that the scenario plans.
    unfit : float
        Expected share of mats that cannot be laid, having lain before.
    """
    return ToOrder(
        needed=need.pallets,
        spares=spared.pallets - need.pallets,
        share=supply.spares,
        others=tuple((group.what, group.pallets) for group in ordered.pallets if group.what != MATS),
        on_hand=supply.on_hand,
        deliveries=max(0, comes - supply.on_hand),
        used=mats.pallets - spared.pallets,
        unfit=unfit,
    )
