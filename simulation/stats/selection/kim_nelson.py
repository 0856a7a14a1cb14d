"""Find the plan with the smallest mean: one more observation of each that is left, until one is or the rest make no difference.

Plans may share their luck: the procedure takes the variance of each difference, which common luck makes small, so that plans are
dropped after few observations.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.stats.selection.constants import kim_nelson_constants

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Observe = Callable[[Sequence[int], int, int], NDArray[np.float64]]


@dataclass(frozen=True)
class Selected:
    """What a selection has come to.

    Attributes
    ----------
    best : int
        The plan that is named.
    left : tuple of int
        Plans that were not dropped, the best first; more than one where it was stopped by `most`.
    observations : tuple of int
        Of each plan.
    """

    best: int
    left: tuple[int, ...]
    observations: tuple[int, ...]


def select_by_mean(
    observe: Observe, plans: int, indifference: float, first: int = 20, error: float = 0.05, most: int = 100_000, each: int = 1
) -> Selected:
    """Return the plan of the smallest mean.

    Parameters
    ----------
    observe : callable
        Given places of plans, and the numbers of the first observation and of the one behind the last, returns an array of
        plans × observations; under common luck the k-th ones of all plans share it.
    plans : int
    indifference : float
        Two means this near make no difference that matters; above zero.
    first : int
        Observations of each plan before any is dropped.
    error : float
        Chance that the plan named is worse than the best by more than the indifference, at most.
    most : int
        Observations of one plan after which it ends undecided.
    each : int
        Observations taken at once, after the first: plans are looked at after each one all the same.

    Notes
    -----
    Kim & Nelson 2001, ACM Transactions on Modeling and Computer Simulation 11(3), fully sequential, c = 1. Observations are to be
    near normal and independent from one to the next; plans need not be.
    """
    import numpy as np

    if plans == 1:
        return Selected(0, (0,), (0,))
    squared = kim_nelson_constants(plans, first, error).squared
    values = observe(range(plans), 0, first)
    variances = np.var(values[:, np.newaxis] - values[np.newaxis], axis=2, ddof=1)
    sums, counts, left = values.sum(axis=1), [first] * plans, np.arange(plans)

    def keep(left: NDArray[np.int64], taken: int) -> NDArray[np.int64]:
        ahead = (sums[left, np.newaxis] - sums[left]) / taken  # of each plan, how far every other one is ahead
        slack = squared * variances[np.ix_(left, left)] / indifference**2 - taken
        kept: NDArray[np.int64] = left[(ahead <= indifference / (2.0 * taken) * np.maximum(slack, 0.0)).all(axis=1)]
        return kept

    left, taken = keep(left, first), first
    while len(left) > 1 and taken < most:
        several = min(each, most - taken)
        more = dict(zip(left.tolist(), observe(left.tolist(), taken, taken + several), strict=True))
        for index in more:
            counts[index] = taken + several
        for step in range(several):
            taken += 1
            sums[left] += [more[index][step] for index in left.tolist()]
            left = keep(left, taken)
            if len(left) == 1:
                break
    order = sorted(left.tolist(), key=lambda index: sums[index])
    return Selected(order[0], tuple(order), tuple(counts))
