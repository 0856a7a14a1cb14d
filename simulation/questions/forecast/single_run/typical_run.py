"""Which of many runs stands for the middle, or for a cautious plan? The one whose readiness is nearest to a quantile."""

from __future__ import annotations

import math
from dataclasses import dataclass

from simulation.questions.forecast.study import Forecast

#: What a run may be asked for by, and the quantile that it is.
BY_NAME = {"median": 0.5, "p80": 0.8}


@dataclass(frozen=True)
class Typical:
    """A run that stands for a quantile of a forecast.

    Attributes
    ----------
    run_number : int
    name : str
        A key of `BY_NAME`.
    run_count : int
        Of the forecast.
    quantile, hours : float
        Hours to readiness: the quantile, and this run's; infinite where it is after the last day simulated.
    """

    run_number: int
    name: str
    runs: int
    quantile: float
    hours: float

    @property
    def words(self) -> str:
        """Why this run, such as ``the run nearest to P80 of 400``."""
        return f"nearest to {'the median' if self.name == 'median' else 'P80'} of {self.runs:,} runs"


def typical_run(forecast: Forecast, name: str) -> Typical:
    """Return the run of a forecast whose readiness is nearest to its median or P80, the lowest number of several.

    Where the quantile lies after the last day simulated it is the first run that was not ready by then.
    """
    quantile = forecast.readiness.quantile(BY_NAME[name]).value
    hours: list[float] = forecast.table[f"milestone.{forecast.readiness.name}"].tolist()

    def off(index: int) -> float:
        if math.isinf(quantile):
            return 0.0 if math.isinf(hours[index]) else 1.0
        return abs(hours[index] - quantile)

    index = min(range(len(hours)), key=off)
    return Typical(int(forecast.table["run"][index]), name, forecast.run_count, quantile, hours[index])
