"""What luck has a take-up, row by row, mat by mat and key strip by key strip? Whoever comes to them finds the same."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from typing import TYPE_CHECKING

import numpy as np
from numpy import float64, intp
from numpy.typing import NDArray

from simulation.chance import draw_factors, factors

if TYPE_CHECKING:
    from simulation.construction.plan.plan import AreaPlan
    from simulation.construction.plan.take_up_plan import SectionPlan
    from simulation.construction.site.site import Site

#: What becomes of a mat.
STATES = ("good", "to be repaired", "scrap")
_OF_A_MAT = ("clean", "inspect", "stack")


class MatLuck:
    """The draws of one run.

    Attributes
    ----------
    sort : list of list
        Of each area: hours of one handler to clean, inspect and stack the mats of each row.
    mats : list of array
        Of each area: mats of each row by state, full ones and half ones: rows, states, 2.
    """

    def __init__(self, site: Site) -> None:
        assert site.plan.take_up is not None
        self.site, self.carry = site, site.plan.take_up.carry
        drawn = [self._mats(area) for area in site.plan.areas]
        self.sort = [hours.tolist() for hours, _ in drawn]
        self.mats = [mats for _, mats in drawn]
        self._lift: dict[tuple[int, int], list[float]] = {}

    def lift(self, section: SectionPlan, people: int) -> list[float]:
        """Return the hours in which so many people take each row of a section up, in the order in which they come off.

        Each row has the luck that it has when it is laid.
        """
        edge, plan = self.site.edges[section.edge], self.site.plan
        hours = self._lift.get((section.edge, people))
        if hours is None:
            hours = self._lift[section.edge, people] = edge.area.luck.row_hours(edge.plan, people)
        assert plan.take_up is not None
        share = self.site.levels["repair.take_up"] * plan.take_up.slower
        first, last, upward = edge.plan.first, edge.plan.last, edge.plan.upward
        return [share * hours[row - first if upward else last - 1 - row] for row in section.rows]

    def _mats(self, area: AreaPlan) -> tuple[NDArray[float64], NDArray[intp]]:
        site = self.site
        pieces = np.array([area.pieces[row % 2] for row in range(area.rows)], dtype=int)
        halves = np.array([area.half[row % 2] for row in range(area.rows)], dtype=int)
        total = int(pieces.sum())
        row_of = np.repeat(np.arange(area.rows), pieces)
        hours = np.full(total, self.carry)
        for name in _OF_A_MAT:
            scatter, stream = site.plan.scatters[f"take_up.{name}"], site.streams.stream(f"take up {name}", area.name)
            hours += site.levels[f"take_up.{name}"] * factors(scatter, stream, total)
        bent = site.streams.stream("mats come up bent", area.name).random(total) < site.levels["take_up.bent"]
        tool, stream = site.plan.scatters["take_up.edge_tool"], site.streams.stream("take up edge_tool", area.name)
        hours += bent * site.levels["take_up.edge_tool"] * factors(tool, stream, total)
        scrap = site.levels["take_up.scrap"]
        luck = site.streams.stream("mats come up", area.name).random(total)
        state = np.where(luck < scrap, 2, np.where(luck < scrap + site.levels["take_up.to_repair"], 1, 0))
        piece = np.arange(total) - np.repeat(np.cumsum(pieces) - pieces, pieces)
        half = (piece < np.repeat(halves, pieces)).astype(int)
        counts = np.zeros((area.rows, len(STATES), 2), dtype=np.intp)
        np.add.at(counts, (row_of, state, half), 1)
        by_row: NDArray[float64] = np.zeros(area.rows)
        np.add.at(by_row, row_of, hours)
        return by_row, counts

    def each(self, name: str, owner: str) -> Iterator[float]:
        """Return the hours of one step after the other of a quantity of the take-up."""
        key = f"take_up.{name}"
        level = self.site.levels[key]
        return (
            level * factor for factor in draw_factors(self.site.plan.scatters[key], self.site.streams, f"take up {name}", owner)
        )

    def sticking(self, section: SectionPlan) -> dict[int, float]:
        """Return the hours to work each row of a section loose that sticks."""
        site, area = self.site, self.site.plan.areas[section.area]
        held = site.streams.stream("rows stick", area.name).random(area.rows) < site.levels["take_up.sticking"]
        scatter, stream = site.plan.scatters["take_up.free_row"], site.streams.stream("take up free_row", area.name)
        hours = site.levels["take_up.free_row"] * factors(scatter, stream, area.rows)
        return {row: float(hours[row]) for row in section.rows if held[row]}

    def tie_downs(self, section: SectionPlan) -> float:
        """Return the hours of one team to take the tie-down points off that come before a section."""
        return sum(islice(self.each("tie_down", self.site.plan.areas[section.area].name), section.tie_downs))

    def ends(self, section: SectionPlan) -> float:
        """Return the hours of one team to take the end connectors off that come before the rows of a section."""
        area = self.site.plan.areas[section.area].name
        return sum(sum(islice(self.each("end_connector", f"{area} {end}"), count)) for end, count in section.end_connectors)

    def rail(self, section: SectionPlan) -> list[float]:
        """Return the hours to take up each section of guide rail behind a section, with the seal at its end."""
        owner = f"{section.edge} {section.rows[0]}"
        sections, seals = self.each("rail_section", owner), self.each("seal", owner)
        return [next(sections) + (next(seals) if number < section.seals else 0.0) for number in range(len(section.rails))]

    def strips(self, section: SectionPlan) -> Iterator[tuple[float, float]]:
        """Yield the hours to draw each key strip out that opens a section, and those to free it first where it sticks."""
        area = self.site.plan.areas[section.area].name
        if section.strip is not None:
            yield self._strip(area, section.strip)
        if section.starter:
            yield self._strip(area, -1)

    def _strip(self, area: str, strip: int) -> tuple[float, float]:
        levels = self.site.levels
        out, free = self._of_strip("draw_out", area, strip), 0.0
        if self._stream("stuck", area, strip).random() < levels["repair.stuck"]:
            free = self._of_strip("free", area, strip)
        return out, free

    def _of_strip(self, name: str, area: str, strip: int) -> float:
        key = f"repair.{name}"
        factor = factors(self.site.plan.scatters[key], self._stream(name, area, strip), 1)[0]
        return float(self.site.levels[key] * factor)

    def _stream(self, name: str, area: str, strip: int) -> np.random.Generator:
        return self.site.streams.stream(f"take up {name}", f"{area} {strip}")
