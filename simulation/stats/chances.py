"""How often did something happen among the runs, and how well do this many runs tell?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from simulation.stats.binomial import MOST, least_chance
from simulation.stats.effective_sample_size import effective_runs
from simulation.stats.likelihood_words import likelihood_among
from simulation.stats.quantiles import CONFIDENCE

#: The interval of a chance among independent runs, by the name it is printed under.
METHOD = "exact (Clopper-Pearson)"
#: That of a chance among runs in hypercubes.
METHOD_OF_CUBES = "exact (Clopper-Pearson) with the effective number of runs in hypercubes (Korn-Graubard)"
#: That of a chance told by a change: no run of the plan was counted, so no interval of a count is its own.
METHOD_OF_CHANGE = (
    "exact (Clopper-Pearson) of the plan's own runs, and the same beside the chance that another plan's runs and the change give"
)
#: Instead of it where there is none.
TOO_FEW_CUBES = "none: fewer than two whole hypercubes"


@dataclass(frozen=True)
class Chance:
    """A share of runs, with its interval.

    Attributes
    ----------
    count, runs : int
        In how many of how many.
    probability, low, high : float
    method : str
        The name of its interval.
    at_least : bool
        Whether it is a lower bound: runs were not looked at to the end, and in some of them it may still have happened.
    by_change : int
        Runs that say what a plan changes, where the chance is that of another plan and that change; else 0.
    """

    count: int
    runs: int
    probability: float
    low: float
    high: float
    method: str = METHOD
    at_least: bool = False
    by_change: int = 0


def likelihood_word(chance: Chance) -> str | None:
    """Return the likelihood word of a chance; None where it bears none, see `likelihood_among`."""
    return likelihood_among(chance.probability, chance.by_change or chance.runs, chance.at_least)


def estimate_chance(count: int, runs: int, confidence: float = CONFIDENCE) -> Chance:
    """Return the chance of what happened in `count` of `runs`, with its exact binomial interval.

    Notes
    -----
    That of `scipy.stats.binomtest`, which the tests hold it to; see `binomial` for why it is not called.
    """
    return Chance(count, runs, count / runs, *_exact(count, runs - count, confidence))


def chance_among(happened: Sequence[bool], cube: int | None = None, confidence: float = CONFIDENCE) -> Chance:
    """Return the chance of what happened in some of the runs.

    Parameters
    ----------
    happened : sequence of bool
        Whether it did, for each run, in order of run.
    cube : int, optional
        Runs of one hypercube, where they were sampled in hypercubes: each so many in turn are one. Default: each is
        independent.
    confidence : float

    Returns
    -------
    Chance
        With fewer than two whole hypercubes there is no interval: it reaches from 0 to 1, and its method says so.

    Raises
    ------
    ValueError
        If there are more than two hypercubes, but not whole ones.
    """
    count, runs = sum(map(bool, happened)), len(happened)
    if cube is None:
        return estimate_chance(count, runs, confidence)
    effective, share = effective_runs(happened, cube, confidence), count / runs
    if effective is None:
        return Chance(count, runs, share, 0.0, 1.0, TOO_FEW_CUBES)
    return Chance(count, runs, share, *_exact(share * effective, (1.0 - share) * effective, confidence), METHOD_OF_CUBES)


def _exact(count: float, other: float, confidence: float) -> tuple[float, float]:
    tail = (1.0 - confidence) / 2
    low = _least(count, other, tail) if count else 0.0
    high = 1.0 - _least(other, count, tail) if other else 1.0
    return low, high


def _least(count: float, other: float, tail: float) -> float:
    """Return the chance under which `count` or more are as likely as `tail`, where there were `other` besides."""
    if isinstance(count, int) and isinstance(other, int) and count + other <= MOST:
        return least_chance(count, count + other, tail)
    from scipy.special import betaincinv

    return float(betaincinv(count, other + 1, tail))
