"""When is each part of the field usable: mean, spread and quantiles of every milestone, over all builds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.stats.quantiles import QuantileEstimate, estimate

if TYPE_CHECKING:
    import pandas as pd

    from simulation.scenario import Scenario

SHARES = (0.10, 0.50, 0.80, 0.90, 0.95)


@dataclass(frozen=True)
class MilestoneForecast:
    """One milestone over all builds, in hours since hour zero.

    Attributes
    ----------
    name : str
    ready : bool
        Whether it is operational readiness.
    unfinished : int
        Builds that had not reached it at the horizon.
    mean, sd : float or None
        None where a build is unfinished, because its time is not known; sd also with a single build.
    quantiles : tuple of QuantileEstimate
        P10, P50, P80, P90, P95.
    """

    name: str
    ready: bool
    unfinished: int
    mean: float | None
    sd: float | None
    quantiles: tuple[QuantileEstimate, ...]

    def quantile(self, share: float) -> QuantileEstimate:
        """Return the quantile of one share, such as 0.8."""
        return next(one for one in self.quantiles if one.share == share)


def milestones_of(scenario: Scenario, builds: pd.DataFrame, cube: int | None = None) -> tuple[MilestoneForecast, ...]:
    """Return every milestone of a scenario, in its order, over all builds; `cube` as for `quantiles.estimate`."""
    return tuple(
        _forecast(milestone.name, milestone.ready, builds[f"milestone.{milestone.name}"].tolist(), cube)
        for milestone in scenario.milestones
    )


def _forecast(name: str, ready: bool, hours: Sequence[float], cube: int | None) -> MilestoneForecast:
    unfinished = sum(math.isinf(one) for one in hours)
    mean, sd = (None, None) if unfinished else mean_and_sd(hours)
    return MilestoneForecast(name, ready, unfinished, mean, sd, tuple(estimate(hours, share, cube=cube) for share in SHARES))


def mean_and_sd(values: Sequence[float]) -> tuple[float, float | None]:
    """Return mean and standard deviation (of the population, from a sample) of values; none of the latter from one value."""
    mean = math.fsum(values) / len(values)
    if len(values) < 2:
        return mean, None
    return mean, math.sqrt(math.fsum((value - mean) ** 2 for value in values) / (len(values) - 1))
