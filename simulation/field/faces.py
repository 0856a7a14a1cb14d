"""At which working edges is an area laid, and in which order do its rows come?

A one-end area has one face, from the low or the high end; a centre-out area has two, which lay away from each other from the
starter key strip.
"""

from __future__ import annotations

from dataclasses import dataclass

from simulation.field.rows import AreaRows
from simulation.scenario.tables.ground import Area


@dataclass(frozen=True)
class Face:
    """One working edge.

    Attributes
    ----------
    area : str
    rows : tuple of int
        Rows of the area in the order in which this face lays them.
    upward : bool
        Whether it lays towards the high end.
    key_strips : frozenset of int
        A key strip is set before the face lays the n-th of its rows, for each n in here.
    """

    area: str
    rows: tuple[int, ...]
    upward: bool
    key_strips: frozenset[int]


def faces_of(area: Area, rows: AreaRows) -> tuple[Face, ...]:
    """Return the faces of an area, the one towards the low end first."""
    everything = range(rows.count)
    if rows.starter is not None:
        return _face(rows, everything[: rows.starter][::-1], False), _face(rows, everything[rows.starter :], True)
    if area.start_from == "high":
        return (_face(rows, everything[::-1], False),)
    return (_face(rows, everything, True),)


def _face(rows: AreaRows, order: range, upward: bool) -> Face:
    # A strip stands before row n seen from the low end: an upward face meets it before row n, a downward one before row n − 1.
    meets = {strip if upward else strip - 1 for strip in rows.key_strips}
    strips = frozenset(place for place, row in enumerate(order) if row in meets and place > 0)
    return Face(rows.name, tuple(order), upward, strips)
