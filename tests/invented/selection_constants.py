"""The constants of published selection procedures, which that of the program (by intervals of pairs) is held beside."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from statistics import NormalDist

#: Points of the quadrature over a shared normal score: constants are right to 1e-6.
_POINTS = 96


@dataclass(frozen=True)
class KimNelsonConstants:
    """What Kim and Nelson's procedure compares differences with.

    Attributes
    ----------
    eta : float
    squared : float
        Their h², by which the variance of a difference is multiplied.
    """

    eta: float
    squared: float


def kim_nelson_constants(plans: int, first: int, error: float = 0.05) -> KimNelsonConstants:
    """Return the constants for so many plans, each with so many observations at first.

    Parameters
    ----------
    plans : int
        At least two.
    first : int
        Observations from which the variance of each difference is taken; at least two.
    error : float
        Chance of a wrong selection, at most.

    Notes
    -----
    With c = 1: η = ½[(2α/(k − 1))^(−2/(n0 − 1)) − 1], h² = 2η(n0 − 1). Kim & Nelson 2001, ACM Transactions on Modeling and
    Computer Simulation 11(3), with whose formula the values in the tests are recomputed.

    Examples
    --------
    >>> constants = kim_nelson_constants(5, 20)
    >>> round(constants.eta, 4), round(constants.squared, 4)
    (0.2372, 9.0151)
    """
    if plans < 2 or first < 2:
        raise ValueError(f"plans(={plans}) and first(={first}) must be 2 at least")
    eta = 0.5 * ((2.0 * error / (plans - 1)) ** (-2.0 / (first - 1)) - 1.0)
    return KimNelsonConstants(eta, 2.0 * eta * (first - 1))


@lru_cache
def comparison_constant(others: int, confidence: float = 0.95) -> float:
    """Return by how many standard errors the best of others may seem ahead of a plan that is as good as they are.

    Parameters
    ----------
    others : int
        Plans that one plan is compared with, all of the same variance, known.
    confidence : float

    Notes
    -----
    One-sided constant of Dunnett 1955, Journal of the American Statistical Association 50, for infinite degrees of freedom, as
    Hsu's comparisons with the best use it: the quantile of the largest of so many normal scores with correlation ½.

    Examples
    --------
    >>> [round(comparison_constant(others), 3) for others in (1, 2, 5)]
    [1.645, 1.916, 2.234]
    """
    import numpy as np
    from scipy.optimize import brentq
    from scipy.special import log_ndtr, roots_hermitenorm

    points, weights = roots_hermitenorm(_POINTS)
    weights = weights / math.sqrt(2.0 * math.pi)

    def missed(bound: float) -> float:
        return float(weights @ np.exp(others * log_ndtr(math.sqrt(2.0) * bound + points))) - confidence

    return float(brentq(missed, -1.0, NormalDist().inv_cdf(1.0 - (1.0 - confidence) / (4.0 * others)) + 1.0, xtol=1e-10))
