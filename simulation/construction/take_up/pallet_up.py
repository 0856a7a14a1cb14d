"""What comes up of a field, and how it leaves: pallets of one state and size, and loads of them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class PalletUp:
    """A pallet of mats that came up.

    Attributes
    ----------
    state : str
        One of `mat_luck.STATES`.
    full : bool
        Whether they are full mats.
    mats : int
    by_area : tuple of (int, int)
        Areas that they come from, and how many from each.
    """

    state: str
    full: bool
    mats: int
    by_area: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True)
class LoadOff:
    """Pallets that leave together, and the hours since the start at which they are off the site.

    A truck's load is off when it is unloaded at the port, a flight's when it is on board; where neither comes, each pallet is
    when it stands in the yard.
    """

    hour: float
    pallets: tuple[PalletUp, ...]
