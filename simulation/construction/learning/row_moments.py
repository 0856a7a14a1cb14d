"""How long does a row take on average, and how much does that scatter from row to row, at many sets of levels at once?

By the row-time law itself, at points that stand for the luck of rows: a row's carrying, placing, locking and opening each have
their own, so rows of one shift average out, while what they have in common is a level.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.chance.posterior import Levels
from simulation.construction.plan.plan import AreaPlan, LayingPlan, Scatter
from simulation.construction.site.edges.rowtime import RowLuck, row_hours
from simulation.scenario.types.named_values import SHAPES

Array = NDArray[float64]

#: The times of a row that have luck of their own, and how many points stand for that of one, two, three or all four.
NAMES = ("pick_up", "place", "lock", "open_pallet")
_POINTS = {0: 1, 1: 32, 2: 9, 3: 5, 4: 4}


@dataclass(frozen=True)
class RowMoments:
    """Rows of one area, laid by so many people.

    Attributes
    ----------
    area : AreaPlan
    laying : LayingPlan
    people : int
    scatters : tuple of float or str
        Of `NAMES`.
    rejected : float
        Mats that are carried and placed besides, as a share of those that lie in the end.
    """

    area: AreaPlan
    laying: LayingPlan
    people: int
    scatters: tuple[Scatter, ...]
    rejected: float = 0.0

    def of(self, levels: Levels) -> tuple[Array, Array]:
        """Return mean and variance of the hours of a row, for rows of even and odd number: two arrays of 2, sets of levels."""
        column = {name: np.asarray(levels[f"laying.{name}"])[:, None] for name in NAMES}
        efficiency = np.asarray(levels["laying.efficiency"])[:, None]
        more = 1.0 + self.rejected
        teams, lockers = self._split({name: values[:, 0] for name, values in column.items()})
        factors, weights = self._luck
        drawn = {name: values * factor for (name, values), factor in zip(column.items(), factors, strict=True)}
        luck = RowLuck(drawn["pick_up"], drawn["place"], drawn["lock"], drawn["open_pallet"], efficiency)  # type: ignore[arg-type]
        means, variances = [], []
        for pieces, slower, joints in zip(self.area.pieces, self.area.slower, self.area.joints, strict=True):
            hours = row_hours(
                self.area,
                self.laying,
                luck,
                np.array(pieces * more),
                np.array(float(joints)),
                teams[:, None],  # type: ignore[arg-type]
                lockers[:, None],  # type: ignore[arg-type]
                np.array(pieces * more + slower),
            )
            mean = hours @ weights
            means.append(mean)
            variances.append(np.maximum((hours**2) @ weights - mean**2, 0.0))
        return np.array(means), np.array(variances)

    def _split(self, levels: dict[str, Array]) -> tuple[Array, Array]:
        """Return the teams and lockers that lay a pair of rows in the least time, as `best_split` does it for one run."""
        free = self.people - self.laying.overhead
        teams = np.arange(1, max((free - 1) // self.laying.team_size, 1) + 1)
        lockers = np.maximum(free - teams * self.laying.team_size, 1)
        whole = (levels["pick_up"] + self.area.walk + levels["place"])[:, None] / teams
        placing, at_once = levels["place"][:, None] / teams, levels["place"][:, None] / self.area.rows_in_work
        hours = np.zeros_like(whole)
        for each, more, joints in zip(self.area.pieces, self.area.slower, self.area.joints, strict=True):
            carried = np.maximum(each * whole + more * placing, (each + more) * at_once)
            hours += np.maximum(carried, joints * levels["lock"][:, None] / lockers)
        best = (hours < hours.min(axis=1, keepdims=True) * (1.0 + 1e-12)).argmax(axis=1)
        return teams[best].astype(float64), lockers[best].astype(float64)

    @cached_property
    def _luck(self) -> tuple[list[Array], Array]:
        """Factors of mean 1 for each of `NAMES` at the points that stand for luck, and the weights of the points."""
        lucky = [varied for varied, scatter in enumerate(self.scatters) if scatter != 0.0]
        count = _POINTS[len(lucky)]
        scores, weight = np.polynomial.hermite_e.hermegauss(count)
        weight = weight / weight.sum()
        grids = np.meshgrid(*[np.arange(count)] * len(lucky), indexing="ij") if lucky else []
        at = [grid.ravel() for grid in grids]
        weights = np.prod([weight[index] for index in at], axis=0) if at else np.ones(1)
        factors = [np.ones(1)] * len(NAMES)
        for varied, index in zip(lucky, at, strict=True):
            factors[varied] = factors_at(self.scatters[varied], scores[index])
        return factors, weights

    def __getstate__(self) -> dict[str, object]:
        """Leave out what is worked out anew."""
        return {name: value for name, value in vars(self).items() if name != "_luck"}


def factors_at(scatter: Scatter, scores: Array) -> Array:
    """Return the factors of mean 1 at standard normal scores; see `simulation.chance.factors`."""
    if isinstance(scatter, str):
        from scipy.special import gammaincinv, ndtr

        shape = SHAPES[scatter]
        gamma: Array = gammaincinv(shape, ndtr(scores)) / shape
        return gamma
    variance = math.log1p(scatter * scatter)
    factor: Array = np.exp(math.sqrt(variance) * scores - 0.5 * variance)
    return factor


def variation(scatter: Scatter) -> float:
    """Return the squared coefficient of variation that a scatter stands for."""
    return 1.0 / SHAPES[scatter] if isinstance(scatter, str) else scatter * scatter
