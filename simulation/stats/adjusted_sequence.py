"""A confidence sequence of a chance that knows how lucky its runs were: they are held against what their levels let expect.

Half of what decides whether a run is on time are values that are drawn once a run from distributions which the scenario states.
So the chance of being on time that a run's values let expect is known, and so is its mean over all runs there could be. What is
left to be learned from runs is only by how much they miss what was expected, which scatters much less than late and on time do.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.stats.confidence_sequence import evidence_against, find_border, sequence_interval

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

#: Parts of the wealth that are staked on each run: the most, and each half of the one before. A surprise lies at most 2 from any
#: chance, so that less than half can always be staked. Planning value: gaps from one point on are found soon by one of them.
_MOST_STAKED, _STAKES = 0.45, 5


@dataclass(frozen=True)
class Expected:
    """What the scores of a run let expect: hours that are normal around a sum of them.

    Attributes
    ----------
    mean : float
        Hours of a run whose scores are all zero.
    slopes : array of float
        Hours for one of each score.
    scatter : float
        Standard deviation of the hours around that sum.
    """

    mean: float
    slopes: NDArray[np.float64]
    scatter: float

    @classmethod
    def fit(cls, scores: NDArray[np.float64], hours: NDArray[np.float64]) -> Expected | None:
        """Return what runs teach: least squares, drawn towards no slope by as much as chance may have made of them.

        None where there are too few runs for so many scores, or where nothing scatters. The factor on the slopes is that of
        James & Stein 1961, Proceedings of the Fourth Berkeley Symposium 1 (from memory).
        """
        import numpy as np

        runs, count = scores.shape
        free = runs - count - 1
        if not count or free < runs / 2:
            return None
        design = np.column_stack([np.ones(runs), scores])
        fitted = np.linalg.lstsq(design, hours, rcond=None)[0]
        left = hours - design @ fitted
        variance, slopes = float(left @ left) / free, fitted[1:]
        explained = float(slopes @ slopes)
        if not explained:
            return None
        kept = max(0.0, 1.0 - max(0, count - 2) * variance / (runs * explained))
        scatter = math.sqrt(variance + (1.0 - kept) * explained)
        return cls(float(fitted[0]), kept * slopes, max(scatter, 1e-6 * math.sqrt(explained)))

    def surprises(self, scores: NDArray[np.float64], on_time: NDArray[np.float64], limit: float) -> NDArray[np.float64]:
        """Return for each run by how much it is more on time than expected, plus the chance of an expected run.

        Where the scores are independent and standard normal, its mean is the chance of being on time, however bad the fit is.
        """
        from scipy.special import ndtr

        wide = math.sqrt(self.scatter**2 + float(self.slopes @ self.slopes))
        every = float(ndtr((limit - self.mean) / wide))
        each: NDArray[np.float64] = on_time - ndtr((limit - self.mean - scores @ self.slopes) / self.scatter) + every
        return each


@dataclass(frozen=True)
class Seen:
    """What runs say of a chance.

    Attributes
    ----------
    on_time : array of float
        1 for each run in which it happened, 0 for each other, in order of run.
    surprises : array of float
        Of the last ones, of which something was expected before they were done; see `Expected.surprises`.
    """

    on_time: NDArray[np.float64]
    surprises: NDArray[np.float64]

    @property
    def first(self) -> int:
        """How many runs nothing was expected of."""
        return len(self.on_time) - len(self.surprises)

    def count(self, upto: int) -> int:
        """Return in how many of the first runs it happened."""
        return round(float(self.on_time[:upto].sum()))


def adjusted_interval(seen: Seen, asked: float, error: float) -> tuple[float, float]:
    """Return the ends of the interval after so many runs, the share that was seen always within it.

    Parameters
    ----------
    seen : Seen
    asked : float
        The chance that is asked for.
    error : float
        Chance that any interval of the sequence misses the true value, at most.

    Notes
    -----
    Half of the evidence against a chance is that of the plain sequence, half that of bets on the surprises, which go on from what
    the first runs gave: the wealth of who stakes a fixed part of it on each of them being above, or below, that chance, over
    several parts (Waudby-Smith & Ramdas 2024, Journal of the Royal Statistical Society B 86, estimating means by betting; from
    memory). Each is a martingale of mean 1 where the chance is the true one, and so is their mean; it holds for any number of
    runs, not for many alone. The expected part is a control variate whose mean is known.
    """
    runs = len(seen.on_time)
    count = seen.count(runs)
    if not len(seen.surprises):
        return sequence_interval(count, runs, asked, error)
    enough, share = math.log(1.0 / error), count / runs
    middle = (seen.count(seen.first) + float(seen.surprises.sum())) / runs
    inside = min((share, middle), key=lambda chance: adjusted_evidence(seen, chance, asked) if 0.0 < chance < 1.0 else math.inf)

    def kept(chance: float) -> bool:
        return adjusted_evidence(seen, chance, asked) <= enough

    if not 0.0 < inside < 1.0 or not kept(inside):
        return sequence_interval(count, runs, asked, error / 2.0)
    return min(share, find_border(0.0, inside, kept)), max(share, find_border(1.0, inside, kept))  # what was seen is told, too


def adjusted_evidence(seen: Seen, chance: float, asked: float) -> float:
    """Return the logarithm of the evidence against a chance, of both kinds together."""
    import numpy as np

    runs = len(seen.on_time)
    plain = evidence_against(chance, seen.count(runs), runs, asked)
    before = evidence_against(chance, seen.count(seen.first), seen.first, asked)
    away = seen.surprises - chance
    stakes = [sign * _MOST_STAKED * 0.5**step for sign in (-1.0, 1.0) for step in range(_STAKES)]
    wealth = [float(np.log1p(stake * away).sum()) for stake in stakes]
    most = max(wealth)
    bets = before + most + math.log(math.fsum(math.exp(stake - most) for stake in wealth) / len(wealth))
    return max(plain, bets) + math.log1p(math.exp(-abs(plain - bets))) - math.log(2.0)
