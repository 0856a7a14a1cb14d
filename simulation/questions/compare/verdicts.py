"""What is known of a plan against another, and which plans may still be the first? By the interval of their difference in P80."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from enum import StrEnum
from typing import TYPE_CHECKING

from simulation.stats.group_sequential import Effect, judge_effect
from simulation.stats.paired_difference import FEWEST, difference_of_quantiles
from simulation.study.outcomes import find_margin

if TYPE_CHECKING:
    from simulation.study.outcomes import Against, Outcome


class Verdict(StrEnum):
    """What the paired interval of the difference in P80 says of a plan; `BEHIND`: it is measurably later than the earliest."""

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
    if change.p80.measurable:
        return Verdict.EARLIER if change.p80.value < 0 else Verdict.LATER
    if change.p80.lies_within(margin):
        return Verdict.NO_MATTER
    return Verdict.BEHIND if screened else Verdict.TOO_CLOSE


def find_open_plans(outcomes: Mapping[int, Outcome], reference: int, runs: int, confidence: float) -> Iterator[int]:
    """Yield the plans that get more runs: the reference, the earliest, and what may still be it or is not yet decided.

    A plan that is measurably later than the earliest one gets no more, nor one of which it is known how it stands to the
    reference and that it is as early as the earliest.
    """
    margin = find_margin(outcomes[reference].scenario)
    earliest = min(outcomes, key=lambda index: (outcomes[index].p80.value, index != reference))
    named, open_ones = dict.fromkeys((reference, earliest)), []
    for index, outcome in outcomes.items():
        if index not in named:
            changes = [
                difference_of_quantiles(outcomes[other].hours, outcome.hours, 0.8, confidence) for other in (earliest, reference)
            ]
            behind = changes[0].low is not None and changes[0].low > 0
            if not behind and any(judge_effect(change, margin, runs, last=False) is Effect.OPEN for change in changes):
                open_ones.append(index)
    if open_ones or earliest != reference:
        yield from (*named, *open_ones)


def find_as_early(outcomes: Sequence[Outcome], earliest: int, margin: float, confidences: Mapping[int, float]) -> tuple[int, ...]:
    """Return the plans whose P80 is that of the earliest one to within a margin, by the whole interval of the difference."""
    first, behind, most = outcomes[earliest], [], max(confidences)
    for index, outcome in enumerate(outcomes):
        runs = min(len(first.hours), len(outcome.hours), most)
        if index != earliest and runs >= FEWEST:
            change = difference_of_quantiles(first.hours[:runs], outcome.hours[:runs], 0.8, confidences[runs])
            if change.lies_within(margin):
                behind.append(index)
    return tuple(behind)
