"""In which pieces is the ground in front of a laying edge graded, and which of them hold the trench of an end ramp?"""

from __future__ import annotations

from simulation.construction.plan.plan import Slice
from simulation.field import AreaRows, EdgeLayout

#: Rows that are graded in one step, at most.
SLICE_ROWS = 10


def graded_rows(done: float, rows: int) -> int:
    """Return how many of a laying edge's rows are graded at the start, where the share `done` is."""
    return int(done * rows + 1e-9)


def slices_of_edge(index: int, edge: EdgeLayout, rows: AreaRows, width: float, done: int) -> list[Slice]:
    """Return what is to be graded in front of a laying edge, in its laying order, beyond the first `done` rows.

    A ramp's trench is dug when grading comes to the last of the ramp's rows on this laying edge.
    """
    trenches: set[int] = set()
    for ramp in (range(rows.count // 2), range(rows.count // 2, rows.count)):
        inside = [index for index, row in enumerate(edge.rows) if row in rows.ramps and row in ramp]
        trenches.update(inside[-1:])
    slices: list[Slice] = []
    for start in range(done, len(edge.rows), SLICE_ROWS):
        upto = min(start + SLICE_ROWS, len(edge.rows))
        dug = sum(start <= index < upto for index in trenches)
        slices.append(Slice(index, start, upto, (upto - start) * rows.depth * width, dug))
    return slices
