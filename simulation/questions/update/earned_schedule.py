"""The plain yardstick beside a forecast: by when had the plan what is done now, and where does that pace lead?

Earned schedule (formula: W. Lipke, "Schedule is Different", 2003; from memory): ES is the time at which the plan had what is done
now, SPI(t) = ES / AT, and the estimate is the planned duration / SPI(t). It knows no risk and no night.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class EarnedSchedule:
    """What the plain yardstick says, in hours since the start.

    Attributes
    ----------
    earned : float
        When the old forecast's middle run had what is done now.
    at : float
        The moment.
    planned : float
        P50 of readiness in the old forecast.
    """

    earned: float
    at: float
    planned: float

    @property
    def index(self) -> float:
        """Pace against the plan: below 1 is behind."""
        return self.earned / self.at if self.at > 0.0 else 1.0

    @property
    def estimate(self) -> float:
        """Readiness at this pace; infinite where nothing is done yet."""
        return self.planned / self.index if self.index > 0.0 else math.inf


def earned_schedule(percents: Sequence[int], times: Sequence[float], done: float, at: float, planned: float) -> EarnedSchedule:
    """Return what the plain yardstick says.

    Parameters
    ----------
    percents : sequence of int
        Of the field, rising.
    times : sequence of float
        When the plan has so much.
    done : float
        Share of the field that lies now.
    at, planned : float
        The moment, and the planned duration.
    """
    share = 100.0 * done
    earned = 0.0
    for index in range(1, len(percents)):
        low, high = percents[index - 1], percents[index]
        start, end = times[index - 1], times[index]
        if share <= 0.0 or not math.isfinite(end):
            break
        if share <= high + 1e-9:
            earned = start + (end - start) * (share - low) / (high - low)
            break
        earned = end
    return EarnedSchedule(earned, at, planned)
