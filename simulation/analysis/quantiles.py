"""By when is a stated share of builds ready, and how well do this many builds tell?

A quantile is an order statistic: the smallest time by which at least the stated share of builds was ready. A build that was not
done at the horizon has the time infinity, so it counts, and a quantile beyond the finished share is infinite.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

#: Confidence of every interval.
CONFIDENCE = 0.95

#: Stands under every table, picture and file that shows an interval.
SAMPLING_ERROR_ONLY = (
    "Every interval shows sampling error only, from the limited number of builds; "
    "it does not cover wrong inputs or a wrong model."
)


@dataclass(frozen=True)
class QuantileEstimate:
    """One quantile of a sample, with its interval.

    Attributes
    ----------
    share : float
        0.8 for P80.
    value : float
        Infinite beyond the horizon.
    low, high : float or None
        Ends of the interval; infinite beyond the horizon, None where so few builds set no limit on that side.
    """

    share: float
    value: float
    low: float | None
    high: float | None

    @property
    def name(self) -> str:
        """Return the name it goes by, such as P80."""
        return f"P{round(100 * self.share)}"


def order_statistic(values: Sequence[float], share: float) -> float:
    """Return the smallest of `values` with at least `share` of them at or below it.

    Examples
    --------
    >>> order_statistic([3.0, 1.0, 2.0, 4.0, 5.0], 0.8)
    4.0
    """
    # 0.8 × 5 must be rank 4 whatever the last bit of the product says.
    rank = max(1, math.ceil(round(share * len(values), 9)))
    return sorted(values)[rank - 1]


def estimate(values: Sequence[float], share: float, confidence: float = CONFIDENCE) -> QuantileEstimate:
    """Return a quantile and its distribution-free interval between two order statistics.

    Parameters
    ----------
    values : sequence of float
        One for each build, infinite where it was not done.
    share : float
        Between 0 and 1.
    confidence : float

    Notes
    -----
    The ranks are the exact binomial ones of `scipy.stats.quantile_test`, which the tests hold them to; they are taken from
    `scipy.special`, because importing `scipy.stats` takes longer than a small forecast.
    """
    import numpy as np
    from scipy.special import bdtr

    ordered, builds, tail = sorted(values), len(values), (1.0 - confidence) / 2
    below = bdtr(np.arange(builds), builds, share)  # chance that at most so many builds are ready by the true quantile
    low, high = int(np.searchsorted(below, tail, side="right")), int(np.searchsorted(below, 1.0 - tail)) + 1
    return QuantileEstimate(
        share,
        float(order_statistic(ordered, share)),
        float(ordered[low - 1]) if low >= 1 else None,
        float(ordered[high - 1]) if high <= builds else None,
    )
