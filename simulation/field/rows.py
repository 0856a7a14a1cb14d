"""Which rows does an area have: their pattern, which lie inside end ramps, and after which a key strip stands?"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.field.pattern import RowPattern, brick, lanes

if TYPE_CHECKING:
    from simulation.scenario.tables.ground import Area, Mat

#: Rows before the first key strip. Common practice; NAVEDTRA 14251 ch. 11.
FIRST_ROWS = 5


@dataclass(frozen=True)
class AreaRows:
    """The rows of one area, numbered from 0 at its low end.

    Attributes
    ----------
    name : str
    count : int
        Rows.
    patterns : tuple of RowPattern
        Rows with an even number have the first, the others the second.
    depth : float
        Extent of a row along the travel axis.
    ramps : frozenset of int
        Rows inside end ramps.
    key_strips : tuple of int
        A key strip stands before each of these rows, seen from the low end.
    starter : int or None
        The row before which the starter key strip stands, where the area is laid from its centre outwards.
    """

    name: str
    count: int
    patterns: tuple[RowPattern, RowPattern]
    depth: float
    ramps: frozenset[int]
    key_strips: tuple[int, ...]
    starter: int | None

    def pattern(self, row: int) -> RowPattern:
        """Return the pattern of one row."""
        return self.patterns[row % 2]

    @property
    def rail(self) -> int | None:
        """Where a guide rail parts the rows, in half mats from the left edge."""
        return self.patterns[0].rail

    def rows_with(self, pattern: int) -> int:
        """Return how many rows have the first (0) or the second (1) pattern."""
        return (self.count + 1 - pattern) // 2

    @property
    def full(self) -> int:
        """Full mats of the area."""
        return sum(self.rows_with(i) * pattern.full for i, pattern in enumerate(self.patterns))

    @property
    def half(self) -> int:
        """Half mats of the area."""
        return sum(self.rows_with(i) * pattern.half for i, pattern in enumerate(self.patterns))

    @property
    def joints(self) -> int:
        """End joints of the area, one locking bar each."""
        return sum(self.rows_with(i) * len(pattern.joints) for i, pattern in enumerate(self.patterns))

    def row_at(self, station: float) -> int:
        """Return the row that covers a station; a station between two rows belongs to the higher, the far end to the last."""
        return min(int(station / self.depth + 1e-9), self.count - 1)

    def rows_to(self, station: float) -> int:
        """Return how many rows, from the low end, it takes to cover everything up to a station."""
        return min(math.ceil(station / self.depth - 1e-9), self.count)


def make_rows(area: Area, mat: Mat) -> AreaRows:
    """Return the rows of a sound area.

    Notes
    -----
    Key strips: after the first five rows from the end where laying begins, then every `key_strips_every` (NAVEDTRA 14251
    ch. 11). A centre-out area has its starter key strip in the middle and counts the others from its low end; one that would
    fall on the starter is left to it.
    """
    count = round(area.length / mat.row_depth)
    spacing = max(1, round(area.key_strips_every / mat.row_depth))
    starter = count // 2 if area.start == "centre-out" else None
    strips = range(FIRST_ROWS, count, spacing)
    if area.start == "one-end" and area.start_from == "high":
        key_strips = tuple(sorted(count - row for row in strips))
    else:
        key_strips = tuple(row for row in strips if row != starter)
    in_ramp = area.ramp.rows
    ramps = {*range(in_ramp), *range(count - in_ramp, count)} if area.end_ramps else set()
    return AreaRows(area.name, count, make_patterns(area, mat), mat.row_depth, frozenset(ramps), key_strips, starter)


def make_patterns(area: Area, mat: Mat) -> tuple[RowPattern, RowPattern]:
    """Return the two patterns that the rows of an area take in turn, in two lanes where a guide rail parts them."""
    halves = round(area.width / mat.half)
    if not area.guide_rail:
        return brick(halves)
    from_edge = round(area.rail.offset / mat.half)
    return lanes(from_edge, halves - from_edge) if area.rail.edge == "left" else lanes(halves - from_edge, from_edge)
