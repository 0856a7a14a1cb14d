"""From how many people on do more of them stop helping? Teams under the same luck, each beside all larger ones."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from simulation.analysis.outcomes import Outcome
from simulation.analysis.paired import UNKNOWN, Difference, difference_of_quantiles

_SHARE = 0.8


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
        What that one changes in P80, hours; below zero is earlier. Its paired interval does not lie below zero as a whole.
    """

    at: int
    earliest: int | None
    gain: Difference

    @property
    def seen(self) -> bool:
        """Whether there were teams of more people that could have been earlier; otherwise more people still helped."""
        return self.earliest is not None


def more_people(outcomes: Sequence[Outcome]) -> MorePeople:
    """Return the smallest team with no larger one that is earlier at P80 beyond its paired interval.

    Parameters
    ----------
    outcomes : sequence of Outcome
        At least one; of the same builds, one by one, in order of people on site.

    Notes
    -----
    Among teams of as many people the one with the earliest P80 counts. Every larger team is looked at by itself, so no order is
    assumed: where the next larger one gains nothing but a much larger one does, more people still help. Each interval is one of
    95 %, so with many larger teams one of them may seem earlier by luck, and the point then lies too far up, not too far down.
    """
    places = sorted(range(len(outcomes)), key=lambda place: (outcomes[place].people, outcomes[place].p80.value))
    best = [place for at, place in enumerate(places) if not at or outcomes[place].people > outcomes[places[at - 1]].people]
    for at, place in enumerate(best):
        # The earliest first: it is the one most likely to be told earlier.
        larger = sorted(best[at + 1 :], key=lambda other: outcomes[other].p80.value)
        if not any(_earlier(outcomes[place], outcomes[other]) for other in larger):
            earliest = larger[0] if larger else None
            gain = UNKNOWN if earliest is None else _difference(outcomes[place], outcomes[earliest])
            return MorePeople(place, earliest, gain)
    raise ValueError("outcomes(=[]) must hold at least one")


def _earlier(first: Outcome, second: Outcome) -> bool:
    """Return whether the second is earlier beyond its paired interval."""
    if not second.p80.value < first.p80.value:
        return False
    if math.isinf(first.p80.value):  # one is ready within the horizon, the other is not
        return True
    difference = _difference(first, second)
    return difference.high is not None and difference.high < 0


def _difference(first: Outcome, second: Outcome) -> Difference:
    return difference_of_quantiles(first.hours, second.hours, _SHARE)
