"""Which mats does damage take, and at which key strips can the rows with them be opened?

Damage is so many mats around a point, the nearest first, or all that a round crater reaches under. A row is opened only as a
whole, from a key strip that is drawn out, row by row up to the last one that is damaged.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.field.laying_edges import EdgeLayout
    from simulation.field.rows import AreaRows

#: Lengths that differ by less are alike: a crater that touches a mat leaves it whole.
_NOTHING = 1e-9
#: Strips into which a crater at an edge is cut to find how much of it lies under the area.
_SLICES = 2000


@dataclass(frozen=True)
class MatOnGround:
    """One mat where it lies: its row, where it begins and ends from the left edge in feet, and whether it is a full one."""

    row: int
    left: float
    right: float
    full: bool


@dataclass(frozen=True)
class Opening:
    """One way to reach damaged rows from a key strip.

    Attributes
    ----------
    strips : tuple of int
        Key strips that are drawn out, by their number in the area: the one where it is opened, then those between.
    before : int
        The row before which that one stands, seen from the low end.
    rows : tuple of int
        Rows that are taken up, in this order, the damaged ones among them; they are laid again the other way round.
    along : bool
        Whether they are taken up along the direction of assembly, and not against it.
    """

    strips: tuple[int, ...]
    before: int
    rows: tuple[int, ...]
    along: bool


def mats_nearest(rows: AreaRows, half: float, station: float, across: float, count: int) -> tuple[MatOnGround, ...]:
    """Return so many mats around a point, the one nearest to it by its middle first; rows in end ramps are buried and left out.

    Parameters
    ----------
    rows : AreaRows
    half : float
        Feet of a half mat.
    station, across : float
        Feet from the low end, and from the left edge.
    count : int
        At least 1. Fewer are returned where there are no more.
    """
    here = rows.row_at(station)

    def distance(mat: MatOnGround) -> tuple[float, int, float]:
        away = (mat.row + 0.5) * rows.depth - station, 0.5 * (mat.left + mat.right) - across
        return away[0] ** 2 + away[1] ** 2, mat.row, mat.left

    near = range(max(0, here - count), min(rows.count, here + count + 1))
    mats = sorted((mat for row in near if row not in rows.ramps for mat in _mats(rows, half, row)), key=distance)
    return tuple(mats[:count])


def mats_over(rows: AreaRows, half: float, station: float, across: float, diameter: float) -> tuple[MatOnGround, ...]:
    """Return the mats that a round crater of a diameter in feet, its middle at a point, reaches under."""
    radius = 0.5 * diameter
    first = max(0, int((station - radius) / rows.depth) - 1)
    last = min(rows.count, int((station + radius) / rows.depth) + 2)

    def reached(mat: MatOnGround) -> bool:
        along = max(mat.row * rows.depth - station, station - (mat.row + 1) * rows.depth, 0.0)
        beside = max(mat.left - across, across - mat.right, 0.0)
        return along**2 + beside**2 < radius**2 - _NOTHING

    return tuple(mat for row in range(first, last) for mat in _mats(rows, half, row) if reached(mat))


def ground_within(length: float, width: float, station: float, across: float, diameter: float) -> float:
    """Return the square feet of a round crater that lie under an area, its middle at a point of it.

    Notes
    -----
    A whole circle by its formula; one that an edge cuts by the midpoint rule, whose error is below a ten-thousandth.
    """
    radius = 0.5 * diameter
    if radius <= min(station, length - station, across, width - across):
        return math.pi * radius**2
    low, high = max(0.0, station - radius), min(length, station + radius)
    step, ground = (high - low) / _SLICES, 0.0
    for slice_number in range(_SLICES):
        reach = math.sqrt(max(radius**2 - (low + (slice_number + 0.5) * step - station) ** 2, 0.0))
        ground += min(width, across + reach) - max(0.0, across - reach)
    return ground * step


def _mats(rows: AreaRows, half: float, row: int) -> Iterator[MatOnGround]:
    at = 0
    for piece in rows.pattern(row).pieces:
        yield MatOnGround(row, at * half, (at + piece) * half, piece == 2)
        at += piece


def find_openings(edges: Sequence[EdgeLayout], rows: AreaRows, damaged: Sequence[int]) -> tuple[Opening, ...]:
    """Return the ways to reach damaged rows from the nearest key strip on either side, against the direction of assembly first.

    Notes
    -----
    The ends of an area and its starter key strip are not opened. Rows on both sides of the starter have no such way.
    """
    low, high = min(damaged), max(damaged)
    edge = next((edge for edge in edges if {low, high} <= set(edge.rows)), None)
    if edge is None:
        return ()
    first, last = sorted((edge.rows.index(low), edge.rows.index(high)))
    places = sorted(edge.key_strips)
    ways = []
    beyond = next((index for index in places if index > last), None)
    if beyond is not None:
        ways.append(_opening(edge, rows, range(beyond - 1, first - 1, -1), beyond, [at for at in places if first < at < beyond]))
    behind = next((index for index in reversed(places) if index <= first), None)
    if behind is not None:
        ways.append(_opening(edge, rows, range(behind, last + 1), behind, [at for at in places if behind < at <= last]))
    return tuple(ways)


def _opening(edge: EdgeLayout, rows: AreaRows, order: range, at: int, between: Sequence[int]) -> Opening:
    def stands_before(index: int) -> int:
        return edge.rows[index] + (0 if edge.upward else 1)

    number = {row: strip for strip, row in enumerate(rows.key_strips)}
    strips = tuple(number[stands_before(index)] for index in (at, *between))
    return Opening(strips, stands_before(at), tuple(edge.rows[index] for index in order), order.step > 0)
