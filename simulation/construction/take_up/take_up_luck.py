"""What luck has a take-up, row by row and mat by mat? Rows have the luck that they have when they are laid."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy import float64, intp
from numpy.typing import NDArray

from simulation.chance import Streams, draw_factors, draw_levels, factors
from simulation.construction.plan.plan import AreaPlan
from simulation.construction.site.area_draws import AreaLuck
from simulation.construction.take_up.take_up_plan import TakeUpPlan

#: What becomes of a mat.
STATES = ("good", "to be repaired", "scrap")
_OF_A_MAT = ("clean", "inspect", "stack")


class TakeUpLuck:
    """The draws of one run.

    Attributes
    ----------
    levels : dict of str to float
    lift : list of list
        Of each area: hours to take each row up, by one gang.
    sort : list of list
        Of each area: hours to clean, inspect and stack the mats of each row, by one handler.
    mats : list of array
        Of each area: mats of each row by state, full ones and half ones: rows, states, 2.
    """

    def __init__(self, plan: TakeUpPlan, streams: Streams) -> None:
        self.plan, self.streams = plan, streams
        self.levels = draw_levels(plan.levels, streams)
        self.lift: list[list[float]] = []
        self.sort: list[list[float]] = []
        self.mats: list[NDArray[intp]] = []
        for area in plan.laying.areas:
            self.lift.append(self._lift(area).tolist())
            sort, mats = self._mats(area)
            self.sort.append(sort.tolist())
            self.mats.append(mats)

    def _lift(self, area: AreaPlan) -> NDArray[float64]:
        plan = self.plan
        luck, rows = AreaLuck(plan.laying, area, self.levels, self.streams), np.empty(area.rows)
        for index in area.edges:
            edge = plan.laying.edges[index]
            order = range(edge.first, edge.last) if edge.upward else range(edge.last - 1, edge.first - 1, -1)
            rows[list(order)] = luck.row_hours(edge, plan.take_up.people)
        slower = plan.repair.along if plan.take_up.direction == "along" else 1.0
        return rows * self.levels["repair.take_up"] * slower

    def _mats(self, area: AreaPlan) -> tuple[NDArray[float64], NDArray[intp]]:
        pieces = np.array([area.pieces[row % 2] for row in range(area.rows)], dtype=int)
        halves = np.array([area.half[row % 2] for row in range(area.rows)], dtype=int)
        total = int(pieces.sum())
        row_of = np.repeat(np.arange(area.rows), pieces)
        hours = np.zeros(total)
        for name in _OF_A_MAT:
            hours += self.levels[f"take_up.{name}"] * self._factors(name, area.name, total)
        scrap = self.levels["take_up.scrap"]
        luck = self.streams.stream("mats come up", area.name).random(total)
        state = np.where(luck < scrap, 2, np.where(luck < scrap + self.levels["take_up.to_repair"], 1, 0))
        place = np.arange(total) - np.repeat(np.cumsum(pieces) - pieces, pieces)
        half = (place < np.repeat(halves, pieces)).astype(int)
        counts = np.zeros((area.rows, len(STATES), 2), dtype=np.intp)
        np.add.at(counts, (row_of, state, half), 1)
        by_row: NDArray[float64] = np.zeros(area.rows)
        np.add.at(by_row, row_of, hours)
        return by_row, counts

    def _factors(self, name: str, owner: str, count: int) -> NDArray[float64]:
        return factors(self.plan_scatter(name), self.streams.stream(f"take up {name}", owner), count)

    def plan_scatter(self, name: str) -> float | str:
        """Return the scatter of a quantity of the take-up."""
        scatter: float | str = getattr(self.plan.take_up, name).scatter
        return scatter

    def each(self, name: str, owner: str) -> Iterator[float]:
        """Return the hours of one step after the other of a quantity of the take-up."""
        level = self.levels[f"take_up.{name}"]
        return (level * factor for factor in draw_factors(self.plan_scatter(name), self.streams, f"take up {name}", owner))

    def strip_hours(self, area: str, strip: int) -> float:
        """Return the hours to draw one key strip out, freeing it where it sticks."""
        repair = self.plan.repair
        hours = self.levels["repair.draw_out"] * factors(repair.draw_out.scatter, self._strip("draw_out", area, strip), 1)[0]
        if self._strip("stuck", area, strip).random() < self.levels["repair.stuck"]:
            hours += self.levels["repair.free"] * factors(repair.free.scatter, self._strip("free", area, strip), 1)[0]
        return float(hours)

    def _strip(self, name: str, area: str, strip: int) -> np.random.Generator:
        return self.streams.stream(f"take up {name}", f"{area} {strip}")
