"""What nobody knows today: one value for a whole run.

Each level turns a standard normal score into a value by its quantile function, so that levels can move together: those that
bear one shared name have scores with the stated correlation (a Gaussian copula).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from numpy import float64
from numpy.typing import NDArray

from simulation.chance.hypercube import SAMPLINGS, stratified
from simulation.scenario.types.uncertainty.distributions import Constant, Lognormal, Pert, Records, Tabulated

if TYPE_CHECKING:
    from simulation.chance.streams import Streams
    from simulation.scenario.types.uncertainty.uncertain import Uncertain

Score = TypeVar("Score", float, NDArray[float64])


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
        plain = level.tabulated() if isinstance(level, Pert) else level  # no special functions in a worker
        return cls(key, plain, quantity.shared_by, math.sqrt(quantity.correlation))


#: Whose a standard normal score is: the purpose and the owner of the stream that it comes from.
ScoreOf = tuple[str, str]


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
    known = tuple(plans)
    return levels_at(known, draw_scores(known, luck, sampling))


def draw_scores(plans: Iterable[LevelPlan], luck: Streams, sampling: str = "random") -> dict[ScoreOf, float]:
    """Return the standard normal scores behind the levels of one run; see `draw_levels`."""
    if sampling not in SAMPLINGS:
        raise ValueError(f"sampling(={sampling!r}) must be one of {', '.join(SAMPLINGS)}")
    score_of, before = (stratified, "hypercube") if sampling == "lhs" else (_alone, "level")
    scores: dict[ScoreOf, float] = {}
    for plan in plans:
        for purpose, owner in scores_of(plan):
            if (purpose, owner) not in scores:
                scores[purpose, owner] = score_of(luck, purpose.replace("level", before), owner)
    return scores


def scores_of(plan: LevelPlan) -> tuple[ScoreOf, ...]:
    """Return whose scores make up one level: its own, and the one that it shares; none where it is known."""
    if isinstance(plan.level, Constant):
        return ()
    own = ("level", plan.key)
    return (own,) if plan.shared_by is None else (own, ("shared level", plan.shared_by))


def score_at(plan: LevelPlan, scores: Mapping[ScoreOf, Score]) -> Score:
    """Return the score of an uncertain level, as its own score and the shared one make it up; numbers or arrays of them."""
    own = scores["level", plan.key]
    if plan.shared_by is None:
        return own
    return plan.loading * scores["shared level", plan.shared_by] + math.sqrt(1.0 - plan.loading**2) * own


def levels_at(plans: Iterable[LevelPlan], scores: Mapping[ScoreOf, float]) -> dict[str, float]:
    """Return the levels by key that some scores stand for."""
    return {
        plan.key: plan.level.value if isinstance(plan.level, Constant) else plan.level.quantile(score_at(plan, scores))
        for plan in plans
    }


def _alone(luck: Streams, purpose: str, owner: str) -> float:
    return float(luck.stream(purpose, owner).standard_normal())
