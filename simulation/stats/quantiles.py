"""By when is a stated share of runs ready, and how well do this many runs tell?

A quantile is an order statistic: the smallest time by which at least the stated share of runs was ready. A run that was not
done by the last day simulated has the time infinity, so it counts, and a quantile beyond the finished share is infinite.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.stats.binomial import MOST, at_most
from simulation.stats.effective_sample_size import effective_runs

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

#: Confidence of every interval.
CONFIDENCE = 0.95

#: Stands under every table, picture and file that shows an interval.
SAMPLING_ERROR_ONLY = (
    "Every interval shows sampling error only, from the limited number of runs; it does not cover wrong inputs or a wrong model."
)


@dataclass(frozen=True)
class QuantileEstimate:
    """One quantile of a sample, with its interval.

    Attributes
    ----------
    share : float
        0.8 for P80.
    value : float
        Infinite after the last day simulated.
    low, high : float or None
        Ends of the interval; infinite after the last day simulated, None where so few runs set no limit on that side.
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
    return sorted(values)[rank_of_share(len(values), share) - 1]


def rank_of_share(runs: int, share: float) -> int:
    """Return which of so many values in order, counted from 1, is the smallest with at least `share` of them at or below it."""
    # 0.8 × 5 must be rank 4 whatever the last bit of the product says.
    return max(1, math.ceil(round(share * runs, 9)))


def order_statistics(values: NDArray[np.float64], share: float) -> NDArray[np.float64]:
    """Return the order statistic along the last axis, the same as `order_statistic` of each row."""
    import numpy as np

    rank = rank_of_share(values.shape[-1], share)
    ordered: NDArray[np.float64] = np.partition(values, rank - 1, axis=-1)[..., rank - 1]
    return ordered


def estimate(values: Sequence[float], share: float, confidence: float = CONFIDENCE, cube: int | None = None) -> QuantileEstimate:
    """Return a quantile and its distribution-free interval between two order statistics.

    Parameters
    ----------
    values : sequence of float
        One for each run, infinite where it was not done.
    share : float
        Between 0 and 1.
    confidence : float
    cube : int, optional
        Runs of one hypercube, where they were sampled in hypercubes: each so many of `values` in turn are one, so they must
        stand in order of run. Default: runs are independent. With fewer than two whole hypercubes there is no interval.

    Raises
    ------
    ValueError
        If there are more than two hypercubes, but not whole ones.

    Notes
    -----
    The ranks are the exact binomial ones of `scipy.stats.quantile_test`, which the tests hold them to; see `binomial` for why it
    is not called.

    In hypercubes the share of runs at or below the quantile is known as well as from another number of independent runs (see
    `cubes.effective_runs`); the binomial ranks of that number, which need not be whole, are turned back into runs: the method
    of Woodruff (1952, Journal of the American Statistical Association 47; from memory), with exact tails instead of normal ones.
    """
    ordered, runs, tail = sorted(values), len(values), (1.0 - confidence) / 2
    value = float(order_statistic(ordered, share))
    effective = runs if cube is None else effective_runs(_at_or_below(values, value, share), cube, confidence)
    if effective is None:
        return QuantileEstimate(share, value, None, None)
    low, high = _ranks(runs, effective, share, tail)
    return QuantileEstimate(
        share,
        value,
        float(ordered[low - 1]) if low >= 1 else None,
        float(ordered[high - 1]) if high <= runs else None,
    )


def _ranks(runs: int, effective: float, share: float, tail: float) -> tuple[int, int]:
    """Return the largest rank that lies above the true quantile with a chance of at most `tail`, and the smallest below it.

    Ranks 0 and `runs` + 1 stand for none.
    """
    if effective == runs <= MOST:  # independent runs: how likely it is that fewer than so many are at or below the true quantile
        fewer = at_most(runs, share)[:-1]
        return bisect_right(fewer, tail), bisect_left(fewer, 1.0 - tail) + 1
    from scipy.special import betainc

    each = effective / runs

    def too_few(rank: int) -> float:
        """Chance that so few runs are at or below the true quantile that even this rank lies above it."""
        return float(betainc(effective - (rank - 1) * each, (rank - 1) * each + 1.0, 1.0 - share))

    def enough(rank: int) -> float:
        """Chance that this rank is not below the true quantile."""
        return 1.0 - float(betainc(rank * each, effective - rank * each + 1.0, share))

    ranks = range(1, runs + 1)
    return bisect_right(ranks, tail, key=too_few), bisect_left(ranks, 1.0 - tail, key=enough) + 1


def _at_or_below(values: Sequence[float], quantile: float, share: float) -> list[float]:
    """Return for each value what it adds to the share at or below the quantile.

    Runs that end at the very same hour, with a shift or after the last day simulated, share what is left for them, so that it
    sums up.
    """
    below, ties = sum(value < quantile for value in values), sum(value == quantile for value in values)
    tied = (share * len(values) - below) / ties
    return [1.0 if value < quantile else tied if value == quantile else 0.0 for value in values]
