"""What does a plan change against the best one? Looked at until that is known."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.stats.group_sequential import Effect, judge_effect, look_confidences

if TYPE_CHECKING:
    from simulation.questions.plan.objective import Objective
    from simulation.questions.plan.plan_runs import PlanRuns
    from simulation.questions.plan.space import ChosenPlan
    from simulation.stats.paired_difference import Difference


def hold_against(
    runs: PlanRuns, best: ChosenPlan, plan: ChosenPlan, objective: Objective, margin: float, looks: tuple[int, ...]
) -> tuple[Difference, Effect, bool, int] | None:
    """Return what a plan changes against the best one, looked at until that is known; None where it was stopped."""
    confidences = look_confidences(looks)
    for look, confidence in zip(looks, confidences, strict=True):
        if not runs.reach([best, plan], look):
            return None
        first, second = runs.hours(best, look).tolist(), runs.hours(plan, look).tolist()
        change = objective.compare(first, second, confidence)
        effect = judge_effect(change, margin, look, last=look == looks[-1])
        if effect is not Effect.OPEN:
            break
    return change, effect, first == second, look
