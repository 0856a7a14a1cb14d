"""What nobody knows today: one value for a whole run.

Each level turns a standard normal score into a value by its quantile function, so that levels can move together: those that
bear one shared name have scores with the stated correlation (a Gaussian copula).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from simulation.chance.hypercube import SAMPLINGS, stratified
from simulation.chance.streams import Streams
from simulation.scenario.types.uncertain import Constant, Level, Lognormal, Pert, Records, Uncertain

_Z90 = 1.2815515655446004
#: Points of the table that a PERT quantile is read from, evenly spaced in score between ± _REACH.
_POINTS, _REACH = 1024, 5.0


@dataclass(frozen=True)
class Tabulated:
    """A quantile function as a table, so that whoever draws from it needs no library of special functions."""

    values: tuple[float, ...]


@dataclass(frozen=True)
class LevelPlan:
    """One level to draw: its key, its distribution, and with what it moves."""

    key: str
    level: Constant | Lognormal | Records | Tabulated
    shared_by: str | None
    loading: float

    @classmethod
    def of(cls, key: str, quantity: Uncertain) -> LevelPlan:
        """Return the plan for one uncertain quantity; two that share with correlation c load the shared score by √c."""
        level = quantity.level
        plain = Tabulated(_pert_table(level.low, level.mode, level.high)) if isinstance(level, Pert) else level
        return cls(key, plain, quantity.shared_by, math.sqrt(quantity.correlation))


def draw_levels(plans: Iterable[LevelPlan], luck: Streams, sampling: str = "random") -> dict[str, float]:
    """Return the levels of one run by key.

    Parameters
    ----------
    plans : iterable of LevelPlan
        Known levels cost no draw.
    luck : Streams
        The run's streams; each level has its own, under its key, and each shared name one.
    sampling : str
        ``"random"``: the run's scores are its own; ``"lhs"``: its part of a Latin hypercube (see `hypercube`). Shared scores
        are stratified as well, so levels move together as much either way.

    Raises
    ------
    ValueError
        If there is no such sampling.
    """
    if sampling not in SAMPLINGS:
        raise ValueError(f"sampling(={sampling!r}) must be one of {', '.join(SAMPLINGS)}")
    score_of, own, common_to = (
        (stratified, "hypercube", "shared hypercube") if sampling == "lhs" else (_alone, "level", "shared level")
    )
    shared: dict[str, float] = {}
    drawn: dict[str, float] = {}
    for plan in plans:
        if isinstance(plan.level, Constant):
            drawn[plan.key] = plan.level.value
            continue
        score = score_of(luck, own, plan.key)
        if plan.shared_by is not None:
            common = shared.get(plan.shared_by)
            if common is None:
                common = shared[plan.shared_by] = score_of(luck, common_to, plan.shared_by)
            score = plan.loading * common + math.sqrt(1.0 - plan.loading**2) * score
        drawn[plan.key] = quantile(plan.level, score)
    return drawn


def _alone(luck: Streams, purpose: str, owner: str) -> float:
    return float(luck.stream(purpose, owner).standard_normal())


def quantile(level: Level | Tabulated, score: float) -> float:
    """Return the value of a level at a standard normal score.

    Notes
    -----
    PERT is the beta distribution on [low, high] with shapes 1 + 4 (mode − low)/(high − low) and 1 + 4 (high − mode)/(high − low);
    its quantile function is read off a table, to within 1e-5 of its range for scores up to ± 5, and held there beyond (chance
    6e-7). Records are read off as order statistics.
    """
    match level:
        case Constant(value):
            return value
        case Lognormal(p10, p90):
            middle, spread = 0.5 * (math.log(p10) + math.log(p90)), (math.log(p90) - math.log(p10)) / (2 * _Z90)
            return math.exp(middle + spread * score)
        case Pert(low, mode, high):
            return quantile(Tabulated(_pert_table(low, mode, high)), score)
        case Tabulated(table):
            place = min(max((score + _REACH) / (2 * _REACH), 0.0), 1.0) * _POINTS
            below = min(int(place), _POINTS - 1)
            return table[below] + (place - below) * (table[below + 1] - table[below])
        case Records(values):
            share = 0.5 * math.erfc(-score / math.sqrt(2.0))
            return values[min(int(share * len(values)), len(values) - 1)]


@cache
def _pert_table(low: float, mode: float, high: float) -> tuple[float, ...]:
    import numpy as np
    from scipy.special import betaincinv, ndtr

    scores = np.linspace(-_REACH, _REACH, _POINTS + 1)
    rise = 1 + 4 * (mode - low) / (high - low), 1 + 4 * (high - mode) / (high - low)
    return tuple((low + (high - low) * betaincinv(*rise, ndtr(scores))).tolist())


def mean(quantity: Uncertain) -> float:
    """Return the expected value of a level, for plans that are made before anything is drawn."""
    match quantity.level:
        case Constant(value):
            return value
        case Lognormal(p10, p90):
            spread = (math.log(p90) - math.log(p10)) / (2 * _Z90)
            return math.sqrt(p10 * p90) * math.exp(0.5 * spread**2)
        case Pert(low, mode, high):
            return (low + 4 * mode + high) / 6
        case Records(values):
            return sum(values) / len(values)
