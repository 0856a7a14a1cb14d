"""At which laying edges is an area laid, and in which order do its rows come?

A one-end area has one edge, from the low or the high end; a centre-out area has two, which lay away from each other from the
starter key strip.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.field.rows import AreaRows
    from simulation.scenario.tables.ground import Area


@dataclass(frozen=True)
class EdgeLayout:
    """One laying edge.

    Attributes
    ----------
    area : str
    rows : tuple of int
        Rows of the area in the order in which this laying edge lays them.
    upward : bool
        Whether it lays towards the high end.
    key_strips : frozenset of int
        A key strip is set before the laying edge lays the n-th of its rows, for each n in here.
    """

    area: str
    rows: tuple[int, ...]
    upward: bool
    key_strips: frozenset[int]


def make_edges(area: Area, rows: AreaRows) -> tuple[EdgeLayout, ...]:
    """Return the laying edges of an area, the one towards the low end first."""
    everything = range(rows.count)
    if rows.starter is not None:
        return _edge(rows, everything[: rows.starter][::-1], False), _edge(rows, everything[rows.starter :], True)
    if area.start_from == "high":
        return (_edge(rows, everything[::-1], False),)
    return (_edge(rows, everything, True),)


def _edge(rows: AreaRows, order: range, upward: bool) -> EdgeLayout:
    # A strip stands before row n seen from the low end: an upward edge meets it before row n, a downward one before row n − 1.
    meets = {strip if upward else strip - 1 for strip in rows.key_strips}
    strips = frozenset(index for index, row in enumerate(order) if row in meets and index > 0)
    return EdgeLayout(rows.name, tuple(order), upward, strips)
