"""What came of one run of taking a field up."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

#: What gangs and handlers wait for.
HANDLERS, FORKLIFTS, RAMPS = "handlers", "forklifts", "ramps dug out"


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
    """

    rows_up: float = math.inf
    in_yard: float = math.inf
    gone: float = math.inf
    mats: dict[tuple[str, bool], int] = field(default_factory=dict)
    pallets: dict[str, int] = field(default_factory=dict)
    fullest: int = 0
    waits: dict[str, float] = field(default_factory=dict)
    loads: int = 0
