"""How much of the spread does one input explain alone, and does more of it mean later or earlier?

Both are read off runs that are there already, whatever luck they had beside the input. RBD-FAST sorts the runs by the input
and counts as its share what then swings slowly (Tarantola, Gatelli & Mara 2006, Reliability Engineering and System Safety 91;
sorting after the fact: Plischke 2010, the same 95): it sees effects of any shape. The rank correlation tells the direction, and
misses what rises and falls.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.stats.quantiles import CONFIDENCE

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np
    from numpy.typing import NDArray

#: Slow swings that count for the input: the method's usual number.
HARMONICS = 10
#: Fewer runs are not told by RBD-FAST: a fifth of all swings would count for an input that does nothing. Planning value.
LEAST = 10 * HARMONICS
#: Halves of the runs that the interval is read off. Planning value: its width errs by a tenth.
_HALVES = 100
#: Their own seed, so that the same runs give the same interval.
_SEED = 1
#: A rank correlation beyond this is perfect but for rounding.
_PERFECT = 1.0 - 1e-12
#: Of the search for a number of runs: more are never asked for.
_MOST = 10_000_000


@dataclass(frozen=True)
class Share:
    """What share of the spread one input explains alone: its first-order index.

    Attributes
    ----------
    value : float
        Corrected for the share that pure noise would be given, so that it can come out below 0.
    low, high : float
        Ends of its interval, not beyond 0 and 1.
    measurable : bool
        Whether an input that does nothing would get so large a share only with the chance that the confidence leaves, over all
        inputs that are looked at together.
    """

    value: float
    low: float
    high: float
    measurable: bool


@dataclass(frozen=True)
class RankCorrelation:
    """Spearman's rank correlation of one input with the outcome, and the same of it."""

    value: float
    low: float
    high: float
    measurable: bool


def first_order(values: NDArray[np.float64], outcome: NDArray[np.float64]) -> tuple[Share, ...]:
    """Return the share of the outcome's variance that each input explains alone, by RBD-FAST.

    Parameters
    ----------
    values : array of float, runs × inputs
        Only their order matters.
    outcome : array of float, runs
        Finite.

    Returns
    -------
    tuple of Share
        One for each input.

    Raises
    ------
    ValueError
        If there are fewer than `LEAST` runs, or all outcomes are the same.

    Notes
    -----
    `SALib.analyze.rbd_fast`, corrected for bias (Tissot & Prieur 2012, Reliability Engineering and System Safety 107). Luck that
    is no input takes part in the spread: where its variance is f times that of all inputs, it turns each index S into S/(1 + f).

    The interval is the usual 1.96 standard deviations of the index among halves of the runs drawn without replacement, which
    differ from each other as much as all runs do from the truth. (The library's own interval draws halves with replacement:
    runs drawn twice look like slow swings, and it comes out up to twice too wide.) For small shares it errs on the wide side.
    Sharp bends are cut off with the faster swings, so large shares come out a few percent too small. With an input that does
    nothing the order of the runs is pure chance, and the uncorrected share is distributed as beta(M, (n − 1)/2 − M): M of
    (n − 1)/2 frequencies.
    """
    import numpy as np

    runs, inputs = values.shape
    if runs < LEAST:
        raise ValueError(f"outcome(={runs} values) must have {LEAST} at least")
    if outcome.max() == outcome.min():
        raise ValueError("outcome must not be the same throughout")
    # A half in which all outcomes happen to be the same tells nothing.
    halves = [half for half in _halves(runs) if outcome[half].max() > outcome[half].min()]
    of_halves = np.array([_indices(values[half], outcome[half]) for half in halves])
    reach = _normal((1.0 + CONFIDENCE) / 2) * (of_halves.std(axis=0, ddof=1) if len(halves) > 1 else np.full(inputs, math.inf))
    least = least_measurable(runs, inputs)
    return tuple(
        Share(index, min(max(index - far, 0.0), 1.0), min(max(index + far, 0.0), 1.0), index > least)
        for index, far in zip(_indices(values, outcome), reach.tolist(), strict=True)
    )


def _indices(values: NDArray[np.float64], outcome: NDArray[np.float64]) -> list[float]:
    from SALib.analyze import rbd_fast  # type: ignore[import-untyped]

    # What `rbd_fast.analyze` does for an index, without the interval that it draws each time.
    shares = (rbd_fast.compute_first_order(rbd_fast.permute_outputs(column, outcome), HARMONICS) for column in values.T)
    return [float(rbd_fast.unskew_S1(share, HARMONICS, len(outcome))) for share in shares]


def least_measurable(runs: int, inputs: int) -> float:
    """Return the smallest share that can be measurable with so many runs, when so many inputs are looked at together."""
    from scipy.special import betaincinv

    chance = (1.0 - CONFIDENCE) / inputs
    share = float(betaincinv(HARMONICS, (runs - 1) / 2 - HARMONICS, 1.0 - chance))
    given = 2 * HARMONICS / runs
    return share - given / (1.0 - given) * (1.0 - share)


def runs_to_detect(share: float, inputs: int) -> int:
    """Return how many runs it takes to detect so small a share, more often than not."""
    return bisect_left(range(_MOST), -share, lo=LEAST, key=lambda runs: -least_measurable(runs, inputs))


def _halves(runs: int) -> list[NDArray[np.int64]]:
    """Return which runs are in each of the halves that show how much a measure differs from sample to sample."""
    import numpy as np

    luck = np.random.default_rng(_SEED)
    return [luck.permutation(runs)[: runs // 2] for _ in range(_HALVES)]


def rank_correlation(values: Sequence[float], outcome: Sequence[float], inputs: int = 1) -> RankCorrelation | None:
    """Return Spearman's rank correlation of an input with the outcome; None where either is the same throughout.

    Parameters
    ----------
    values, outcome : sequence of float
        One for each run; an outcome may be infinite, which ranks last.
    inputs : int
        How many are looked at together: each is measurable at its part of the confidence.

    Notes
    -----
    The interval is Fisher's, with the variance (1 + r²/2)/(n − 3) that holds for ranks where the effect goes one way (Bonett &
    Wright 2000, Psychometrika 65(1), from memory), or with that among halves of the runs if it is larger, as it is where an
    effect rises and falls.
    """
    import numpy as np
    from scipy.stats import rankdata

    first, second = rankdata(values), rankdata(outcome)
    if len(first) < 2 or first.max() == first.min() or second.max() == second.min():
        return None
    value = float(_correlations(first[np.newaxis], second[np.newaxis])[0])
    if len(first) < 4:
        return RankCorrelation(value, -1.0, 1.0, False)
    if abs(value) > _PERFECT:  # it has no spread left
        end = math.copysign(1.0, value)
        return RankCorrelation(end, end, end, True)
    halves = np.array(_halves(len(first)))
    of_halves = _correlations(rankdata(first[halves], axis=1), rankdata(second[halves], axis=1))
    among_halves = float(np.std(np.arctanh(np.clip(of_halves, -_PERFECT, _PERFECT)), ddof=1))
    middle, error = math.atanh(value), max(math.sqrt((1.0 + value * value / 2.0) / (len(first) - 3)), among_halves)
    reach = _normal((1.0 + CONFIDENCE) / 2) * error
    significant = abs(middle) > _normal(1.0 - (1.0 - CONFIDENCE) / inputs / 2) * error
    return RankCorrelation(value, math.tanh(middle - reach), math.tanh(middle + reach), significant)


def told_apart(values: NDArray[np.float64], outcome: NDArray[np.float64], shares: bool) -> list[bool]:
    """Return whether the effect of the first input is measurably larger than that of each other one.

    Parameters
    ----------
    values : array of float, runs × inputs
        Only their order matters.
    outcome : array of float, runs
        Finite for shares; for rank correlations it may be infinite, which ranks last.
    shares : bool
        Whether effects are compared by `first_order`, or by the size of `rank_correlation`.

    Returns
    -------
    list of bool
        One for each input but the first.

    Notes
    -----
    Paired: both effects are read off the same runs, so that it is their difference that must be 1.96 of its own standard
    deviations from 0, as it has them among halves of the runs drawn without replacement (as for the interval of `first_order`).
    """
    import numpy as np
    from scipy.stats import rankdata

    halves = _halves(len(outcome))
    if shares:
        halves = [half for half in halves if outcome[half].max() > outcome[half].min()]
        all_runs = np.array(_indices(values, outcome))
        of_halves = np.array([_indices(values[half], outcome[half]) for half in halves])
    else:

        def ranked(runs: NDArray[np.int64] | slice) -> NDArray[np.float64]:
            ranks = rankdata(values[runs], axis=0).T
            return _correlations(ranks, np.broadcast_to(rankdata(outcome[runs]), ranks.shape))

        signed = ranked(slice(None))
        all_runs, of_halves = np.abs(signed), np.array([ranked(half) for half in halves]) * np.sign(signed)
    apart = all_runs[:1] - all_runs[1:]
    spread = np.std(of_halves[:, :1] - of_halves[:, 1:], axis=0, ddof=1) if len(halves) > 1 else math.inf
    told: list[bool] = (np.abs(apart) > _normal((1.0 + CONFIDENCE) / 2) * spread).tolist()
    return told


def _correlations(first: NDArray[np.float64], second: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the correlation of each pair of rows; 0 where one of them is the same throughout."""
    import numpy as np

    a, b = (sample - sample.mean(axis=1, keepdims=True) for sample in (first, second))
    spread = np.sqrt((a * a).sum(axis=1) * (b * b).sum(axis=1))
    correlation: NDArray[np.float64] = (a * b).sum(axis=1) / np.where(spread > 0, spread, 1.0)
    return correlation


def _normal(share: float) -> float:
    from statistics import NormalDist

    return NormalDist().inv_cdf(share)
