"""How likely is what was seen, at many sets of levels at once?

A sum of many rows or rounds is taken as lognormal with the mean and the variance that the row-time law, or the levels, give it.
Where nobody wrote the hours of a shift, they are those of drawn skies, each as likely as the others.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.chance.posterior import Levels
from simulation.construction.learning.hours_at_work import ShiftHours
from simulation.construction.learning.observed import Observed, RowsDone, ShareSeen, Spent
from simulation.construction.learning.row_moments import RowMoments, variation
from simulation.construction.learning.stretches import Stretch, stretch_of
from simulation.construction.plan.plan import Plan, Scatter
from simulation.scenario.types.uncertainty.distributions import Constant

Array = NDArray[float64]

#: How exactly hours are read off a watch and written down, as a share of them. Planning value.
_READ_TO = 0.01
#: Least standard deviation of the share of the clock's hours that crews lay, over a whole log. Planning value.
_LEAST_SPREAD = 0.03


@dataclass(frozen=True)
class Seen:
    """What a group of evidence comes to, for whoever asks whether a scenario holds it possible.

    Attributes
    ----------
    what : str
        What was seen, in words.
    keys : tuple of str
        The levels that would be widened for it, the first one first.
    touches : frozenset of str
        All levels that it depends on.
    ratio : array
        What was seen over what was to be expected, at each set of levels.
    below : array
        The chance of as little as that, or less, at each set.
    """

    what: str
    keys: tuple[str, ...]
    touches: frozenset[str]
    ratio: Array
    below: Array


@dataclass(frozen=True)
class LogLikelihood:
    """The likelihood of some evidence.

    Attributes
    ----------
    stretches : tuple of Stretch
    spent : tuple of Spent
    seen_shares : tuple of ShareSeen
    fixed : tuple of ShareSeen
        Of shares that the scenario holds for known.
    scatters : dict of str to float or str
    shares : tuple of (float, float)
        Share of the clock's hours that crews lay, and how likely it is: one for the whole log, where nobody wrote hours.
    uneven : float
        Standard deviation of that share from shift to shift.
    """

    stretches: tuple[Stretch, ...]
    spent: tuple[Spent, ...]
    seen_shares: tuple[ShareSeen, ...]
    fixed: tuple[ShareSeen, ...]
    scatters: dict[str, Scatter]
    shares: tuple[tuple[float, float], ...] = ((1.0, 1.0),)
    uneven: float = 0.0

    @property
    def keys(self) -> frozenset[str]:
        """The levels that it depends on."""
        keys = {key for stretch in self.stretches for key in stretch.keys} | {share.key for share in self.seen_shares}
        for spent in self.spent:
            keys |= {*spent.keys, *([spent.efficiency] if spent.efficiency else [])}
        return frozenset(keys)

    def log(self, levels: Levels) -> Array:
        """Return the log likelihood at each of some sets of levels."""
        from scipy.special import xlog1py, xlogy  # a plan without a log needs none of it

        total: Array = np.zeros(len(next(iter(levels.values()))))
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            shares, chances = np.array(self.shares).T
            by_clock: Array = np.log(chances)[:, None] + np.zeros_like(total)
            for stretch, row in self._rows(levels):
                mean, variance = stretch.expected(levels, row)
                if stretch.by_clock:
                    by_clock += _of_stretch(stretch, mean, variance + (self.uneven * stretch.mean) ** 2, shares)
                else:
                    total = total + _of_stretch(stretch, mean, variance, np.ones(1))[0]
            total = total + np.logaddexp.reduce(by_clock, axis=0)
            for spent in self.spent:
                of_hours = _log_most if spent.at_most else _log_density
                total = total + of_hours(spent.hours, *self._moments(spent, levels))
            for seen in self.seen_shares:
                share = levels[seen.key]
                total = total + xlogy(seen.hits, share) + xlog1py(seen.of - seen.hits, -share)
        return total

    def look(self, levels: Levels) -> list[Seen]:
        """Return what each group of evidence comes to beside what was to be expected."""
        from scipy.special import bdtr

        groups: list[Seen] = []
        rows_seen = [(stretch, row) for stretch, row in self._rows(levels) if stretch.rows and not stretch.waited]
        if rows_seen:
            parts = [stretch.expected(levels, row) for stretch, row in rows_seen]
            usual = sum(share * chance for share, chance in self.shares)
            spread = sum((share - usual) ** 2 * chance for share, chance in self.shares)
            clock = sum(stretch.mean for stretch, _ in rows_seen if stretch.by_clock)
            hours = sum(stretch.mean for stretch, _ in rows_seen) - (1.0 - usual) * clock
            rows = sum(stretch.rows for stretch, _ in rows_seen)
            weather = sum(stretch.variance for stretch, _ in rows_seen) + spread * clock**2
            what = f"{rows:,} rows in {'about ' if clock else ''}{hours:,.1f} h of work{' by the clock' if clock else ''}"
            touches = frozenset(key for stretch, _ in rows_seen for key in stretch.keys)
            groups.append(_seen(what, ("laying.efficiency", "laying.place"), touches, hours, parts, weather))
        for keys in dict.fromkeys(spent.keys for spent in self.spent if not spent.at_most):
            some = [spent for spent in self.spent if spent.keys == keys and not spent.at_most]
            rounds, hours = sum(spent.count for spent in some), sum(spent.hours for spent in some)
            what = f"{rounds:,} times {' and '.join(_short(key) for key in keys)} in {hours:,.1f} h"
            touches = frozenset({*keys, *(spent.efficiency for spent in some if spent.efficiency)})
            groups.append(_seen(what, keys, touches, hours, [self._moments(spent, levels) for spent in some]))
        shares = (*self.seen_shares, *self.fixed)
        for key in dict.fromkeys(seen.key for seen in shares):
            hits, of = (sum(getattr(seen, name) for seen in shares if seen.key == key) for name in ("hits", "of"))
            share = levels[key]
            fewer = bdtr(hits - 1, of, share) if hits else np.zeros_like(share)
            below = np.asarray(0.5 * (fewer + bdtr(hits, of, share)))
            with np.errstate(divide="ignore", invalid="ignore"):
                groups.append(Seen(f"{hits:,} of {of:,} ({_short(key)})", (key,), frozenset({key}), hits / (of * share), below))
        return groups

    def _rows(self, levels: Levels) -> Iterator[tuple[Stretch, tuple[Array, Array]]]:
        known: dict[int, tuple[Array, Array]] = {}
        for stretch in self.stretches:
            if id(stretch.moments) not in known:
                known[id(stretch.moments)] = stretch.moments.of(levels)
            yield stretch, known[id(stretch.moments)]

    def _moments(self, spent: Spent, levels: Levels) -> tuple[Array, Array]:
        by = 1.0 if spent.efficiency is None else levels[spent.efficiency]
        parts = [(levels[key] / by, variation(self.scatters[key])) for key in spent.keys]
        each = sum((level for level, _ in parts), start=np.zeros(1))
        variance = spent.count * sum((scatter * level**2 for level, scatter in parts), start=np.zeros(1))
        mean = spent.count * (each + spent.besides)
        return mean, variance + spent.side_by_side * each**2 / 6.0 + (spent.unsure * mean) ** 2


#: Asked for shifts of crews: the share of the clock's hours of each that they lay, in some runs; NaN where there is none.
AtWork = Callable[[Sequence[tuple[int, float, float]]], Array]


def likelihood_of(plan: Plan, evidence: Sequence[Observed], at_work: AtWork | None = None) -> LogLikelihood:
    """Return the likelihood of evidence from a job by a plan; `at_work` as `lessons.learn` has it."""
    shifts = ShiftHours(plan)
    stretches = _shared([stretch_of(plan, seen, shifts) for seen in evidence if isinstance(seen, RowsDone)])
    seen_shares = [seen for seen in evidence if isinstance(seen, ShareSeen) and seen.of]
    known = {level.key for level in plan.levels if isinstance(level.level, Constant)}
    return LogLikelihood(
        tuple(stretch for stretch in stretches if stretch.mean > 0.0),
        tuple(seen for seen in evidence if isinstance(seen, Spent)),
        tuple(seen for seen in seen_shares if seen.key not in known),
        tuple(seen for seen in seen_shares if seen.key in known),
        plan.scatters,
        *_shares_at_work(evidence, at_work),
    )


def _shares_at_work(evidence: Sequence[Observed], at_work: AtWork | None) -> tuple[tuple[tuple[float, float], ...], float]:
    """Return which share of the clock's hours crews may have laid over the whole log, and how uneven that is by shift."""
    shifts = {
        (seen.crew, seen.start, seen.end)
        for seen in evidence
        if isinstance(seen, RowsDone) and seen.hours is None and seen.lost is None and not seen.waited
    }
    if at_work is None or not shifts:
        return ((1.0, 1.0),), 0.0
    runs = at_work(sorted(shifts))
    runs_laying = [run[~np.isnan(run)] for run in runs]
    means = np.array([run.mean() for run in runs_laying if len(run)])
    if not len(means):
        return ((1.0, 1.0),), 0.0
    scores, chances = np.polynomial.hermite_e.hermegauss(7)
    spread = max(float(means.std()), _LEAST_SPREAD)
    shares = np.clip(means.mean() + spread * scores, 0.05, 1.0)
    uneven = float(np.mean([run.std() for run in runs_laying if len(run)]))
    return tuple(zip(shares.tolist(), (chances / chances.sum()).tolist(), strict=True)), uneven


def _shared(stretches: list[Stretch]) -> list[Stretch]:
    """Return the stretches, those of the same area and people with one object for their rows."""
    known: list[RowMoments] = []
    for stretch in stretches:
        if not any(stretch.moments == moments for moments in known):
            known.append(stretch.moments)
    return [replace(stretch, moments=next(shared for shared in known if shared == stretch.moments)) for stretch in stretches]


def _of_stretch(stretch: Stretch, mean: Array, variance: Array, shares: Array) -> Array:
    """Return the log likelihood of rows laid in some shares of the hours that there were, or that the sky may have left.

    An array of shares, sets of levels. Hours in which nothing could be laid are none of those in which something was.
    """
    hours, chances = np.array(stretch.hours).T
    centre, spread = _lognormal(mean, variance)
    score = (np.log(np.outer(shares, hours))[:, :, None] - centre) / spread
    if not stretch.rows:  # the row was not done in all this time
        likely = _log_normal_share(-score)
    else:
        likely = _log_normal_share(score) if stretch.waited else -0.5 * score**2 - np.log(spread)
        likely = np.where(hours[None, :, None] > 0.0, likely, -np.inf)
    likelihood: Array = np.logaddexp.reduce(likely + np.log(chances)[None, :, None], axis=1)
    return likelihood


def _seen(
    what: str,
    keys: tuple[str, ...],
    touches: frozenset[str],
    hours: float,
    parts: list[tuple[Array, Array]],
    more: float = 0.0,
) -> Seen:
    from scipy.special import ndtr

    mean, variance = (np.sum([part[part_number] for part in parts], axis=0) for part_number in (0, 1))
    return Seen(what, keys, touches, hours / mean, ndtr(_score(hours, mean, variance + more)))


def _lognormal(mean: Array, variance: Array) -> tuple[Array, Array]:
    spread = np.log1p(np.maximum(variance / mean**2, _READ_TO**2))
    return np.log(mean) - 0.5 * spread, np.sqrt(spread)


def _score(hours: float, mean: Array, variance: Array) -> Array:
    centre, spread = _lognormal(mean, variance)
    return (math.log(hours) - centre) / spread


def _log_density(hours: float, mean: Array, variance: Array) -> Array:
    centre, spread = _lognormal(mean, variance)
    density: Array = -0.5 * ((math.log(hours) - centre) / spread) ** 2 - np.log(spread)
    return density


def _log_most(hours: float, mean: Array, variance: Array) -> Array:
    """Return the log of the chance of so many hours, or fewer."""
    return _log_normal_share(_score(hours, mean, variance))


def _log_normal_share(score: Array) -> Array:
    from scipy.special import log_ndtr

    log_share: Array = log_ndtr(score)
    return log_share


def _short(key: str) -> str:
    return key.rpartition(".")[2].replace("_", " ")
