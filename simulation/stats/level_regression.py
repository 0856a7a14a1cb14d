"""By how much does the outcome move from a low to a high value of each input, as runs tell in which all inputs differ?

One linear regression of the outcome on the normal scores of all inputs: what each does while the others stay. It needs no run
that is not there already, and says with its error how far an input can matter, so that further runs go where they may tell more.
"""

from __future__ import annotations

from statistics import NormalDist
from typing import TYPE_CHECKING

from simulation.stats.paired_difference import UNKNOWN, Difference
from simulation.stats.quantiles import CONFIDENCE

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

#: Normal scores from the P10 of an input to its P90.
_APART = 2.0 * NormalDist().inv_cdf(0.9)


def estimate_swings(
    values: NDArray[np.float64], outcome: NDArray[np.float64], confidence: float = CONFIDENCE
) -> list[Difference]:
    """Return by how much the mean of an outcome moves from the P10 to the P90 of each input.

    Parameters
    ----------
    values : array of float, runs × inputs
        Only their order matters.
    outcome : array of float, runs
        Finite.
    confidence : float
        With which all intervals hold together: each bears its part of the error (Bonferroni).

    Returns
    -------
    list of Difference
        One for each input; unknown where there are too few runs.

    Notes
    -----
    Least squares on normal scores of ranks, with the usual errors of its coefficients: Helton, Johnson, Sallaberry & Storlie
    2006, Reliability Engineering and System Safety 91, on regression for sampled inputs (from memory). It sees what goes one
    way; what rises and falls is seen by `first_order`.
    """
    import numpy as np
    from scipy.special import ndtri, stdtrit
    from scipy.stats import rankdata

    runs, inputs = values.shape
    free = runs - inputs - 1
    if free < inputs:
        return [UNKNOWN] * inputs
    scores = ndtri((rankdata(values, axis=0) - 0.5) / runs)
    design = np.column_stack([np.ones(runs), scores])
    inverse = np.linalg.pinv(design.T @ design)
    slopes = inverse @ design.T @ outcome
    left = outcome - design @ slopes
    errors = np.sqrt(np.diag(inverse) * (left @ left) / free)
    reach = float(stdtrit(free, 1.0 - (1.0 - confidence) / inputs / 2.0)) * errors
    apart = [
        [float(_APART * end) for end in (slope, slope - far, slope + far)]
        for slope, far in zip(slopes[1:], reach[1:], strict=True)
    ]
    return [Difference(value, low, high) for value, low, high in apart]
