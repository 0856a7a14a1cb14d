"""Before which rows is the clearance between joints of the rail and of the mats used up, and what is done there?

Mats fit loosely, so rows creep away from their module; key strips push them on, and seals the sections of the rail. Crews
measure: a row whose joints would come too near to one of the rail's is not laid before the rail, or the rows, are put right.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from operator import add
from typing import Final, NamedTuple

from simulation.construction.plan.plan_parts import RailPlan

#: Clearance smaller than asked for by less than this is a matter of rounding.
_ROUNDING = 1e-9


#: Stands for no rows to re-seat: a short section is set instead.
SHORT: Final = 0


def remedies(rail: RailPlan, strips: Collection[int], sides: Sequence[Sequence[float]]) -> dict[int, int]:
    """Return before which rows how many of those that lie are re-seated, or `SHORT`; all counted as the laying edge lays them.

    Parameters
    ----------
    rail : RailPlan
    strips : collection of int
        Rows before which a key strip lies.
    sides : sequence of sequences of float
        For each side of the rail, how many feet beyond its depth each row takes up; joints are beside the rows of the first.

    Notes
    -----
    A short section moves the joints of the rail back from there on, so that the one in question comes to lie in the middle of a
    row. Re-seating closes up every row since the last time: their creep is gone, on either side. Where that would not give the
    clearance back, because key strips or seals have used it up, a short section is set all the same.
    """
    chosen: dict[int, int] = {}
    moved, pushed, joint, since = 0.0, 0.0, 0, 0
    crept = [0.0] * len(sides)
    for row, beyond in enumerate(zip(*sides, strict=True)):
        strip = rail.strip if row in strips else 0.0
        pushed += strip
        begins = row * rail.depth + pushed
        if joint == len(rail.joints) or rail.joints[joint] - moved >= begins + crept[0] + (rail.depth + beyond[0]):
            crept = list(map(add, crept, beyond))
            continue
        joint_row = _Place(begins, strip, [rail.depth + more for more in beyond])
        while joint < len(rail.joints) and rail.joints[joint] - moved < joint_row.end(crept):
            station, joint = rail.joints[joint] - moved, joint + 1
            if row in chosen or joint_row.near(station, crept) >= rail.clearance - _ROUNDING:
                continue
            none = [0.0] * len(sides)
            if rail.reseat and row > since and joint_row.near(station, none) >= rail.clearance - _ROUNDING:
                chosen[row], crept, since = row - since, none, row
                joint -= 1  # the rows have come back: it may lie beside the next one now
            else:
                chosen[row] = SHORT
                moved += (station - joint_row.middle(crept)) % rail.depth
        crept = list(map(add, crept, beyond))
    return chosen


class _Place(NamedTuple):
    """Where a row would lie without creep: its near edge, the key strip before it, and its depth on each side."""

    start: float
    strip: float
    depths: list[float]

    def end(self, crept: list[float]) -> float:
        return self.start + crept[0] + self.depths[0]

    def middle(self, crept: list[float]) -> float:
        return self.start + crept[0] + self.depths[0] / 2

    def near(self, station: float, crept: list[float]) -> float:
        """Return the distance from a station to the nearest edge of the row, or of the key strip before it, on either side."""
        nearest = math.inf
        for before, depth in zip(crept, self.depths, strict=True):
            off = station - (self.start + before)
            nearest = min(nearest, abs(off + self.strip), abs(off), abs(off - depth))
        return nearest
