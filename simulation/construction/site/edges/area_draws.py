"""What luck does each area have in this run, row by row from its low end?

Drawn in blocks before the first row is laid and indexed by the row itself, so that a row has the same luck whichever crew
lays it, from whichever end.
"""

from __future__ import annotations

import numpy as np

from simulation.chance import Streams, factors
from simulation.construction.plan.plan import AreaPlan, EdgePlan, Plan
from simulation.construction.site.edges.rowtime import Array, RowLuck, best_split, row_hours


class AreaLuck:
    """Draws of one area.

    Attributes
    ----------
    rejected : dict of int to (int, int)
        Row -> full and half mats found damaged when they are laid.
    skew : array
        A uniform number for each row: a check after it finds a skew if it is below the stated chance; none where it finds none.
    checks, reseats : array
        Hours of a check after each row (at the crew's efficiency), of re-seating each row; few of them are ever looked at.
    key_strips : list of float
        Hours of each key strip.
    connect, starter : float
        Hours to set the connectors of its junction, and its starter key strip.
    moves : list of float
        Hours to move to each of its laying edges from another.
    """

    __slots__ = (
        "_area",
        "_in_order",
        "_joints",
        "_pieces",
        "_placed",
        "_plan",
        "_row_luck",
        "_works",
        "checks",
        "connect",
        "key_strips",
        "moves",
        "rejected",
        "reseats",
        "skew",
        "starter",
    )

    def __init__(self, plan: Plan, area: AreaPlan, levels: dict[str, float], streams: Streams) -> None:
        self._plan, self._area = plan, area
        rows = area.rows

        def draw(name: str, count: int) -> float | Array:
            key = f"laying.{name}"
            scatter = plan.scatters[key]
            if scatter == 0.0:
                return levels[key]
            return levels[key] * factors(scatter, streams.stream(name, area.name), count)

        self._row_luck = RowLuck(
            draw("pick_up", rows),
            draw("place", rows),
            draw("lock", rows),
            draw("open_pallet", rows),
            levels["laying.efficiency"],
        )
        self.key_strips = _listed(draw("key_strip", area.key_strips), area.key_strips)
        self.checks = _by_row(draw("check", rows) / levels["laying.efficiency"], rows)
        self.reseats = _by_row(draw("reseat", rows), rows)
        self.connect = _listed(draw("connect", 1), 1)[0]
        self.moves = _listed(draw("move", len(area.edges)), len(area.edges))
        self.starter = _listed(draw("starter_key_strip", 1), 1)[0]
        finds = plan.laying.skew_found > 0
        self.skew: Array = streams.stream("skew", area.name).random(rows) if finds else np.empty(0)
        share = levels["laying.damaged_mats"]
        if plan.used is not None:
            share = 1.0 - (1.0 - share) * (1.0 - plan.used.unfit(levels))
        self.rejected = self._reject(share, streams) if share > 0 else {}
        self._pieces, self._joints = _alternating(area.pieces, rows), _alternating(area.joints, rows)
        for row, (full, half) in self.rejected.items():
            self._pieces[row] += full + half
        self._placed = self._pieces + _alternating(area.slower, rows) if any(area.slower) else None
        self._works: dict[int, list[float]] = {}
        self._in_order: dict[tuple[int, int], list[float]] = {}

    def _reject(self, share: float, streams: Streams) -> dict[int, tuple[int, int]]:
        """Return the damaged mats of each row that has any: binomial in its pieces, by one uniform number a row."""
        area = self._area
        luck = streams.stream("damage", area.name).random((area.rows, 2))
        even, odd = area.pieces
        intact = (1.0 - share) ** even, (1.0 - share) ** odd
        hit = np.flatnonzero(luck[:, 0] >= _alternating(intact, area.rows))
        rejected: dict[int, tuple[int, int]] = {}
        for row, (chance, which) in zip(hit.tolist(), luck[hit].tolist(), strict=True):
            pieces, half = area.pieces[row % 2], area.half[row % 2]
            count, reached, term = 0, intact[row % 2], intact[row % 2]
            while chance >= reached and count < pieces:
                count += 1
                term *= (pieces - count + 1) / count * share / (1.0 - share)
                reached += term
            halves = count if half == pieces else int(which < half / pieces)
            rejected[row] = (count - halves, halves)
        return rejected

    def row_hours(self, edge: EdgePlan, people: int) -> list[float]:
        """Return the hours on shift of each row of a laying edge, in its laying order, for a crew of so many people.

        It is the same list whenever it is asked for: crews come and go every day.
        """
        in_order = self._in_order.get((edge.first, people))
        if in_order is None:
            in_order = self._in_order[edge.first, people] = edge.in_order(self._row_hours(people))
        return in_order

    def _row_hours(self, people: int) -> list[float]:
        """Return the same for each row of the area, from its low end."""
        works = self._works.get(people)
        if works is None:
            teams, lockers = best_split(people, self._area, self._plan.laying, self._row_luck)
            hours = row_hours(
                self._area, self._plan.laying, self._row_luck, self._pieces, self._joints, teams, lockers, self._placed
            )
            if self._area.ramps:
                hours[list(self._area.ramps)] *= self._plan.laying.ramp_row
            works = self._works[people] = hours.tolist()
        return works


def _alternating(values: tuple[float, float], count: int) -> Array:
    array = np.empty(count)
    array[::2], array[1::2] = values
    return array


def _by_row(value: float | Array, rows: int) -> Array:
    return np.full(rows, value) if isinstance(value, float) else value


def _listed(value: float | Array, count: int) -> list[float]:
    return [value] * count if isinstance(value, float) else np.asarray(value).tolist()
