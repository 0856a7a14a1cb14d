"""What work lies in the rows that a crew laid: rows and their kinds, checks, key strips, what prepares the laying edge."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.chance.posterior import Levels
from simulation.construction.learning.hours_at_work import ShiftHours
from simulation.construction.learning.observed import RowsDone
from simulation.construction.learning.row_moments import NAMES, RowMoments, variation
from simulation.construction.plan.plan import Plan
from simulation.construction.site.edges.rowtime import learned

Array = NDArray[float64]


@dataclass(frozen=True)
class Stretch:
    """The rows of one line of evidence, as the likelihood needs them.

    Attributes
    ----------
    moments : RowMoments
    weights, squares : (float, float)
        Sums over the rows of even and of odd number of how many ordinary rows each is worth, and of the squares of that.
    parts : tuple of (str, float, float, bool)
        What else was done: the level's key, how many times of it, its squared coefficient of variation, and whether it is divided
        by the crews' efficiency.
    loose : float
        Rows that may be part done when a shift begins or ends: those of a pallet.
    hours : tuple of (float, float)
        Hours at work and how likely they are; several where drawn weather says them.
    rows : int
    waited : bool
        Whether the hours are only known not to be more.
    by_clock : bool
        Whether nobody wrote the hours, so that they are those of the clock.
    """

    moments: RowMoments
    weights: tuple[float, float]
    squares: tuple[float, float]
    parts: tuple[tuple[str, float, float, bool], ...]
    loose: float
    hours: tuple[tuple[float, float], ...]
    rows: int
    waited: bool
    by_clock: bool = False

    @property
    def mean(self) -> float:
        """The hours to be expected."""
        return sum(hours * chance for hours, chance in self.hours)

    @property
    def variance(self) -> float:
        """How much the hours vary with the weather."""
        return sum((hours - self.mean) ** 2 * chance for hours, chance in self.hours)

    @property
    def keys(self) -> set[str]:
        """The levels that it depends on."""
        rows = {f"laying.{name}" for name in (*NAMES, "efficiency")}
        return rows | {key for key, *_ in self.parts}

    def expected(self, levels: Levels, row: tuple[Array, Array]) -> tuple[Array, Array]:
        """Return mean and variance of the hours of the stretch, given those of a row of even and of odd number."""
        means, variances = row
        mean = np.array(self.weights) @ means
        variance = np.array(self.squares) @ variances
        for key, times, scatter, productive in self.parts:
            each = levels[key] / levels["laying.efficiency"] if productive else levels[key]
            mean = mean + times * each
            variance = variance + times * scatter * each**2
        # Where in a row (or a pallet's rows) a shift begins and ends is as good as uniform: the difference of two such.
        return mean, variance + (self.loose * means.mean(axis=0)) ** 2 / 6.0


def stretch_of(plan: Plan, seen: RowsDone, shifts: ShiftHours) -> Stretch:
    """Return what one line of evidence says of rows."""
    edge = plan.edges[seen.edge]
    area = plan.areas[edge.area]
    laying = plan.laying
    worth = np.zeros((2, 2))
    for laid in range(seen.first, seen.upto):
        row = edge.first + laid if edge.upward else edge.last - 1 - laid
        value = laying.ramp_row if row in area.ramps else 1.0
        if laying.learning < 1.0:
            value *= learned(laying, seen.rows_before + laid - seen.first + 1)
        worth[:, row % 2] += value, value * value
    if seen.first == seen.upto:  # the one that was not done in all this time
        worth[:] = 0.5
    scatters = tuple(plan.scatters[f"laying.{name}"] for name in NAMES)
    # Few, and the log says of them itself what is to be learned: so their middle will do.
    middle = {level.key: level.level.quantile(0.0) for level in plan.levels}
    rejected = middle["laying.damaged_mats"]
    if plan.used is not None:
        rejected = 1.0 - (1.0 - rejected) * (1.0 - plan.used.unfit(middle))
    return Stretch(
        moments=RowMoments(area, laying, seen.people, scatters, rejected),
        weights=(float(worth[0, 0]), float(worth[0, 1])),
        squares=(float(worth[1, 0]), float(worth[1, 1])),
        parts=tuple(_parts(plan, seen)),
        loose=max(1.0, laying.pallet_pieces / (sum(area.pieces) / 2)) if seen.first < seen.upto else 0.0,
        hours=_hours(plan, seen, shifts),
        rows=seen.upto - seen.first,
        waited=seen.waited,
        by_clock=seen.hours is None and seen.lost is None,
    )


def _parts(plan: Plan, seen: RowsDone) -> list[tuple[str, float, float, bool]]:
    """Return what else belongs to the rows: key strips, checks, rows re-seated on average, and what prepares a laying edge."""
    edge, laying = plan.edges[seen.edge], plan.laying
    area = plan.areas[edge.area]
    checks = sum(seen.first < row <= seen.upto for row in edge.checks)
    strips = sum(seen.first <= row < seen.upto for row in edge.strips)
    begins = seen.first == 0 < seen.upto and seen.edge == area.edges[0]
    times = {
        "check": float(checks),
        "key_strip": float(strips),
        "reseat": checks * laying.skew_found * laying.check_every,
        "connect": float(begins and area.gate is not None),
        "starter_key_strip": float(begins and area.starter),
    }
    parts = []
    for name, count in times.items():
        if count:
            scatter = variation(plan.scatters[f"laying.{name}"])
            if name == "reseat":  # all rows since the last check, or none
                scatter += laying.check_every * (1.0 - laying.skew_found)
            parts.append((f"laying.{name}", count, scatter, name == "check"))
    return parts


def _hours(plan: Plan, seen: RowsDone, shifts: ShiftHours) -> tuple[tuple[float, float], ...]:
    """Return the hours of full work in which the rows were laid, and how likely they are."""
    clock = plan.crews[seen.crew].clock
    at_work = seen.hours
    if at_work is None and seen.lost is not None:
        at_work = max(shifts.open_hours(clock, seen.start, seen.end) - seen.lost, 0.0) * seen.part
    if at_work is not None:
        return ((at_work * shifts.pace(clock, seen.start, seen.end), 1.0),)
    hours, times = np.unique(np.round(shifts.worked(clock, seen.start, seen.end) * seen.part, 1), return_counts=True)
    return tuple(zip(hours.tolist(), (times / times.sum()).tolist(), strict=True))
