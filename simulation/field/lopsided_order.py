"""Do many pallets come for one kind of mat alone, and which other mix on a pallet would spare them?

Full and half mats come on pallets of one mix. Where the field takes more half mats than the mix has, the half mats decide how
many pallets are ordered, and the full mats on them are left over, which are most of what is hauled.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.field.pallets import PalletNeed, pooled_pallets

if TYPE_CHECKING:
    from simulation.scenario.tables.ground import Mat

#: Share of a kind of mat, beyond its spares, that may be left over before it is worth a word. Planning value.
WORTH_A_WORD = 0.1


@dataclass(frozen=True)
class LopsidedOrder:
    """An order of which one kind of mat decides, and the mix that asks for the fewest pallets.

    Attributes
    ----------
    decides, left_over : str
        ``full`` and ``half``, or the other way round.
    pallets : int
        That come for the kind that decides alone, of those of mats.
    ordered, more : int
        Mats of the other kind that are ordered, and how many more than the field takes.
    full, half : int
        Mats on a pallet of the other mix, which is as large and as heavy.
    spared : int
        Pallets by which that mix asks for fewer.
    """

    decides: str
    left_over: str
    pallets: int
    ordered: int
    more: int
    full: int
    half: int
    spared: int


def find_lopsided(pools: Sequence[tuple[int, int]], mat: Mat, order: PalletNeed, spares: float) -> LopsidedOrder | None:
    """Return how an order is lopsided; None where little is left over, or where no other mix asks for fewer pallets.

    Parameters
    ----------
    pools : sequence of (int, int)
        Full and half mats that are covered together.
    mat : Mat
        Says what a pallet holds.
    order : PalletNeed
        The pallets of mats to order, spares included.
    spares : float
        Share of mats in that order beyond those that the field takes.
    """
    alone = {
        "full": pooled_pallets([(full, 0) for full, _ in pools], mat, spares).pallets,
        "half": pooled_pallets([(0, half) for _, half in pools], mat, spares).pallets,
    }
    decides, left_over = ("half", "full") if alone["half"] > alone["full"] else ("full", "half")
    more = order.surplus_full if left_over == "full" else order.surplus_half
    takes = sum(full if left_over == "full" else half for full, half in pools)
    if more - spares * takes <= WORTH_A_WORD * takes:
        return None
    mixes = [
        (pooled_pallets(pools, mat.model_copy(update={"pallet_full": full, "pallet_half": half}), spares).pallets, full, half)
        for full, half in _mixes_as_large(mat)
    ]
    fewest, full, half = min(mixes, key=lambda mix: (mix[0], abs(mix[1] - mat.pallet_full)), default=(order.pallets, 0, 0))
    if fewest >= order.pallets:
        return None
    return LopsidedOrder(
        decides, left_over, order.pallets - alone[left_over], takes + more, more, full, half, order.pallets - fewest
    )


def _mixes_as_large(mat: Mat) -> list[tuple[int, int]]:
    """Return the mixes, both kinds in each, that are as large as the pallet's own: two half mats for each full one."""
    whole = 2 * mat.pallet_full + mat.pallet_half
    mixes = [(full, whole - 2 * full) for full in range(1, (whole + 1) // 2)]
    return [mix for mix in mixes if mix != (mat.pallet_full, mat.pallet_half)]
