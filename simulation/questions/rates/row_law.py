"""How long does a row take by a scenario, from job to job and from row to row? By the row-time law that runs go by."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.chance import Streams, draw_levels
from simulation.construction import compile_plan
from simulation.construction.learning.row_moments import NAMES, RowMoments

if TYPE_CHECKING:
    from simulation.chance.posterior import Levels
    from simulation.scenario import Scenario

#: Jobs that are drawn by the scenario.
_JOBS = 1000


@dataclass(frozen=True)
class RowLaw:
    """Ordinary rows of one area, laid by so many people.

    Attributes
    ----------
    scenario : Scenario
    area : int
    people : int
    """

    scenario: Scenario
    area: int
    people: int

    @cached_property
    def _moments(self) -> RowMoments:
        plan = compile_plan(self.scenario)
        scatters = tuple(plan.scatters[f"laying.{name}"] for name in NAMES)
        return RowMoments(plan.areas[self.area], plan.laying, self.people, scatters)

    @cached_property
    def _drawn(self) -> dict[str, NDArray[float64]]:
        plan = compile_plan(self.scenario)
        asked = [level for level in plan.levels if level.key in {f"laying.{name}" for name in (*NAMES, "efficiency")}]
        drawn = [draw_levels(asked, Streams(plan.seed, number)) for number in range(_JOBS)]
        return {level.key: np.array([draw[level.key] for draw in drawn]) for level in asked}

    @cached_property
    def middle(self) -> dict[str, float]:
        """The middle of each level."""
        return {key: float(np.median(values)) for key, values in self._drawn.items()}

    def hours(self, levels: Levels) -> NDArray[float64]:
        """Return the mean hours of a row at some sets of levels."""
        times: NDArray[float64] = self._moments.of(levels)[0].mean(axis=0)
        return times

    @cached_property
    def quantiles(self) -> tuple[float, float, float]:
        """P10, P50 and P90 of the mean hours of a row, from job to job."""
        low, middle, high = np.quantile(self.hours(self._drawn), (0.1, 0.5, 0.9)).tolist()
        return low, middle, high

    @property
    def variation(self) -> float:
        """The coefficient of variation of a row's hours within a job, at the middle of the levels."""
        means, variances = self._moments.of(self._middles)
        return float((np.sqrt(variances) / means).mean())

    def scattered(self, scatter: float, factor: float = 1.0) -> float:
        """Return the variation within a job if picking up and placing scattered so much, and took so many times as long."""
        changed = replace(self._moments, scatters=(scatter, scatter, *self._moments.scatters[2:]))
        means, variances = changed.of(_made(self._middles, factor))
        return float((np.sqrt(variances) / means).mean())

    @property
    def _middles(self) -> dict[str, NDArray[float64]]:
        return {key: np.array([value]) for key, value in self.middle.items()}

    def carried(self, factor: float, scatter: float | None, single: bool = False) -> float:
        """Return the hours of a row in the middle if picking up and placing took so many times as long, and scattered so.

        The middle is that of all jobs as the scenario has them (`single`), or a job in which every level is in its middle.
        """
        moments = self._moments
        if scatter is not None:
            moments = replace(moments, scatters=(scatter, scatter, *moments.scatters[2:]))
        levels = _made(self._drawn if single else self._middles, factor)
        return float(np.median(moments.of(levels)[0].mean(axis=0)))


def _made(levels: Levels, factor: float) -> dict[str, NDArray[float64]]:
    """Return levels with picking up and placing made so many times as long."""
    return {key: values * factor if key in ("laying.pick_up", "laying.place") else values for key, values in levels.items()}
