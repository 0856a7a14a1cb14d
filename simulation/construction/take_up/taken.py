"""What came of one run of taking a field up."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

#: What gangs and handlers wait for.
HANDLERS, FORKLIFTS, RAMPS = "handlers", "forklifts", "ramps dug out"


@dataclass(frozen=True)
class PalletUp:
    """A pallet of mats that came up: their state, whether they are full ones, and how many."""

    state: str
    full: bool
    mats: int


@dataclass(frozen=True)
class LoadOff:
    """Pallets that leave together, and the hours since the start at which they are off the site.

    A truck's load is off when it is unloaded at the port, a flight's when it is on board; where neither comes, each pallet is
    when it stands in the yard.
    """

    hour: float
    pallets: tuple[PalletUp, ...]


@dataclass
class Taken:
    """What came of one run; times are hours since the start, infinite where the last day simulated came first.

    Attributes
    ----------
    rows_up, in_yard, gone : float
        When the last row is up, the last pallet is in the yard, and on its way out of it.
    mats : dict of (str, bool) to int
        By state and whether full.
    pallets : dict of str to int
        By state of their mats.
    fullest : int
        Half mats on the fullest pallet.
    waits : dict of str to float
        Hours of gangs, and of their handlers for forklifts, that passed waiting.
    loads : int
    off : list of LoadOff
        What is off the site, and when.
    bare : list of (float, float)
        Hours at which rows come up, and the square feet of each.
    """

    rows_up: float = math.inf
    in_yard: float = math.inf
    gone: float = math.inf
    mats: dict[tuple[str, bool], int] = field(default_factory=dict)
    pallets: dict[str, int] = field(default_factory=dict)
    fullest: int = 0
    waits: dict[str, float] = field(default_factory=dict)
    loads: int = 0
    off: list[LoadOff] = field(default_factory=list)
    bare: list[tuple[float, float]] = field(default_factory=list)
