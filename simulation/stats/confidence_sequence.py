"""Is a chance at least what is asked for, as far as this many runs tell? An interval that may be looked at after every run.

An ordinary interval is wrong in one case of twenty for a number of runs that was fixed before. Who looks again and again, and
stops when he likes what he sees, is wrong far more often. A confidence sequence is a row of intervals, one for each number of
runs, and the chance that *any* of them misses the true value is at most its error level: so one may stop at any of them.
"""

from __future__ import annotations

import math
from collections.abc import Callable

#: Weight of the prior, in runs: how strongly the sequence is made for chances near the asked one. Planning value.
PRIOR_RUNS = 10.0
#: Halvings that find an end of an interval: beyond these a number of Python does not change.
_HALVINGS = 60


def evidence_against(chance: float, count: int, runs: int, asked: float) -> float:
    """Return the logarithm of the evidence that `count` of `runs` give against a true chance.

    Parameters
    ----------
    chance : float
        The one that is doubted, between 0 and 1.
    count, runs : int
        In how many of how many builds it happened.
    asked : float
        The chance that is asked for; it places the prior, beta(10 asked, 10 (1 − asked)).

    Notes
    -----
    The evidence is the likelihood of the runs in order under the prior over that under `chance`. Where `chance` is the true
    one, that ratio is a martingale of mean 1, which ever exceeds 1/α with a chance of at most α (Ville's inequality): Robbins
    (1970), Annals of Mathematical Statistics 41 (from memory).

    Examples
    --------
    >>> round(evidence_against(0.8, 90, 100, 0.8), 3)
    2.509
    """
    first, second = PRIOR_RUNS * asked, PRIOR_RUNS * (1.0 - asked)
    other = runs - count
    log_chance = count * math.log(chance) if count else 0.0
    log_other = other * math.log1p(-chance) if other else 0.0
    return _log_beta(first + count, second + other) - _log_beta(first, second) - log_chance - log_other


def sequence_interval(count: int, runs: int, asked: float, error: float) -> tuple[float, float]:
    """Return the ends of the interval after so many runs: the chances that the evidence is not enough against.

    Parameters
    ----------
    count, runs, asked
        As in `evidence_against`.
    error : float
        Chance that any interval of the sequence misses the true value, at most.

    Examples
    --------
    >>> low, high = sequence_interval(90, 100, asked=0.8, error=0.05)
    >>> round(low, 4), round(high, 4)
    (0.789, 0.9658)
    """
    if not runs:
        return 0.0, 1.0
    enough = math.log(1.0 / error)

    def kept(chance: float) -> bool:
        return evidence_against(chance, count, runs, asked) <= enough

    # The evidence falls up to the share that was seen, where it is never enough, and rises from there.
    share = count / runs
    low = find_border(0.0, share, kept) if count else 0.0
    high = find_border(1.0, share, kept) if count < runs else 1.0
    return low, high


def find_border(outside: float, inside: float, kept: Callable[[float], bool]) -> float:
    """Return the last number that is kept on the way from one that is to one that is not."""
    for _ in range(_HALVINGS):
        middle = (outside + inside) / 2
        if not 0.0 < middle < 1.0 or middle in (outside, inside):
            break
        outside, inside = (outside, middle) if kept(middle) else (middle, inside)
    return inside


def _log_beta(first: float, second: float) -> float:
    return math.lgamma(first) + math.lgamma(second) - math.lgamma(first + second)
