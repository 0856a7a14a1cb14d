"""How is a change against the best plan worded? In days, hours or points, with which way is better."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from simulation.present.words.change_format import POINTS, ChangeFormat, change_format
from simulation.stats.group_sequential import Effect

if TYPE_CHECKING:
    from simulation.questions.plan.result import PlanResult, PlanRow
    from simulation.stats.paired_difference import Difference


def plan_format(result: PlanResult) -> ChangeFormat:
    """Return how changes are written."""
    return replace(POINTS, signed=False) if result.objective.is_chance else change_format(result.outcome)


def by_how_much(result: PlanResult, value: float) -> str:
    """Return a change in its unit."""
    return plan_format(result).of(value)


def half(result: PlanResult) -> str:
    """Return what makes no difference that matters, in words."""
    return POINTS.of(result.margin) if result.objective.is_chance else "half a shift"


def better(result: PlanResult) -> str:
    """Return which way is better."""
    return "more likely" if result.objective.is_chance else "earlier"


def worse(result: PlanResult) -> str:
    """Return which way is worse."""
    return "less likely" if result.objective.is_chance else "later"


def turn(result: PlanResult, change: Difference) -> Difference:
    """Return a change as a reader has it: of a chance, above zero is more likely; of a date, later."""
    return -change if result.objective.is_chance else change


def in_brackets(result: PlanResult, change: Difference) -> str:
    """Return the interval of a change, for brackets behind it."""
    return plan_format(result).in_brackets(change, turned=True)


def is_nothing(result: PlanResult, change: Difference) -> bool:
    """Whether a change is less than the last digit that is told: nobody does anything for it."""
    written = plan_format(result)
    return change.value is not None and abs(change.value) < written.size * 10.0**-written.places


def least(result: PlanResult) -> str:
    """Return the last digit that is told of a change, such as ``0.1 days``."""
    written = plan_format(result)
    return written.of(written.size * 10.0**-written.places)


def say_change(result: PlanResult, row: PlanRow) -> str:
    """Return what a plan beside the best one changes, with its interval."""
    change = row.change
    if row.identical:
        return "no run changes"
    if change.value is None:
        return "after the last day simulated"
    if change.measurable and not is_nothing(result, change):
        way = worse(result) if change.value > 0 else better(result)
        return f"{by_how_much(result, change.value)} {way}, {in_brackets(result, change)}"
    if row.effect is Effect.NO_MATTER or change.measurable:
        return "no difference that matters"
    return "too close to call"
