"""How many pallets cover a need for full and half mats?

A pallet holds a fixed mix, so the need is covered for full mats and for half mats *separately*; by area alone the number is
wrong except where the width happens to use the pallet's own mix.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.scenario.tables.ground import Mat


@dataclass(frozen=True)
class PalletNeed:
    """Pallets that cover a need, and what is left over of each kind of mat."""

    pallets: int
    governed_by: str
    surplus_full: int
    surplus_half: int


def pallets_for(full: int, half: int, mat: Mat, spares: float = 0.0) -> PalletNeed:
    """Return the smallest number of pallets that covers both kinds of mat.

    Parameters
    ----------
    full, half : int
        Mats to be laid.
    mat : Mat
        Says what a pallet holds.
    spares : float
        Share of mats ordered beyond that.

    Raises
    ------
    ValueError
        If a kind of mat is needed that the pallet does not hold.
    """
    by_kind = {"full mats": _cover(full, mat.pallet_full, spares), "half mats": _cover(half, mat.pallet_half, spares)}
    governed_by = max(by_kind, key=lambda kind: by_kind[kind])
    pallets = by_kind[governed_by]
    return PalletNeed(pallets, governed_by, pallets * mat.pallet_full - full, pallets * mat.pallet_half - half)


def pooled_pallets(pools: Sequence[tuple[int, int]], mat: Mat, spares: float = 0.0) -> PalletNeed:
    """Return the pallets that cover several needs for full and half mats, each by pallets of its own.

    Raises
    ------
    ValueError
        As `pallets_for`.
    """
    needs = [pallets_for(full, half, mat, spares) for full, half in pools]
    return PalletNeed(
        sum(need.pallets for need in needs),
        max(needs, key=lambda need: need.pallets).governed_by,
        sum(need.surplus_full for need in needs),
        sum(need.surplus_half for need in needs),
    )


def _cover(need: int, on_pallet: int, spares: float) -> int:
    if need and not on_pallet:
        raise ValueError("the pallet holds none of a kind of mat that the field needs")
    # Rounded before the ceiling, so that 50 mats of 2 with no spares are 25 pallets and not 26.
    return math.ceil(round(need * (1.0 + spares), 9) / on_pallet) if need else 0
