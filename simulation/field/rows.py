"""Which rows does an area have: their pattern, which lie inside end ramps, and after which a key strip stands?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.field.pattern import RowPattern, brick, lanes

if TYPE_CHECKING:
    from simulation.scenario.tables.ground import Area, Mat

#: Rows before the first key strip. Common practice; NAVEDTRA 14251 ch. 11.
FIRST_ROWS = 5
#: Rows that arithmetic may be off where a zone ends.
_NOTHING = 1e-6


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
    ch. 11), or as `key_strip_zones` say. A centre-out area has its starter key strip in the middle and counts the others from
    its low end; one that would fall on the starter is left to it.
    """
    count = round(area.length / mat.row_depth)
    starter = count // 2 if area.start == "centre-out" else None
    from_high = area.start == "one-end" and area.start_from == "high"
    strips = _rows_before_strips(area, mat.row_depth, count, from_high)
    key_strips = tuple(sorted(count - row if from_high else row for row in strips if row != starter))
    in_ramp = area.ramp.rows
    ramps = {*range(in_ramp), *range(count - in_ramp, count)} if area.end_ramps else set()
    return AreaRows(area.name, count, make_patterns(area, mat), mat.row_depth, frozenset(ramps), key_strips, starter)


def _rows_before_strips(area: Area, depth: float, count: int, from_high: bool) -> Iterator[int]:
    """Yield how many rows lie before each key strip, seen from the end where they are counted from.

    From a key strip to the next it is as far as the zone says where it stands; a zone with closer ones begins with one.
    """
    elsewhere = max(1, round(area.key_strips_every / depth))
    zones = []
    for zone in area.key_strip_zones:
        ends = zone.start / depth, zone.to / depth
        low, high = (count - ends[1], count - ends[0]) if from_high else ends
        zones.append((math.ceil(low - _NOTHING), math.ceil(high - _NOTHING), max(1, round(zone.every / depth))))

    def spacing(row: int) -> int:
        return next((every for low, high, every in zones if low <= row < high), elsewhere)

    borders = {border for low, high, _ in zones for border in (low, high)}
    row = FIRST_ROWS
    while row < count:
        yield row
        ahead = row + spacing(row)
        row = min([ahead, *(max(border, row + spacing(border)) for border in borders if row < border < ahead)])


def make_patterns(area: Area, mat: Mat) -> tuple[RowPattern, RowPattern]:
    """Return the two patterns that the rows of an area take in turn, in two lanes where a guide rail parts them."""
    halves = round(area.width / mat.half)
    if not area.guide_rail:
        return brick(halves)
    from_edge = round(area.rail.offset / mat.half)
    return lanes(from_edge, halves - from_edge) if area.rail.edge == "left" else lanes(halves - from_edge, from_edge)
