"""Bets on a chance that know how lucky runs were: each run is held against what its levels let expect.

Half of what decides whether a run is on time are values that are drawn once a run from distributions which the scenario states.
So the chance of being on time that a run's values let expect is known, and so is its mean over all runs there could be. What is
left to be learned from runs is only by how much they miss what was expected, which scatters much less than late and on time do.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.stats.confidence_sequence import find_border

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

#: Parts of the most that can be lost which are staked on each run. Planning values: chances that lie two to ten points from what
#: is asked for are found soon by one of them, and each more of them that finds nothing costs runs.
_STAKES = (0.8, 0.4, 0.2)
#: Part of all runs that what is learned leaves over, at the least.
_LEFT_OVER = 1.0 / 3.0
#: Scores whose squares and products count, too: where a wait passes from one hand to another, the logarithm of hours bends.
#: Planning value: more of them say no more of the shipped scenario, where three halve what is left to luck.
_BENT = 3
#: Points on each axis over which a chance is summed up, from one end to the other in standard deviations. With so many the sum
#: holds to a ten thousandth, as the tests have it.
_POINTS, _END = 41, 6.0


@dataclass(frozen=True)
class Expected:
    """What the scores of a run let expect: hours whose logarithm is normal around a sum of them and of a few products.

    Attributes
    ----------
    mean : float
        Logarithm of the hours of a run, where the sum is nothing.
    slopes : array of float
        Of the logarithm, for one of each score: levels multiply hours.
    bends : tuple of (int, int, float)
        Of which two scores a product counts, and how much: both the same for a square.
    scatter : float
        Standard deviation of the logarithm around that sum.
    """

    mean: float
    slopes: NDArray[np.float64]
    bends: tuple[tuple[int, int, float], ...]
    scatter: float

    @classmethod
    def fit(cls, scores: NDArray[np.float64], hours: NDArray[np.float64]) -> Expected | None:
        """Return what runs teach; None where there are too few of them for what there is to learn, or where nothing scatters."""
        import numpy as np

        runs, count = scores.shape
        most = int((1.0 - _LEFT_OVER) * runs) - 1
        values = np.log(np.maximum(hours, 1e-9))
        if not 0 < count <= most or not np.ptp(values):
            return None
        order = np.argsort(-np.abs(_learn(scores, values)[1]), kind="stable")
        bent = order[:_BENT].tolist()
        pairs = [(first, second) for index, first in enumerate(bent) for second in bent[index:]]
        pairs = pairs if len(pairs) + len(bent) <= most else []
        straight = np.sort(order[: most - len(pairs)])
        columns = [scores[:, straight], *(scores[:, [first]] * scores[:, [second]] for first, second in pairs)]
        mean, fitted, scatter = _learn(np.column_stack(columns), values)
        slopes = np.zeros(count)
        slopes[straight] = fitted[: len(straight)]
        bends = zip(pairs, fitted[len(straight) :].tolist(), strict=True)
        return cls(mean, slopes, tuple((*pair, bend) for pair, bend in bends if bend), scatter)

    def _sum(self, scores: NDArray[np.float64]) -> NDArray[np.float64]:
        expected: NDArray[np.float64] = self.mean + scores @ self.slopes
        for first, second, bend in self.bends:
            expected = expected + bend * scores[:, first] * scores[:, second]
        return expected

    def every(self, limit: float) -> float:
        """Return the chance of being on time that is expected of a run of which nothing is known, its scores standard normal.

        Scores that enter straight add to the scatter; over those that bend it is summed up by the trapezoid rule, which is as
        good as exact for what falls off like a normal density and is no steeper than its points are apart.
        """
        import numpy as np
        from scipy.special import ndtr

        bent = sorted({score for first, second, _ in self.bends for score in (first, second)})
        straight = np.delete(self.slopes, bent)
        wide = math.sqrt(self.scatter**2 + float(straight @ straight))
        axis = np.linspace(-_END, _END, _POINTS)
        each = np.exp(-(axis**2) / 2.0) / np.exp(-(axis**2) / 2.0).sum()
        along = {score: axis.reshape([-1 if other == score else 1 for other in bent]) for score in bent}
        hours = np.asarray(self.mean + sum(self.slopes[score] * along[score] for score in bent))
        for first, second, bend in self.bends:
            hours = hours + bend * along[first] * along[second]
        chances = ndtr((math.log(limit) - hours) / wide)
        for _ in bent:
            chances = chances @ each
        return float(chances)

    def surprises(self, scores: NDArray[np.float64], on_time: NDArray[np.float64], limit: float) -> NDArray[np.float64]:
        """Return for each run by how much it is more on time than expected, plus the chance of an expected run.

        Where the scores are independent and standard normal, its mean is the chance of being on time, however bad the fit is.
        """
        from scipy.special import ndtr

        expected = ndtr((math.log(limit) - self._sum(scores)) / self.scatter)
        each: NDArray[np.float64] = on_time - expected + self.every(limit)
        return each


def _learn(columns: NDArray[np.float64], values: NDArray[np.float64]) -> tuple[float, NDArray[np.float64], float]:
    """Return mean, slopes and scatter by least squares, each slope drawn towards zero by as much as chance may have made of it.

    The factor on each slope is that of the nonnegative garrote, Breiman 1995, Technometrics 37 (from memory): most levels do
    nothing, and a few do nearly all.
    """
    import numpy as np

    runs, count = columns.shape
    design = np.column_stack([np.ones(runs), columns])
    inverse = np.linalg.pinv(design.T @ design)
    found = inverse @ (design.T @ values)
    left, slopes = values - design @ found, found[1:]
    errors = float(left @ left) / (runs - count - 1) * np.diag(inverse)[1:]
    kept = np.maximum(0.0, 1.0 - errors / np.maximum(slopes**2, 1e-300))
    slopes = kept * slopes
    mean = float((values - columns @ slopes).mean())
    left = values - mean - columns @ slopes
    scatter = math.sqrt(float(left @ left) / (runs - 1.0 - float(kept.sum())))
    return mean, slopes, max(scatter, 1e-3 * float(values.std()))


def interval_by_bets(surprises: NDArray[np.float64], every: NDArray[np.float64], error: float) -> tuple[float, float]:
    """Return the ends of an interval of a chance, which may be looked at after any number of runs.

    Parameters
    ----------
    surprises : array of float
        Of runs of which something was expected before they were done, see `Expected.surprises`; where nothing was: 1 for a run in
        which it happened, 0 for another.
    every : array of float
        For each of these, the chance that was expected of any run: a surprise lies at most 1 from it.
    error : float
        Chance that the lower end ever lies above the true chance, at most; and that the upper end ever lies below it.

    Notes
    -----
    A chance is left out below where somebody who stakes a part of his wealth on each run being above that chance has multiplied
    it by one over the error; and above likewise. The part is the mean over several fixed ones, so that no gap has to be known
    beforehand (Waudby-Smith & Ramdas 2024, Journal of the Royal Statistical Society B 86, estimating means by betting; from
    memory). The wealth is a martingale of mean 1 where the chance is the true one, and falls on average where the truth lies on
    the other side: so of the two ends only one can be wrong about a chance that is asked for, and each may have the whole error.
    It holds for any number of runs, not for many alone. The expected part is a control variate whose mean is known.
    """
    if not len(surprises):
        return 0.0, 1.0
    enough = math.log(1.0 / error)
    inside = min(max(float(surprises.mean()), 1e-9), 1.0 - 1e-9)

    def border(outside: float, above: bool) -> float:
        return find_border(outside, inside, lambda chance: log_wealth(surprises, every, chance, above) <= enough)

    return border(0.0, above=True), border(1.0, above=False)


def log_wealth(surprises: NDArray[np.float64], every: NDArray[np.float64], chance: float, above: bool) -> float:
    """Return the logarithm of what bets on the true chance lying above, or below, some chance have made of one."""
    import numpy as np

    # The most that a run can cost is 1 + |every - chance|; so the wealth falls as the chance that is doubted comes nearer.
    gains = (surprises - chance if above else chance - surprises) / (1.0 + np.abs(every - chance))
    wealth = [float(np.log1p(stake * gains).sum()) for stake in _STAKES]
    most = max(wealth)
    return most + math.log(math.fsum(math.exp(each - most) for each in wealth) / len(wealth))
