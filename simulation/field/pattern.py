"""How does one row of mats fill the width, and where do its end joints fall?

The brick pattern: with the width m half mats, rows alternate so that no end joint lines up with one in the row before.
Even m: m/2 full mats, then a half mat at either end with m/2 − 1 full between. Odd m: (m − 1)/2 full and a half mat, then the
same begun from the other side. Either way two rows together take exactly two half mats.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache


@dataclass(frozen=True)
class RowPattern:
    """The pieces of one row, from the left edge, in half-mat units: 2 is a full mat, 1 a half mat.

    Attributes
    ----------
    pieces : tuple of int
    rail : int or None
        Where a guide rail parts the row, in half mats from the left edge; no end joint is there, and no locking bar.
    """

    pieces: tuple[int, ...]
    rail: int | None = None

    @property
    def full(self) -> int:
        """Full mats of the row."""
        return self.pieces.count(2)

    @property
    def half(self) -> int:
        """Half mats of the row."""
        return self.pieces.count(1)

    @property
    def joints(self) -> tuple[int, ...]:
        """Distance of each end joint from the left edge, in half mats; each takes one locking bar."""
        places, at = [], 0
        for piece in self.pieces[:-1]:
            at += piece
            if at != self.rail:
                places.append(at)
        return tuple(places)


@cache
def brick(halves: int) -> tuple[RowPattern, RowPattern]:
    """Return the two row patterns that alternate across a width.

    Parameters
    ----------
    halves : int
        Width in half mats, 1 or more.

    Raises
    ------
    ValueError
        If `halves` is below 1.

    Examples
    --------
    >>> [row.pieces for row in brick(5)]
    [(2, 2, 1), (1, 2, 2)]
    """
    if halves < 1:
        raise ValueError(f"a row is at least one half mat wide, not {halves}")
    fulls = halves // 2
    if halves % 2 == 0:
        return RowPattern((2,) * fulls), RowPattern((1, *(2,) * (fulls - 1), 1))
    return RowPattern((*(2,) * fulls, 1)), RowPattern((1, *(2,) * fulls))


@cache
def lanes(left: int, right: int) -> tuple[RowPattern, RowPattern]:
    """Return the two row patterns that alternate where a guide rail parts a width into two lanes, each a pattern of its own.

    Every pair of rows takes four half mats instead of two: two in each lane. The right lane begins with the other of its rows, so
    that the half mats of a pair are spread over both rows where both lanes are whole full mats wide.

    Parameters
    ----------
    left, right : int
        Widths of the lanes in half mats, 1 or more.

    Examples
    --------
    >>> [row.pieces for row in lanes(3, 4)]
    [(2, 1, 1, 2, 1), (1, 2, 2, 2)]
    """
    first, second = brick(left), brick(right)[::-1]
    rows = [RowPattern(row.pieces + other.pieces, left) for row, other in zip(first, second, strict=True)]
    return rows[0], rows[1]
