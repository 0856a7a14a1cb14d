"""What is known of a plan against another, and which plans may still be the first? By how far the dates around P80 lie apart."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from enum import StrEnum
from typing import TYPE_CHECKING

from simulation.stats.group_sequential import FIRST, Effect, judge_effect
from simulation.stats.paired_difference import FEWEST
from simulation.study.outcomes import change_around_p80, find_margin

if TYPE_CHECKING:
    from simulation.stats.paired_difference import Difference
    from simulation.study.outcomes import Against, Outcome


class Verdict(StrEnum):
    """What the paired interval around P80 says of a plan; `BEHIND`: it is measurably later than the earliest, or alike."""

    REFERENCE = "the reference"
    EARLIER = "earlier"
    LATER = "later"
    NO_MATTER = "no difference that matters"
    TOO_CLOSE = "too close to call"
    BEHIND = "behind the earliest plan"
    BEYOND = "after the last day simulated"
    WITHIN = "by the last day simulated"


def judge_plan(reference: Outcome, other: Outcome, change: Against, margin: float, screened: bool) -> Verdict:
    """Return what is known of a plan against the reference; `screened`: whether it got fewer runs than it might have."""
    if change.p80.value is None:
        return Verdict.BEYOND if math.isinf(other.p80.value) else Verdict.WITHIN
    if min(len(other.hours), len(reference.hours)) < FEWEST:
        return Verdict.TOO_CLOSE
    around = change.around_p80
    if around.value is not None and around.measurable:
        return Verdict.EARLIER if around.value < 0 else Verdict.LATER
    if around.lies_within(margin):
        return Verdict.NO_MATTER
    return Verdict.BEHIND if screened else Verdict.TOO_CLOSE


def find_open_plans(outcomes: Mapping[int, Outcome], reference: int, runs: int, confidence: float) -> Iterator[int]:
    """Yield the plans that get more runs: the reference, the earliest, and what may still be it or is not yet decided.

    A plan that is measurably later than the earliest one gets no more, nor one of which it is known how it stands to the
    reference and that it is as early as the earliest.
    """
    margin = find_margin(outcomes[reference].scenario)
    against = {
        index: change_around_p80(outcomes[reference], outcome, confidence)
        for index, outcome in outcomes.items()
        if index != reference
    }
    earliest = min(against, key=lambda index: lateness(against[index], outcomes[index]), default=reference)
    if earliest == reference or lateness(against[earliest], outcomes[earliest])[0] >= 0.0:
        earliest = reference
    named, open_ones = dict.fromkeys((reference, earliest)), []
    for index, change in against.items():
        if index not in named:
            changes = [change]
            if earliest != reference:
                changes.append(change_around_p80(outcomes[earliest], outcomes[index], confidence))
            if not changes[-1].above_zero and any(
                judge_effect(each, margin, runs, last=False, fewest=FIRST) is Effect.OPEN for each in changes
            ):
                open_ones.append(index)
    if open_ones or earliest != reference:
        yield from (*named, *open_ones)


def lateness(change: Difference, outcome: Outcome) -> tuple[float, float]:
    """Return what plans are put in order by: how much later the dates around P80 are than the reference's, and P80."""
    p80 = outcome.p80.value
    return (math.copysign(math.inf, p80 if math.isinf(p80) else -1.0) if change.value is None else change.value), p80
