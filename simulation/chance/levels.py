"""What nobody knows today: one value for a whole run.

Each level turns a standard normal score into a value by its quantile function, so that levels can move together: those that
bear one shared name have scores with the stated correlation (a Gaussian copula).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.chance.hypercube import SAMPLINGS, stratified
from simulation.scenario.types.distributions import Constant, Lognormal, Pert, Records, Tabulated

if TYPE_CHECKING:
    from simulation.chance.streams import Streams
    from simulation.scenario.types.uncertain import Uncertain


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
        drawn[plan.key] = plan.level.quantile(score)
    return drawn


def _alone(luck: Streams, purpose: str, owner: str) -> float:
    return float(luck.stream(purpose, owner).standard_normal())
