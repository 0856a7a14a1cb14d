"""How long does a row take? The row-time law, and the split of a crew that makes it least.

A row takes the longest of four things that go on at the same time, divided by the crew's efficiency:

* the teams carry its mats from where they are staged, and place them;
* mats are placed in as many rows as can be in work at once, however many teams there are: the wider the edge, the more, since
  the teams in a row must keep a stretch behind those in the row before;
* the lockers lock its end joints;
* the openers open pallets as fast as the row uses them up.

So a bigger crew on one edge pays less and less. An alignment check adds its own time, at the same efficiency, to the row that
it follows.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.construction.plan.plan import AreaPlan, LayingPlan

Array = NDArray[float64]


@dataclass(frozen=True)
class RowLuck:
    """What the rows of one area meet in one run, by row from the low end: a scalar or one value for each row.

    Attributes
    ----------
    pick_up, place, lock, open_pallet : float or array
        Hours for one mat, joint or pallet.
    efficiency : float
        Productive share of an hour on shift.
    """

    pick_up: float | Array
    place: float | Array
    lock: float | Array
    open_pallet: float | Array
    efficiency: float


def row_hours(
    area: AreaPlan,
    laying: LayingPlan,
    luck: RowLuck,
    pieces: Array,
    joints: Array,
    teams: int,
    lockers: int,
    placed: Array | None = None,
) -> Array:
    """Return the hours on shift of each row of an area.

    Parameters
    ----------
    area, laying : AreaPlan, LayingPlan
        For the walk, the limits and the openers.
    luck : RowLuck
    pieces, joints : array
        Mats (those carried and rejected included) and end joints of each row.
    teams, lockers : int
    placed : array, optional
        Mats of each row as they count while placing: more than there are where some go in reverse order. Default: `pieces`.
    """
    carry = luck.pick_up + area.walk
    placing = (pieces if placed is None else placed) * luck.place
    longest = np.maximum(pieces * carry + placing, 0.0) / teams
    longest = np.maximum(longest, placing / area.rows_in_work)
    longest = np.maximum(longest, joints * luck.lock / lockers)
    longest = np.maximum(longest, pieces * luck.open_pallet / (laying.pallet_pieces * laying.openers))
    return longest / luck.efficiency


def best_split(people: int, area: AreaPlan, laying: LayingPlan, luck: RowLuck) -> tuple[int, int]:
    """Return the teams and lockers that lay a pair of an area's rows in the least time, the fewest teams where several do.

    Parameters
    ----------
    people : int
        Of the crew, overhead included; at least the overhead, one team and one locker.
    area, laying, luck
        As for `row_hours`; rows' own luck counts at its mean.
    """
    free = people - laying.overhead
    pick_up, place, lock = (
        value if isinstance(value, float) else float(value.sum()) / value.size for value in (luck.pick_up, luck.place, luck.lock)
    )
    kinds = tuple(zip(area.pieces, area.slower, area.joints, strict=True))
    best, split = float("inf"), (1, 1)
    for teams in range(1, (free - 1) // laying.team_size + 1):
        lockers = free - teams * laying.team_size
        whole, placing, at_once = (pick_up + area.walk + place) / teams, place / teams, place / area.rows_in_work
        hours = 0.0
        for each, more, joints in kinds:
            hours += max(each * whole + more * placing, (each + more) * at_once, joints * lock / lockers)
        if hours < best * (1.0 - 1e-12):
            best, split = hours, (teams, lockers)
    return split


def learned(laying: LayingPlan, row: int) -> float:
    """Return the factor on the time of a crew's n-th row, from 1: unit learning curve n^b with b = log2 of the rate.

    The stated times hold up to the reference row; from there on the factor falls to the stated floor.
    """
    if row <= laying.learning_reference:
        return 1.0
    exponent = math.log2(laying.learning)
    factor: float = (row / laying.learning_reference) ** exponent
    return max(laying.learning_floor, factor)
