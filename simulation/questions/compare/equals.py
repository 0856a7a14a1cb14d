"""Which plans are as early as the earliest, or not measurably later? By their paired difference around P80."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from simulation.stats.paired_difference import FEWEST
from simulation.study.outcomes import change_around_p80

if TYPE_CHECKING:
    from simulation.study.outcomes import Outcome


def find_as_early(outcomes: Sequence[Outcome], earliest: int, margin: float, confidences: Mapping[int, float]) -> tuple[int, ...]:
    """Return the plans as early as the earliest one to within a margin: the whole interval around P80 lies in it."""
    first, behind, most = outcomes[earliest], [], max(confidences)
    for index, outcome in enumerate(outcomes):
        runs = min(len(first.hours), len(outcome.hours), most)
        if index != earliest and runs >= FEWEST:
            before, after = (replace(each, hours=each.hours[:runs]) for each in (first, outcome))
            if change_around_p80(before, after, confidences[runs]).lies_within(margin):
                behind.append(index)
    return tuple(behind)


def find_first_ones(
    outcomes: Sequence[Outcome],
    earliest: int,
    ahead: Sequence[int],
    as_early: Sequence[int],
    confidences: Mapping[int, float],
) -> tuple[int, ...]:
    """Return the earliest plan and its equals, of those `ahead` of the reference: as early, or not measurably later."""
    first, most = outcomes[earliest], max(confidences)

    def is_equal(index: int) -> bool:
        runs = min(len(first.hours), len(outcomes[index].hours), most)
        if index in as_early or runs < FEWEST:
            return index in as_early
        before, after = (replace(each, hours=each.hours[:runs]) for each in (first, outcomes[index]))
        return not change_around_p80(before, after, confidences[runs]).measurable

    return tuple(sorted({earliest, *(index for index in ahead if index != earliest and is_equal(index))}))
