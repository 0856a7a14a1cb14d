"""What did a log teach? Level by level what the scenario held and what is held now, and where the two contradict each other."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.chance import LevelPlan, Streams
from simulation.chance.levels import draw_scores, scores_of
from simulation.chance.posterior import STEPS, Learned, values_at
from simulation.chance.posterior import learn as learn_levels
from simulation.construction.learning.likelihood import AtWork, LogLikelihood, Seen, likelihood_of
from simulation.construction.learning.observed_in_log import observed_in
from simulation.construction.plan.plan import Plan
from simulation.scenario.site_log.evidence import Evidence
from simulation.scenario.types.mistakes import Mistake
from simulation.scenario.types.uncertainty.distributions import Constant

Array = NDArray[float64]

_Z90 = 1.2815515655446004
#: What a scenario held less likely than this contradicts it. Planning value: one log in two hundred would, were all as held.
_CONTRADICTS = 0.005
#: Draws by the scenario alone that stand for what it holds possible.
_HELD = 2000
#: Levels of which more is quicker: rates and shares.
_QUICKER = ("laying.efficiency", "forklifts.efficiency", "grading.efficiency", "grading.rate")


@dataclass(frozen=True)
class Lesson:
    """What was learned of one level.

    Attributes
    ----------
    key : str
    before, now : (float, float, float)
        P10, P50 and P90 as the scenario has it, and with the log.
    evidence : str
        What the log says of it, in words.
    """

    key: str
    before: tuple[float, float, float]
    now: tuple[float, float, float]
    evidence: str


@dataclass(frozen=True)
class Lessons:
    """What a log taught.

    Attributes
    ----------
    levels : tuple of Lesson
        Every level that is drawn otherwise than without the log.
    runs : int
        Draws that this is read from, one for each run.
    effective_size : float
        So many independent draws are they worth.
    agreement : float
        Spread of all draws over that within either half of the chains' later steps: 1 where the halves agree, at most 1.05 where
        the draws can be trusted.
    conflicts : tuple of Mistake
        Where the log lies outside of what the scenario held possible: the level, by how much, and what to widen.
    """

    levels: tuple[Lesson, ...]
    runs: int
    effective_size: float
    agreement: float
    conflicts: tuple[Mistake, ...]


def learn(plan: Plan, evidence: Evidence, at_work: AtWork | None = None) -> Learned | None:
    """Return what a log makes of a plan's levels, for `Plan.learned`; None where it teaches nothing.

    Parameters
    ----------
    plan : Plan
    evidence : Evidence
    at_work : callable, optional
        Asked, where nobody wrote hours, which share of shifts crews lay in some runs. Default: whenever the clock lets them.
    """
    likelihood = likelihood_of(plan, observed_in(plan, evidence), at_work)
    return learn_levels(plan.levels, likelihood, plan.seed) if likelihood.keys else None


def what_was_learned(plan: Plan, evidence: Evidence, runs: int) -> Lessons:
    """Return what the draws of the first runs of a plan that has learned from a log say of its levels."""
    learned = plan.learned
    if learned is None:
        likelihood = likelihood_of(plan, observed_in(plan, evidence))
        return Lessons((), runs, float(runs), 1.0, _conflicts(plan, likelihood.look(_held(plan))))
    assert isinstance(learned.likelihood, LogLikelihood)
    path = learned.chains([Streams(plan.seed, number) for number in range(runs)], plan.sampling)
    seen = learned.likelihood.look(_held(plan))
    by_owner = dict(zip(learned.scores, path[-1].T, strict=True))
    lessons = []
    for level in plan.levels:
        if not by_owner.keys() & set(scores_of(level)):
            continue
        values = values_at(level, _with_own(level, by_owner, plan, runs), runs)
        p10, p50, p90 = np.quantile(values, (0.1, 0.5, 0.9)).tolist()
        before = level.level.quantile(-_Z90), level.level.quantile(0.0), level.level.quantile(_Z90)
        reasons = [evidence.what for evidence in seen if level.key in evidence.touches]
        lessons.append(Lesson(level.key, before, (p10, p50, p90), "; ".join(reasons) or _in_passing(level)))
    effective, agreement = _diagnosed(path)
    return Lessons(tuple(lessons), runs, effective, agreement, _conflicts(plan, seen))


def _in_passing(level: LevelPlan) -> str:
    """Return what is said of a level that the log speaks of in passing alone."""
    if level.shared_by is not None:
        return f"goes with others of {level.shared_by}"
    return "no more than that it took no longer: there may have been waits"


def _known(plan: Plan, key: str) -> float | None:
    """Return the value of a level that is no uncertain one."""
    level = next(level.level for level in plan.levels if level.key == key)
    return level.value if isinstance(level, Constant) else None


def _held(plan: Plan) -> dict[str, Array]:
    """Return levels as the scenario alone has them, many times over."""
    owners = dict.fromkeys(score for level in plan.levels for score in scores_of(level))
    drawn = Streams(plan.seed, 0).stream("learning", "held").standard_normal((len(owners), _HELD))
    scores = dict(zip(owners, drawn, strict=True))
    return {level.key: values_at(level, scores, _HELD) for level in plan.levels}


def _with_own(level: LevelPlan, drawn: dict[tuple[str, str], Array], plan: Plan, runs: int) -> dict[tuple[str, str], Array]:
    """Return the scores of a level that moves with what was learned, its own as every run has it."""
    own = [draw_scores([level], Streams(plan.seed, number), plan.sampling) for number in range(runs)]
    return {score: drawn[score] if score in drawn else np.array([draws[score] for draws in own]) for score in scores_of(level)}


def _diagnosed(path: Array) -> tuple[float, float]:
    """Return the effective size of the draws that chains end in, and how well the halves of their later steps agree."""
    later = path[STEPS // 2 :]
    steps, runs, _ = later.shape
    mean = later.mean(axis=(0, 1))
    variance = ((later - mean) ** 2).mean(axis=(0, 1))
    steady = variance > 0.0
    if not steady.any():
        return float(runs), 1.0
    away = (later - mean)[:, :, steady] / np.sqrt(variance[steady])
    lasts = np.ones(away.shape[2])
    for lag in range(1, steps):
        alike = (away[lag:] * away[:-lag]).mean(axis=(0, 1))
        lasts += 2.0 * np.maximum(alike, 0.0)
        if (alike < 0.05).all():
            break
    halves = away[: steps // 2], away[steps // 2 :]
    within = np.mean([((half - half.mean(axis=(0, 1))) ** 2).mean(axis=(0, 1)) for half in halves], axis=0)
    return float(min(runs, runs * steps / lasts.max())), float(np.sqrt(1.0 / within).max())


def _conflicts(plan: Plan, seen: Sequence[Seen]) -> tuple[Mistake, ...]:
    return tuple(mistake for evidence in seen if (mistake := _conflict(evidence, plan)) is not None)


def _conflict(seen: Seen, plan: Plan) -> Mistake | None:
    """Return what is to be said where the scenario held almost impossible what was seen."""
    below = float(seen.below.mean())
    if min(below, 1.0 - below) >= _CONTRADICTS / 2:
        return None
    ratio = float(np.median(seen.ratio))
    key = next((key for key in seen.keys if _known(plan, key) is None), seen.keys[0])
    known = "the scenario holds it for known: give it a range" if _known(plan, key) is not None else "make its range wider"
    if not math.isfinite(ratio):
        return Mistake(key, f"the log contradicts it: {seen.what}, where the scenario has none", known)
    share = 1.0 / ratio if key in _QUICKER else ratio
    wrong = f"the log contradicts it: {seen.what}, {ratio:.2f} times what the scenario expects and hardly possible by it"
    return Mistake(key, wrong, f"{known}, with {share:.2f} times its middle well inside; or look for a slip in the log")
