"""When is each part of the field usable: mean, spread and quantiles of every milestone, over all runs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.stats.quantiles import QuantileEstimate, estimate

if TYPE_CHECKING:
    from simulation.replicate.run_table import RunTable
    from simulation.scenario import Scenario

SHARES = (0.10, 0.50, 0.80, 0.90, 0.95)
#: Quantiles that are given with interval, day and shift.
BANDS = (0.50, 0.80, 0.90)


@dataclass(frozen=True)
class MilestoneForecast:
    """One milestone over all runs, in hours since the start.

    Attributes
    ----------
    name : str
    ready : bool
        Whether it is operational readiness.
    unfinished : int
        Runs that had not reached it by the last day simulated.
    mean, sd : float or None
        None where a run is unfinished, because its time is not known; sd also with a single run.
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
        return next(quantile for quantile in self.quantiles if quantile.share == share)


def summarise_milestones(scenario: Scenario, runs: RunTable, cube: int | None = None) -> tuple[MilestoneForecast, ...]:
    """Return every milestone of a scenario, in its order, over all runs; `cube` as for `quantiles.estimate`."""
    return tuple(
        _forecast(milestone.name, milestone.ready, runs[f"milestone.{milestone.name}"].tolist(), cube)
        for milestone in scenario.milestones
    )


def _forecast(name: str, ready: bool, hours: Sequence[float], cube: int | None) -> MilestoneForecast:
    unfinished = sum(math.isinf(hour) for hour in hours)
    mean, sd = (None, None) if unfinished else mean_and_sd(hours)
    return MilestoneForecast(name, ready, unfinished, mean, sd, tuple(estimate(hours, share, cube=cube) for share in SHARES))


def mean_and_sd(values: Sequence[float]) -> tuple[float, float | None]:
    """Return mean and standard deviation (of the population, from a sample) of values; none of the latter from one value."""
    mean = math.fsum(values) / len(values)
    if len(values) < 2:
        return mean, None
    return mean, math.sqrt(math.fsum((value - mean) ** 2 for value in values) / (len(values) - 1))
