"""By how much does the difference of two plans vary from sample to sample? Both are resampled together, since they share luck."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    #: Given observations along the last axis, returns a number of each row.
    Statistic = Callable[[NDArray[np.float64]], NDArray[np.float64]]

#: Resamples that tell how much a difference differs from sample to sample. Planning value: its error is known to a twentieth.
RESAMPLES = 200
#: Their own seed, so that the same runs name the same plan.
_SEED = 1


def resample_pairs(
    statistic: Statistic, front: NDArray[np.float64], others: Iterable[NDArray[np.float64]]
) -> list[tuple[float, float]]:
    """Return by how much each of other plans is behind the one in front, and the standard error of that."""
    import numpy as np

    runs = len(front)
    drawn = np.random.default_rng(_SEED).integers(0, runs, (RESAMPLES, runs))
    own, resampled = float(statistic(front)), statistic(front[drawn])
    return [(float(statistic(values)) - own, float(np.std(statistic(values[drawn]) - resampled, ddof=1))) for values in others]


def student_score(score: float, runs: int) -> float:
    """Return the score that is as unlikely by Student's distribution of so many runs as a normal one."""
    from scipy.special import ndtr
    from scipy.stats import t

    return float(t.isf(ndtr(-score), runs - 1))
