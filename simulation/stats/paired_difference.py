"""What does another plan change? Differences between runs under the same luck, number by number, with their intervals.

Run k of one plan has the luck of run k of the other, so most of what chance does to both cancels in the difference.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache, partial
from typing import TYPE_CHECKING, Any

from simulation.stats.quantiles import CONFIDENCE, order_statistic, rank_of_share

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    #: Given a plan's values and a number of resamples, what they come to in each of these.
    Resampled = Callable[[tuple[float, ...], int], NDArray[np.float64]]
    #: Given values, the same in another measure that rises with them.
    Counted = Callable[[NDArray[np.float64]], NDArray[np.float64]]

#: Resamples of the bootstrap. Planning value: the ends of an interval move by a few percent of its width from seed to seed.
RESAMPLES = 2000
#: Resamples that lie beyond both ends of an interval, at least: one of high confidence is drawn from more. Planning value.
_BEYOND = 40
#: Runs that must jump a night before a mean difference is given. Planning value; a test measures what it leaves wrong.
FEWEST_JUMPS = 20
#: With fewer runs no difference counts as measured: resampling so few covers too seldom. Measured on invented plans: the 95 %
#: interval for P80 covers in 67 % of cases with 3 runs, 83 % with 5, 94 % with 10 and 96 % with 20.
FEWEST = 20
#: The bootstrap's own seed, so that the same runs give the same interval.
_SEED = 1
#: Numbers drawn at once by the bootstrap, so that many runs need little memory.
_AT_ONCE = 4_000_000


@dataclass(frozen=True)
class Difference:
    """A difference between two plans, the second less the first.

    Attributes
    ----------
    value : float or None
        None where either is not known, because it lies after the last day simulated.
    low, high : float or None
        Ends of its paired interval.
    withheld : bool
        Whether it is not given because too few runs say it.
    """

    value: float | None
    low: float | None
    high: float | None
    withheld: bool = False

    @property
    def measurable(self) -> bool:
        """Whether its interval leaves zero out."""
        return self.low is not None and self.high is not None and (self.low > 0 or self.high < 0)

    @property
    def above_zero(self) -> bool:
        """Whether its whole interval lies above zero."""
        return self.low is not None and self.low > 0

    def lies_within(self, margin: float) -> bool:
        """Return whether its whole interval lies within a margin on either side of zero."""
        return self.low is not None and self.high is not None and -margin <= self.low and self.high <= margin

    def __neg__(self) -> Difference:
        """Return the difference the other way round: the first less the second."""
        value, low, high = (None if number is None else 0.0 - number for number in (self.value, self.high, self.low))
        return Difference(value, low, high, self.withheld)


UNKNOWN = Difference(None, None, None)
WITHHELD = Difference(None, None, None, withheld=True)


def measured(change: Difference, runs: int) -> Difference:
    """Return a change without its resampled interval where fewer than `FEWEST` runs say it, unless no run says another."""
    if runs >= FEWEST or change.low == change.high == 0.0:
        return change
    return Difference(change.value, None, None, change.withheld)


def difference_of_quantiles(
    first: Sequence[float], second: Sequence[float], share: float, confidence: float = CONFIDENCE, counted: Counted | None = None
) -> Difference:
    """Return the difference of a quantile, with the interval of the paired bootstrap.

    Parameters
    ----------
    first, second : sequence of float
        Hours of the same runs under either plan, infinite where one was not done.
    share : float
        0.8 for P80.
    confidence : float
    counted : callable, optional
        What both quantiles are counted in, such as hours on shift; the quantile of what is counted is what the quantile counts,
        since it rises with the hours. Default: hours.

    Notes
    -----
    The paired percentile bootstrap, to the digits of `scipy.stats.bootstrap`. A resample is held as how often each run stands in
    it, which all plans that are compared in as many runs have in common. Where the plans move together closely it covers more
    often than it promises: an interval is then wider than it need be. With fewer than ten builds it covers less often than it
    promises.
    """
    ends = [order_statistic(values, share) for values in (first, second)]
    if not all(math.isfinite(end) for end in ends):
        return UNKNOWN
    before, after = ends if counted is None else _count_in(counted, ends)
    return Difference(after - before, *_bootstrap(first, second, partial(resample_quantile, share=share), confidence, counted))


def difference_of_chances(first: Sequence[bool], second: Sequence[bool], confidence: float = CONFIDENCE) -> Difference:
    """Return the difference of the chance that something happens, with the interval of the paired bootstrap."""
    value = (sum(second) - sum(first)) / len(first)
    return Difference(
        value, *_bootstrap([float(hit) for hit in first], [float(hit) for hit in second], _resample_share, confidence)
    )


def difference_of_means(
    first: Sequence[float], second: Sequence[float], confidence: float = CONFIDENCE, jump: float | None = None
) -> Difference:
    """Return the difference of the mean, with the interval of Student's paired t; unknown where a run was not done.

    Parameters
    ----------
    first, second, confidence
        As in `difference_of_quantiles`.
    jump : float, optional
        Hours by which a run jumps where the plans are a night or a day of rest apart for it. Then the difference is withheld
        unless `FEWEST_JUMPS` runs do, or none differs at all. Default: nothing jumps.

    Notes
    -----
    Where a few runs in a hundred jump and the others hardly move, those few make up most of the mean, and neither Student's
    interval nor a bootstrap sees those that did not happen: for 18 against 20 people on the first-look strip (2.2 % of runs
    jump) they cover in 72 and 70 % of cases with 60 runs, 85 and 80 % with 100, 91 and 95 % with 200.
    """
    from scipy.special import stdtrit

    each = [b - a for a, b in zip(first, second, strict=True)]
    if not all(math.isfinite(change) for change in each):
        return UNKNOWN
    count, mean = len(each), math.fsum(each) / len(each)
    if not any(each):
        return Difference(0.0, 0.0, 0.0)
    if count < 2:
        return WITHHELD
    if jump is not None and sum(abs(change) > jump for change in each) < FEWEST_JUMPS:
        return WITHHELD
    error = math.sqrt(math.fsum((change - mean) ** 2 for change in each) / (count - 1) / count)
    reach = float(stdtrit(count - 1, (1.0 + confidence) / 2)) * error
    return Difference(mean, mean - reach, mean + reach)


def _count_in(counted: Counted, values: Sequence[float]) -> list[float]:
    import numpy as np

    numbers: list[float] = counted(np.array(values)).tolist()
    return numbers


def _bootstrap(
    first: Sequence[float], second: Sequence[float], resampled: Resampled, confidence: float, counted: Counted | None = None
) -> tuple[float | None, float | None]:
    """Return the ends of a paired percentile interval; None where a resample reaches after the last day simulated."""
    import numpy as np

    before, after = tuple(first), tuple(second)
    if len(before) < 2:
        return None, None
    if before == after:  # nothing to resample: to these runs the plans are one and the same
        return 0.0, 0.0
    resamples = max(RESAMPLES, math.ceil(_BEYOND / (1.0 - confidence)))
    with np.errstate(invalid="ignore"):  # resamples that reach after the last day simulated are told by their ends
        ends = [resampled(values, resamples) for values in (before, after)]
        first_drawn, second_drawn = ends if counted is None else (counted(end) for end in ends)
        drawn = second_drawn - first_drawn
        share = (1.0 - confidence) / 2.0
        low, high = np.quantile(drawn, (share, 1.0 - share)).tolist()
    return (low, high) if math.isfinite(low) and math.isfinite(high) else (None, None)


@lru_cache(maxsize=64)
def resample_quantile(values: tuple[float, ...], resamples: int, *, share: float) -> NDArray[np.float64]:
    """Return a quantile of a plan in each resample; it is kept, since a plan is held against many."""
    import numpy as np

    hours, rank = np.array(values, dtype=float), rank_of_share(len(values), share)
    order = np.argsort(hours, kind="stable")
    return np.concatenate(
        [
            hours[order[(np.cumsum(counts[order], axis=0, dtype=counts.dtype) < rank).sum(axis=0)]]
            for counts in _resample_counts(len(values), resamples)
        ]
    )


def _resample_share(values: tuple[float, ...], resamples: int) -> NDArray[np.float64]:
    """Return the share of a plan's runs in which something happened, in each resample."""
    import numpy as np

    happened = np.array(values) > 0.0
    return np.concatenate([counts[happened].sum(axis=0) / len(values) for counts in _resample_counts(len(values), resamples)])


def _resample_counts(runs: int, resamples: int) -> Iterator[NDArray[np.integer[Any]]]:
    """Yield how often each run stands in each resample, run by resample, in parts that need little memory."""
    if runs * resamples <= _AT_ONCE:
        yield _first_counts(runs, resamples)
        return
    import numpy as np

    rng, at_once = np.random.default_rng(_SEED), max(1, _AT_ONCE // runs)
    for begun in range(0, resamples, at_once):
        yield _count(rng, runs, min(at_once, resamples - begun))


@lru_cache(maxsize=8)
def _first_counts(runs: int, resamples: int) -> NDArray[np.integer[Any]]:
    """Return the counts of all resamples at once: plans that are compared in as many runs have the same."""
    import numpy as np

    return _count(np.random.default_rng(_SEED), runs, resamples)


def _count(rng: np.random.Generator, runs: int, resamples: int) -> NDArray[np.integer[Any]]:
    import numpy as np

    drawn = rng.integers(0, runs, (resamples, runs))
    drawn *= resamples
    drawn += np.arange(resamples)[:, np.newaxis]
    counts = np.bincount(drawn.ravel(), minlength=runs * resamples).reshape(runs, resamples)
    return counts.astype(np.int16 if runs < np.iinfo(np.int16).max else np.int32)  # the narrower, the quicker summed
