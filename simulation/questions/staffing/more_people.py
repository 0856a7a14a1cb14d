"""From how many people on do more of them stop helping? Teams under the same luck, each beside all larger ones."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from simulation.stats.group_sequential import FEWEST_ALIKE, look_confidences, planned_looks
from simulation.stats.paired_difference import UNKNOWN, Difference, difference_of_quantiles
from simulation.study.outcomes import Outcome, summarise_outcome

if TYPE_CHECKING:
    from simulation.questions.staffing.candidates import Candidate
    from simulation.replicate import Alternatives
    from simulation.replicate.run_table import RunTable
    from simulation.study.deadline import Deadline

_SHARE = 0.8
#: Times the first runs of two teams that are not set apart by them, at the most. Planning value.
LONGEST = 4


@dataclass(frozen=True)
class MorePeople:
    """The team from which on more people stop helping, among those in question.

    Attributes
    ----------
    at : int
        Its place.
    earliest : int or None
        The place of the earliest of all teams of more people, by P80; None where there is none of more people.
    gain : Difference
        What that one changes in P80, hours; below zero is earlier. Its paired interval does not lie below zero as a whole, or
        lies within the margin. Where there is none of more people: what `at` changes against `smaller`.
    margin : float
        Hours that do not matter.
    runs : int
        Of each of the two that the gain is read from: first runs, or more, which may be others than those of its row.
    smaller : int or None
        The place of the next smaller team where no team has more people than `at`; None where there is neither.
    """

    at: int
    earliest: int | None
    gain: Difference
    margin: float
    runs: int
    smaller: int | None = None

    @property
    def seen(self) -> bool:
        """Whether it was seen that more people buy nothing that matters, not only that these runs cannot tell what they buy."""
        return self.earliest is not None and _within(self.gain, self.margin)


def _within(gain: Difference, margin: float) -> bool:
    """Return whether a gain is surely less than what matters."""
    return gain.low is not None and gain.low > -margin


class TeamsBeside:
    """Teams over the same runs, twice and four times as many of two of which the first runs do not say what matters.

    Attributes
    ----------
    outcomes : list of Outcome
        Of the first runs, the same ones for every team: they say which of two is the earlier, so neither may have more of them.
    """

    def __init__(
        self,
        alternatives: Alternatives,
        candidates: Sequence[Candidate],
        first: Sequence[RunTable],
        deadline: Deadline,
        margin: float,
    ) -> None:
        self._alternatives, self._candidates, self._deadline, self._margin = alternatives, candidates, deadline, margin
        self._looks = planned_looks(LONGEST * len(first[0]), len(first[0]))
        self._hours: dict[tuple[int, int], Sequence[float]] = {}
        self.outcomes = [self._summarise(index, table) for index, table in enumerate(first)]

    def _summarise(self, index: int, table: RunTable) -> Outcome:
        candidate = self._candidates[index]
        return summarise_outcome(candidate.name, candidate.scenario, table, self._deadline)

    def _hours_of(self, index: int, count: int) -> Sequence[float]:
        if count == self._looks[0]:
            return self.outcomes[index].hours
        if (index, count) not in self._hours:
            self._hours[index, count] = self._summarise(index, self._alternatives.table(index, count)).hours
        return self._hours[index, count]

    def measure(self, first: int, second: int) -> tuple[Difference, int]:
        """Return what the second of two teams changes of the P80 of the first, and in how many runs of each."""
        change, count = UNKNOWN, 0
        for look, confidence in zip(self._looks, look_confidences(self._looks), strict=True):
            if look > self._looks[0] and (self._alternatives.stopped or not self._alternatives.reach(look, (first, second))):
                return UNKNOWN, 0
            before, after, count = self._hours_of(first, look), self._hours_of(second, look), look
            change = difference_of_quantiles(before, after, _SHARE, confidence)
            within = _within(change, self._margin)
            if change.value is None or before == after or (count >= FEWEST_ALIKE if within else change.measurable):
                break
        return change, count


def more_people(
    outcomes: Sequence[Outcome],
    laying: Sequence[int],
    margin: float,
    measure: Callable[[int, int], tuple[Difference, int]] | None = None,
) -> MorePeople:
    """Return the smallest team with no larger one that is earlier at P80, beyond its paired interval and by what may matter.

    Parameters
    ----------
    outcomes : sequence of Outcome
        At least one; of the same runs, one by one, in order of people on site.
    laying : sequence of int
        How many people each team has in its crews: who drives one more forklift lays nothing.
    margin : float
        Hours by which readiness may come earlier without mattering.
    measure : callable, optional
        Given the places of two teams, returns what the second changes of the P80 of the first, and in how many runs of each.
        Default: over the runs of their outcomes.

    Notes
    -----
    Among teams of as many people in crews the one with the earliest P80 counts, and of these the one with fewest on site. Every
    larger team is looked at by itself, so no order is assumed: where the next larger one gains nothing but a much larger one
    does, more people still help. Each interval is one of 95 %, so with many larger teams one of them may seem earlier by luck,
    and the point then lies too far up, not too far down.
    """

    def compare(first: int, second: int) -> tuple[Difference, int]:
        before, after = outcomes[first].hours, outcomes[second].hours
        return difference_of_quantiles(before, after, _SHARE), len(before)

    measure = measure or compare
    places = sorted(range(len(outcomes)), key=lambda index: (laying[index], outcomes[index].p80.value, outcomes[index].people))
    best = [index for at, index in enumerate(places) if not at or laying[index] > laying[places[at - 1]]]
    for at, index in enumerate(best):
        # The earliest first: it is the one most likely to be told earlier.
        larger = sorted(best[at + 1 :], key=lambda other: outcomes[other].p80.value)
        if not any(_earlier(outcomes[index], outcomes[other], margin, partial(measure, index, other)) for other in larger):
            if larger:
                gain, runs = measure(index, larger[0])
                return MorePeople(index, larger[0], gain, margin, runs)
            smaller = best[at - 1] if at else None
            gain, runs = (UNKNOWN, 0) if smaller is None else measure(smaller, index)
            return MorePeople(index, None, gain, margin, runs, smaller)
    raise ValueError("outcomes(=[]) must hold at least one")


def _earlier(first: Outcome, second: Outcome, margin: float, measure: Callable[[], tuple[Difference, int]]) -> bool:
    """Return whether the second is earlier beyond its paired interval, and by what may matter."""
    if not second.p80.value < first.p80.value:
        return False
    if math.isinf(first.p80.value):  # one is ready by the last day simulated, the other is not
        return True
    difference, _ = measure()
    return difference.high is not None and difference.high < 0 and not _within(difference, margin)
