"""How often did something happen among the builds, and how well do this many builds tell?"""

from __future__ import annotations

from dataclasses import dataclass

from simulation.analysis.quantiles import CONFIDENCE

#: The interval of every chance, by the name it is printed under.
METHOD = "exact (Clopper-Pearson)"


@dataclass(frozen=True)
class Chance:
    """A share of builds, with its interval.

    Attributes
    ----------
    count, builds : int
        In how many of how many.
    probability, low, high : float
    """

    count: int
    builds: int
    probability: float
    low: float
    high: float


def chance_of(count: int, builds: int, confidence: float = CONFIDENCE) -> Chance:
    """Return the chance of what happened in `count` of `builds`, with its exact binomial interval.

    Notes
    -----
    That of `scipy.stats.binomtest`, which the tests hold it to; see `quantiles.estimate` for why it is not called.
    """
    from scipy.special import betaincinv

    tail, other = (1.0 - confidence) / 2, builds - count
    low = float(betaincinv(count, other + 1, tail)) if count else 0.0
    high = float(betaincinv(count + 1, other, 1.0 - tail)) if other else 1.0
    return Chance(count, builds, count / builds, low, high)
