"""What are the levels of a run once work has begun? One draw for each run of what scenario and evidence say together.

Levels are standard normal scores underneath, so the draws are made there, by elliptical slice sampling (Murray, Adams & MacKay
2010, "Elliptical slice sampling", PMLR 9: 541-548), which needs no step length. A chain belongs to a run: it begins at the
run's own scores, carried over to a normal distribution that is fitted to the posterior beforehand (Nishihara, Murray & Adams
2014, "Parallel MCMC with generalized elliptical slice sampling", JMLR 15: 2087-2112; both from memory). The fit makes the chains
quick; what they end in does not rest on it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Protocol

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.chance.levels import LevelPlan, ScoreOf, draw_scores, levels_at, score_at, scores_of
from simulation.chance.streams import Streams
from simulation.scenario.types.uncertainty.distributions import Constant, Lognormal, Records, Tabulated
from simulation.scenario.types.uncertainty.pert_tables import REACH

Array = NDArray[float64]
Levels = Mapping[str, Array]

#: Steps of each chain, and how often a step may try again: each try halves, or better, what is left of its ellipse.
STEPS, TRIES = 24, 60
#: Runs whose chains are worked out together; none depends on the others.
BLOCK = 100
#: Points of the fit in each round, rounds at the most, and the share of the points that must count in each.
_POINTS, _ROUNDS, _COUNT = 1500, 25, 0.05
#: How much wider the fitted normal distribution is made: a chain would stick where it falls off sooner than the posterior.
_WIDER = 1.2


class Impossible(ValueError):
    """What was seen cannot be by any levels that the scenario holds possible."""


class Likelihood(Protocol):
    """How likely what was seen is, given levels."""

    @property
    def keys(self) -> frozenset[str]:
        """The levels that it depends on."""

    def log(self, levels: Levels) -> Array:
        """Return the log likelihood at each of some sets of levels, up to a constant; −inf where it cannot be."""


@dataclass(frozen=True)
class Learned:
    """Scenario and evidence together: from which every worker draws the levels of a run.

    Attributes
    ----------
    levels : tuple of LevelPlan
        Those that the likelihood depends on, known ones included.
    scores : tuple of ScoreOf
        The scores that are drawn anew; all others stay the run's own.
    likelihood : Likelihood
    centre : tuple of float
    spread : tuple of tuple of float
        Lower triangular: of the normal distribution fitted to the posterior.
    """

    levels: tuple[LevelPlan, ...]
    scores: tuple[ScoreOf, ...]
    likelihood: Likelihood
    centre: tuple[float, ...]
    spread: tuple[tuple[float, ...], ...]

    def at(self, scores: Array) -> dict[str, Array]:
        """Return the levels by key at rows of scores."""
        # Nothing depends on a score that is not drawn: its level moves with others altogether.
        by_owner = {score: np.zeros(len(scores)) for plan in self.levels for score in scores_of(plan)}
        by_owner |= dict(zip(self.scores, scores.T, strict=True))
        return {plan.key: values_at(plan, by_owner, len(scores)) for plan in self.levels}

    def log_density(self, scores: Array) -> Array:
        """Return the log of prior times likelihood at rows of scores, up to a constant."""
        density: Array = self.likelihood.log(self.at(scores)) - 0.5 * (scores**2).sum(axis=1)
        return np.where(np.isnan(density), -np.inf, density)

    def chains(self, luck: Sequence[Streams], sampling: str) -> Array:
        """Return the scores of the chains of some runs, step by step: an array of steps + 1, runs, scores."""
        size, count = len(self.scores), len(luck)
        centre, spread = np.array(self.centre), np.array(self.spread)
        at = np.empty((count, size))
        around, levels, angles = np.empty((STEPS, count, size)), np.empty((STEPS, count)), np.empty((STEPS, TRIES, count))
        for number, streams in enumerate(luck):
            own = draw_scores(self.levels, streams, sampling)
            at[number] = [own[score] for score in self.scores]
            stream = streams.stream("learning")
            around[:, number] = stream.standard_normal((STEPS, size))
            levels[:, number] = stream.random(STEPS)
            angles[:, :, number] = stream.random((STEPS, TRIES))

        def weight(points: Array) -> Array:
            """Return the log of the posterior over that of the fitted distribution."""
            log_weight: Array = self.log_density(centre + points @ spread.T) + 0.5 * (points**2).sum(axis=1)
            return log_weight

        path = np.empty((STEPS + 1, count, size))
        path[0], now = at, weight(at)
        for step in range(STEPS):
            at, now = _slice(at, now, around[step], levels[step], angles[step], weight)
            path[step + 1] = at
        scores: Array = centre + path @ spread.T
        return scores

    def draw(self, plans: Sequence[LevelPlan], luck: Streams, sampling: str) -> dict[str, float]:
        """Return the levels of one run: those of its draw from the posterior, and the run's own where nothing was learned."""
        number, index = divmod(luck.run_number, BLOCK)
        drawn = _block(_Same(self), luck.seed, number, sampling)[index]
        return levels_at(plans, {**draw_scores(plans, luck, sampling), **dict(zip(self.scores, drawn.tolist(), strict=True))})


class _Same:
    """Finds a posterior again by what it is: it holds arrays, which have no hash."""

    def __init__(self, learned: Learned) -> None:
        self.learned = learned

    def __hash__(self) -> int:
        return hash((self.learned.centre, self.learned.spread))

    def __eq__(self, other: object) -> bool:
        mine = self.learned
        return isinstance(other, _Same) and (mine.centre, mine.spread) == (other.learned.centre, other.learned.spread)


@lru_cache(maxsize=8)
def _block(same: _Same, seed: int, number: int, sampling: str) -> Array:
    luck = [Streams(seed, number * BLOCK + index) for index in range(BLOCK)]
    last: Array = same.learned.chains(luck, sampling)[-1]
    return last


def _slice(
    at: Array, now: Array, around: Array, level: Array, angles: Array, weight: Callable[[Array], Array]
) -> tuple[Array, Array]:
    """Return points one step on, and their weights."""
    with np.errstate(divide="ignore"):
        least = now + np.log(level)
    turn = angles[0] * 2.0 * math.pi
    low, high = turn - 2.0 * math.pi, turn.copy()
    points, weights = at.copy(), now.copy()
    left = np.arange(len(at))
    for tried in range(1, len(angles)):
        point = at[left] * np.cos(turn[left])[:, None] + around[left] * np.sin(turn[left])[:, None]
        there = weight(point)
        fits = there > least[left]
        points[left[fits]], weights[left[fits]] = point[fits], there[fits]
        left = left[~fits]
        if not len(left):
            break
        below = turn[left] < 0.0
        low[left[below]], high[left[~below]] = turn[left[below]], turn[left[~below]]
        turn[left] = low[left] + angles[tried, left] * (high[left] - low[left])
    return points, weights


def values_at(plan: LevelPlan, scores: Mapping[ScoreOf, Array], count: int) -> Array:
    """Return the values of one level at arrays of scores."""
    level = plan.level
    if isinstance(level, Constant):
        return np.full(count, level.value)
    score = score_at(plan, scores)
    if isinstance(level, Lognormal):
        low, high = level.quantile(0.0), level.quantile(1.0)
        value: Array = low * np.exp(math.log(high / low) * score)
        return value
    if isinstance(level, Tabulated):
        return np.interp(score, np.linspace(-REACH, REACH, len(level.values)), level.values)
    assert isinstance(level, Records)
    from scipy.special import ndtr

    places = np.minimum((ndtr(score) * len(level.values)).astype(np.intp), len(level.values) - 1)
    return np.array(level.values)[places]


def learn(plans: Sequence[LevelPlan], likelihood: Likelihood, seed: int) -> Learned | None:
    """Return what evidence makes of some levels, or None where it touches none that is uncertain.

    Parameters
    ----------
    plans : sequence of LevelPlan
        All levels of the scenario.
    likelihood : Likelihood
    seed : int
        Of the points that the fit takes.

    Notes
    -----
    A normal distribution is fitted by importance sampling in rounds, tempered so that enough points count in each: that
    needs no slopes, which records and the longest of several times do not have everywhere.
    """
    asked = tuple(plan for plan in plans if plan.key in likelihood.keys)
    scores = tuple(dict.fromkeys(score for plan in asked for score in scores_of(plan) if _counts(plan, score)))
    if not scores:
        return None
    size = len(scores)
    centre: Array = np.zeros(size)
    spread: Array = np.eye(size)
    stream, even = Streams(seed, 0).stream("learning", "fit"), 0
    learned = Learned(asked, scores, likelihood, tuple(centre.tolist()), _rows(spread))
    for _ in range(_ROUNDS):
        points = stream.standard_normal((_POINTS, size))
        at = centre + points @ spread.T
        weight = learned.log_density(at) + 0.5 * (points**2).sum(axis=1)
        share, counts = _tempered(weight)
        centre = counts @ at
        away = at - centre
        spread = np.asarray(np.linalg.cholesky((counts[:, None] * away).T @ away * _WIDER**2 + 1e-9 * np.eye(size)), float64)
        even = even + 1 if share == 1.0 else 0
        if even == 3:
            break
    return Learned(asked, scores, likelihood, tuple(centre.tolist()), _rows(spread))


def _counts(plan: LevelPlan, score: ScoreOf) -> bool:
    """Return whether a score moves a level at all."""
    return plan.shared_by is None or (plan.loading > 0.0 if score[0] == "shared level" else plan.loading < 1.0)


def _rows(matrix: Array) -> tuple[tuple[float, ...], ...]:
    return tuple(tuple(row) for row in matrix.tolist())


def _tempered(weight: Array) -> tuple[float, Array]:
    """Return the power of the weights, 1 at the most, at which enough points count, and their shares."""
    best = weight.max()
    if not np.isfinite(best):
        raise Impossible("no levels that the scenario holds possible give what was seen")
    low, high = 0.0, 2.0
    share: Array
    for _ in range(30):
        power = min(1.0, 0.5 * (low + high))
        share = np.exp(power * (weight - best))
        share /= share.sum()
        if 1.0 / (share**2).sum() < _COUNT * len(weight):
            high = power
        elif power == 1.0:
            break
        else:
            low = power
    return power, share
