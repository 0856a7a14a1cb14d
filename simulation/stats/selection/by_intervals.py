"""Find the plan with the smallest quantile, chance or mean: look by look, drop what is measurably behind the one in front.

Made for what is no mean, where the fully sequential procedure of `kim_nelson` does not hold: every pair with the plan in front
has an interval that holds over all looks, and the error is split over the pairs, so plans may share their luck or not.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.stats.group_sequential import boundaries
from simulation.stats.selection.kim_nelson import Selected

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    #: Given plans and a number, returns the first so many observations of each: plans × observations.
    ObserveFirst = Callable[[Sequence[int], int], NDArray[np.float64]]
    #: Given observations along the last axis, returns a number of each row.
    Statistic = Callable[[NDArray[np.float64]], NDArray[np.float64]]

#: Resamples that tell how much a difference differs from sample to sample. Planning value: its error is known to a twentieth.
RESAMPLES = 200
#: Their own seed, so that the same runs name the same plan.
_SEED = 1
#: How late the error is spent, as in `group_sequential`: by the share of the runs, so that early looks drop many. Planning value.
_POWER = 1.0


@dataclass(frozen=True)
class Standing:
    """How plans stand to the one in front after a look.

    Attributes
    ----------
    runs : int
    left : tuple of int
        Plans that are not dropped, the one in front first.
    ahead : tuple of float
        By how much each of these may be better than the one in front, at most; 0 for itself.
    """

    runs: int
    left: tuple[int, ...]
    ahead: tuple[float, ...]


def select_by_intervals(
    observe: ObserveFirst,
    plans: int,
    statistic: Statistic,
    indifference: float,
    looks: Sequence[int],
    error: float = 0.05,
    note: Callable[[Standing], bool] = lambda standing: True,
) -> Selected:
    """Return the plan whose statistic is the smallest.

    Parameters
    ----------
    observe : callable
        Given plans and a number, returns the first so many observations of each; under common luck the k-th of all share it.
    plans : int
    statistic : callable
        Of observations along the last axis, such as their order statistic at P80.
    indifference : float
        Two statistics this near make no difference that matters.
    looks : sequence of int
        Numbers of observations, rising; after the last one it ends undecided.
    error : float
        Chance that the plan named is worse than the best by more than the indifference, at most.
    note : callable, optional
        Told how plans stand after each look; where it returns False, it ends there.

    Notes
    -----
    The true best is dropped, or called no better than the one in front by more than the indifference when it is, only where an
    interval of its pair with that one misses: each other plan makes one pair with it, and each pair bears error/(plans − 1)
    over all looks (Bonferroni). Intervals are repeated ones (`group_sequential`), with the standard error of the paired bootstrap
    and Student's tail in place of the normal one. Dropping as in the screening of Nelson, Swann, Goldsman & Song 2001, Operations
    Research 49 (from memory), whose pairs are of means at a single look.
    """
    import numpy as np

    left, counts, standing = list(range(plans)), [0] * plans, Standing(0, tuple(range(plans)), (0.0,) * plans)
    bounds = boundaries(looks, [(look / looks[-1]) ** _POWER for look in looks], 1.0 - error / max(1, plans - 1))
    for look, bound in zip(looks, bounds, strict=True):
        values = observe(left, look)
        for place in left:
            counts[place] = look
        found = statistic(values)
        front = int(np.argmin(found))
        behind, reach = found - found[front], _student(bound, look) * _deviations(values, front, statistic)
        stays = behind <= reach
        stays[front] = True
        ahead = np.maximum(reach - behind, 0.0)
        ahead[front] = 0.0
        order = sorted(np.flatnonzero(stays).tolist(), key=lambda row: (row != front, found[row]))
        standing = Standing(look, tuple(left[row] for row in order), tuple(float(ahead[row]) for row in order))
        left = sorted(standing.left)
        going_on = note(standing)
        if max(standing.ahead) <= indifference or not going_on:
            break
    return Selected(standing.left[0], standing.left, tuple(counts))


def _deviations(values: NDArray[np.float64], front: int, statistic: Statistic) -> NDArray[np.float64]:
    """Return how much the difference between each plan and the one in front differs from resample to resample."""
    import numpy as np

    runs = values.shape[1]
    drawn = np.random.default_rng(_SEED).integers(0, runs, (RESAMPLES, runs))
    first = statistic(values[front][drawn])
    return np.array([np.std(statistic(row[drawn]) - first, ddof=1) for row in values])


def _student(bound: float, runs: int) -> float:
    """Return the score that is as unlikely by Student's distribution of so many runs as a normal one."""
    from scipy.special import ndtr
    from scipy.stats import t

    return float(t.isf(ndtr(-bound), runs - 1))
