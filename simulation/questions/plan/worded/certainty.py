"""The sentences on how sure the best plan is: what was tried, what is as good, and what is not told apart from it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.present.words.change_format import POINTS
from simulation.questions.plan.proposing import CONFIDENCE
from simulation.questions.plan.worded.change_words import by_how_much, half

if TYPE_CHECKING:
    from simulation.questions.plan.result import PlanResult


def how_sure(result: PlanResult) -> str:
    """Return what was tried, and how sure it is that the plan in front is the best."""
    search = result.search
    tried = f"Tried: {wording.counted(len(search.tried), 'plan')} of {wording.counted(result.size, 'combination')}"
    left_out = [
        (result.outside, "outside the limits"),
        (search.bounded, "too late by hand at the best possible rate"),
        (result.unsound, "that cannot work"),
        (result.joined, "the same as another"),
    ]
    reasons = [f"{count:,} {why}" for count, why in left_out if count]
    never = f"; never simulated: {listed(reasons)}" if reasons else ""
    cut = " More were not proposed, since half of the runs were used." if search.cut else ""
    line = f"{tried}{never}; {search.done:,} runs in the search.{cut}"
    if search.sure:
        of = "of all that may be chosen" if search.whole else "of those tried, which a search proposed"
        alike = f" {wording.counted(search.alike, 'other')} {_is(search.alike)} as good." if search.alike else ""
        return f"{line} With {100 * CONFIDENCE:.0f} % confidence it is the best {of}, or {_near(result)}.{alike}"
    return f"{line} {_what_is_known(result)}"


def _what_is_known(result: PlanResult) -> str:
    """Return how the others stand to the plan in front where that is not settled, and what settles it."""
    search, others = result.search, len(result.search.left) - 1 - result.search.alike
    reason = search.stopped or (_say_spent(result) if search.spent else "")
    stands = [f"it is in front after {wording.counted(search.runs, 'run')}"]
    if search.alike:
        stands.append(f"{wording.counted(search.alike, 'other')} {_is(search.alike)} as good within {half(result)}")
    if others:
        stands.append(f"{wording.counted(others, 'other')} {_is(others)} not told apart from it")
    known = "no plan is dropped yet" if len(search.tried) > 1 else "no other plan was tried yet"
    if math.isfinite(search.ahead):
        known = f"another may be up to {by_how_much(result, search.ahead)} better"
    option = f"--budget {2 * result.budget}" if search.spent else f"--runs {2 * search.runs}"
    more = "" if search.stopped else f" More runs narrow it: {option}."
    return f"Not settled{f' ({reason})' if reason else ''}: {listed(stands)}; {known}.{more}"


def _say_spent(result: PlanResult) -> str:
    """Return which runs are used up: the search has a part of those given, what stands beside the best plan the rest."""
    rest = result.budget - (result.search.budget or result.budget)
    kept = f"; the other {rest:,} of {result.budget:,} are for the plans beside it" if rest else ""
    return f"another look would take more than its {result.budget - rest:,} runs{kept}"


def _is(count: int) -> str:
    return "is" if count == 1 else "are"


def _near(result: PlanResult) -> str:
    if result.objective.is_chance:
        return f"within {POINTS.of(result.margin)} of it"
    return f"within half a shift of it ({result.margin:.3g} hours)"
