"""Which rows lay when in a run, at each laying edge, and which crew laid them?"""

from __future__ import annotations

from typing import NamedTuple

from simulation.construction.plan.steps import ACTOR, EDGE, END, KIND, NUMBER, ROW, START, WORK, Step
from simulation.construction.running import Finished
from simulation.construction.trace.links import clock_of

#: Parts of a row that may be missing from the last bits of a sum.
_SLACK = 1e-9


class _Piece(NamedTuple):
    """A step that laid rows of an edge from `first` up to, not including, `upto`."""

    step: Step
    first: int
    upto: int


class RowsOfRun:
    """Which rows lay when, at each laying edge of a run, and whose they are.

    The rows of one step share its hours evenly.
    """

    def __init__(self, run: Finished) -> None:
        self._clocks = run.site.clocks
        began = [0] * len(run.site.edges) if run.site.plan.state is None else [edge.laid for edge in run.site.plan.state.edges]
        self._pieces: list[list[_Piece]] = [[] for _ in run.site.edges]
        laid = list(began)
        for step in run.site.trace:
            if step[KIND] == ROW:
                edge = step[EDGE]
                self._pieces[edge].append(_Piece(step, laid[edge], step[NUMBER]))
                laid[edge] = step[NUMBER]
        self._began = began

    def laid(self, edge: int, moment: float) -> int:
        """Return how many rows of a laying edge lay at a moment; one that is begun does not."""
        lay = self._began[edge]
        for piece in self._pieces[edge]:
            if piece.step[START] >= moment:
                break
            lay = piece.first + self._done(piece, moment)
        return lay

    def by_crew(self, edge: int, since: float, until: float) -> dict[int, int]:
        """Return how many rows of a laying edge each crew, by its number as an actor, laid between two moments."""
        rows: dict[int, int] = {}
        for piece in self._pieces[edge]:
            if piece.step[START] >= until:
                break
            if piece.step[END] > since:
                count = self._done(piece, until) - self._done(piece, since)
                if count:
                    rows[piece.step[ACTOR]] = rows.get(piece.step[ACTOR], 0) + count
        return rows

    def last_row(self, edge: int, crew: int, since: float, until: float) -> float:
        """Return the start of a crew's last step with rows at a laying edge between two moments; −1 where there is none."""
        mine = [piece for piece in self._pieces[edge] if piece.step[ACTOR] == crew and piece.step[START] < until]
        return max((piece.step[START] for piece in mine if self._done(piece, until) > self._done(piece, since)), default=-1.0)

    def last_of(self, crew: int, moment: float) -> int:
        """Return the laying edge at which a crew laid its last row by a moment; −1 where it laid none."""
        at = {edge: self.last_row(edge, crew, -1.0, moment) for edge in range(len(self._pieces))}
        return max((edge for edge in at if at[edge] >= 0.0), key=lambda edge: at[edge], default=-1)

    def _done(self, piece: _Piece, moment: float) -> int:
        """Return how many of a step's rows lay at a moment."""
        step, rows = piece.step, piece.upto - piece.first
        if step[END] <= moment:
            return rows
        if step[START] >= moment or not rows:
            return 0
        clock = clock_of(step, self._clocks)
        spent = moment - step[START] if clock is None else clock.worked(step[START], moment)
        return min(rows, int(rows * spent / step[WORK] + _SLACK)) if step[WORK] else rows
