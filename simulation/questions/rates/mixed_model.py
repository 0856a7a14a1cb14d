"""How much of what varies lies between jobs, and how much within each? One-way random effects by restricted maximum likelihood.

Times are positive and skewed to the right, so their logarithms are taken. The restricted likelihood of the one-way layout stands
in closed form, for jobs of different length too; what the next job is like follows from Student's t with one degree of freedom
less than there are jobs, since a handful of jobs does not say exactly how much jobs vary. Records of which the end was not seen
are right-censored (scipy's `CensoredData`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy import float64
from numpy.typing import NDArray

Array = NDArray[float64]

#: Share of intervals that hold what they are about.
CONFIDENCE = 0.9


@dataclass(frozen=True)
class Spread:
    """A standard deviation of logarithms, with its interval."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class JobFit:
    """What records say of a time or a share.

    Attributes
    ----------
    jobs, records, still : int
        `still` are those whose end was not seen.
    middle, middle_low, middle_high : float
        Geometric mean over jobs, with its interval; where there is one job, of that job.
    between : Spread or None
        Between jobs; None where there is one job.
    within : Spread or None
        From record to record within a job; None where each job has one.
    spread_of_next, freedom : float
        Standard deviation of the logarithm of a next job's level around the middle, and the degrees of freedom of its t
        distribution; 0 and 0 where there is one job.
    """

    jobs: int
    records: int
    still: int
    middle: float
    middle_low: float
    middle_high: float
    between: Spread | None
    within: Spread | None
    spread_of_next: float
    freedom: int

    @property
    def variation(self) -> float | None:
        """The coefficient of variation within a job."""
        return None if self.within is None else math.sqrt(math.expm1(self.within.value**2))

    @property
    def level(self) -> float:
        """The level of a job in the middle: the mean of its records, that of a lognormal scatter around it."""
        return self.middle * math.exp(0.5 * (self.within.value if self.within else 0.0) ** 2)

    @property
    def level_interval(self) -> tuple[float, float]:
        """The interval of the level."""
        return self.middle_low * self.level / self.middle, self.middle_high * self.level / self.middle

    def next_job(self, chance: float) -> float:
        """Return the level that a next job stays below with a chance; only where there are several jobs."""
        from scipy.stats import t

        return self.level * math.exp(float(t.ppf(chance, self.freedom)) * self.spread_of_next)


def fit_jobs(jobs: Sequence[Sequence[float]], weights: Sequence[Sequence[float]], still: Sequence[Sequence[bool]]) -> JobFit:
    """Return what the records of some jobs say.

    Parameters
    ----------
    jobs : sequence of sequence of float
        The records of each job, above zero.
    weights : sequence of sequence of float
        How many rows (trips) each record is the mean of.
    still : sequence of sequence of bool
        Whether the end of each was not seen.

    Raises
    ------
    ValueError
        If records are still under way where several jobs have several, or none is over.
    """
    if any(map(any, still)):
        return _censored(jobs, still)
    logs = [np.log(np.array(job, dtype=float64)) for job in jobs]
    shares = [np.array(weight, dtype=float64) for weight in weights]
    sums = np.array([share.sum() for share in shares])
    means = np.array([(log * share).sum() / total for log, share, total in zip(logs, shares, sums, strict=True)])
    squares = sum(float((share * (log - mean) ** 2).sum()) for log, share, mean in zip(logs, shares, means, strict=True))
    freedom = sum(len(job) for job in jobs) - len(jobs)
    if len(jobs) == 1:
        return _of_one_job(means[0], squares, freedom, float(sums[0]))
    if not freedom:  # one record a job: what varies, varies between jobs
        spread = float(means.std(ddof=1))
        low, high = _of_variance(spread**2, len(jobs) - 1)
        return _made(jobs, means.mean(), Spread(spread, low, high), None, spread**2 / len(jobs))
    between, within, deviance = _reml(means, sums, squares, freedom)
    ends = [_profile_end(deviance, between, within, side) for side in (-1, 1)]
    low, high = _of_variance(within, freedom)
    shares_of = 1.0 / (between + within / sums)
    middle = float((shares_of * means).sum() / shares_of.sum())
    return _made(
        jobs,
        middle,
        Spread(math.sqrt(between), *map(math.sqrt, ends)),
        Spread(math.sqrt(within), low, high),
        float(1.0 / shares_of.sum()),
    )


def _made(jobs: Sequence[Sequence[float]], middle: float, between: Spread, within: Spread | None, variance: float) -> JobFit:
    from scipy.stats import t

    freedom = len(jobs) - 1
    half = float(t.ppf(0.5 + CONFIDENCE / 2, freedom)) * math.sqrt(variance)
    spread = math.sqrt(between.value**2 + variance)
    ends = math.exp(middle), math.exp(middle - half), math.exp(middle + half)
    return JobFit(len(jobs), sum(map(len, jobs)), 0, *ends, between, within, spread, freedom)


def _of_one_job(mean: float, squares: float, freedom: int, weight: float) -> JobFit:
    if not freedom:
        return JobFit(1, 1, 0, *(math.exp(mean),) * 3, None, None, 0.0, 0)
    from scipy.stats import t

    within = squares / freedom
    low, high = _of_variance(within, freedom)
    half = float(t.ppf(0.5 + CONFIDENCE / 2, freedom)) * math.sqrt(within / weight)
    ends = math.exp(mean), math.exp(mean - half), math.exp(mean + half)
    return JobFit(1, freedom + 1, 0, *ends, None, Spread(math.sqrt(within), low, high), 0.0, 0)


def _reml(means: Array, sums: Array, squares: float, freedom: int) -> tuple[float, float, Any]:
    """Return the variances between and within jobs, and minus twice the restricted log likelihood as a function of them."""
    from scipy.optimize import minimize

    def deviance(between: float, within: float) -> float:
        of_means = between + within / sums
        shares = 1.0 / of_means
        middle = (shares * means).sum() / shares.sum()
        total = freedom * math.log(within) + squares / within + float(np.log(of_means).sum())
        return total + float((shares * (means - middle) ** 2).sum()) + math.log(float(shares.sum()))

    scale = max(squares / freedom, 1e-12)
    begin = [math.log(max(float(means.var(ddof=1)), 1e-3 * scale)), math.log(scale)]
    minimised: Any = minimize  # its stubs know of no options but those of all methods
    exactly = {"xatol": 1e-9, "fatol": 1e-10}
    best = minimised(lambda at: deviance(*np.exp(at).tolist()), begin, method="Nelder-Mead", options=exactly)
    between, within = np.exp(best.x).tolist()
    none = minimised(lambda at: deviance(0.0, *np.exp(at).tolist()), begin[1:], method="Nelder-Mead", options=exactly)
    if none.fun <= best.fun + 1e-9:
        between, within = 0.0, math.exp(none.x[0])
    return between, within, deviance


def _profile_end(deviance: Any, between: float, within: float, side: int) -> float:
    """Return an end of the variance between jobs: where twice the log likelihood has fallen by what a chi-square allows."""
    from scipy.optimize import brentq, minimize_scalar
    from scipy.stats import chi2

    allowed = float(chi2.ppf(CONFIDENCE, 1))

    def profile(at: float) -> float:
        best = minimize_scalar(lambda log: deviance(at, math.exp(log)), bracket=(math.log(within), math.log(within) + 0.1))
        return float(best.fun)

    lowest = profile(between)

    def beyond(at: float) -> float:
        return profile(at) - lowest - allowed

    if side < 0:
        if between == 0.0 or beyond(0.0) <= 0.0:
            return 0.0
        return float(brentq(beyond, 0.0, between))
    far = max(between, 0.01 * within)
    while beyond(far) < 0.0:
        far *= 4.0
    return float(brentq(beyond, between, far))


def _of_variance(variance: float, freedom: int) -> tuple[float, float]:
    """Return the ends of a standard deviation by the chi-square distribution of its square."""
    from scipy.stats import chi2

    ends = (float(chi2.ppf(0.5 + side * CONFIDENCE / 2, freedom)) for side in (1, -1))
    low, high = (math.sqrt(variance * freedom / end) for end in ends)
    return low, high


def _censored(jobs: Sequence[Sequence[float]], still: Sequence[Sequence[bool]]) -> JobFit:
    """Return the fit where some ends were not seen: maximum likelihood of one lognormal, for one job or one record a job."""
    from scipy.stats import CensoredData, lognorm

    values = np.array([value for job in jobs for value in job])
    ongoing = np.array([time for job in still for time in job])
    if len(jobs) > 1 and len(values) > len(jobs):
        raise ValueError("records still under way can be used of one job, or of jobs with one record each")
    over = int((~ongoing).sum())
    if over < 2:
        raise ValueError("fewer than two records are over")
    spread, _, middle = lognorm.fit(CensoredData(values[~ongoing], right=values[ongoing]), floc=0)
    whole = spread**2 * over / (over - 1)
    low, high = _of_variance(whole, over - 1)
    wide = Spread(math.sqrt(whole), low, high)
    if len(jobs) == 1:
        single = _of_one_job(math.log(middle), whole * (over - 1), over - 1, over)
        return JobFit(
            1, len(values), int(ongoing.sum()), single.middle, single.middle_low, single.middle_high, None, wide, 0.0, 0
        )
    counted = [[float(value)] for value in values[~ongoing]]
    fit = _made(counted, math.log(middle), wide, None, whole / over)
    return JobFit(**{**vars(fit), "jobs": len(jobs), "records": len(values), "still": int(ongoing.sum())})
