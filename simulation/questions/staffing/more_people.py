"""From how many people on do more of them stop helping? Teams under the same luck, each beside all larger ones."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from simulation.stats.paired_difference import UNKNOWN, Difference, difference_of_quantiles
from simulation.study.outcomes import Outcome

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
    margin : float
        Hours that do not matter.
    """

    at: int
    earliest: int | None
    gain: Difference
    margin: float

    @property
    def seen(self) -> bool:
        """Whether it was seen that more people buy nothing that matters, not only that these runs cannot tell what they buy."""
        return self.gain.low is not None and self.gain.low > -self.margin


def more_people(outcomes: Sequence[Outcome], laying: Sequence[int], margin: float) -> MorePeople:
    """Return the smallest team with no larger one that is earlier at P80 beyond its paired interval.

    Parameters
    ----------
    outcomes : sequence of Outcome
        At least one; of the same runs, one by one, in order of people on site.
    laying : sequence of int
        How many people each team has in its crews: who drives one more forklift lays nothing.
    margin : float
        Hours by which readiness may come earlier without mattering.

    Notes
    -----
    Among teams of as many people in crews the one with the earliest P80 counts, and of these the one with fewest on site. Every
    larger team is looked at by itself, so no order is assumed: where the next larger one gains nothing but a much larger one
    does, more people still help. Each interval is one of 95 %, so with many larger teams one of them may seem earlier by luck,
    and the point then lies too far up, not too far down.
    """
    places = sorted(range(len(outcomes)), key=lambda place: (laying[place], outcomes[place].p80.value, outcomes[place].people))
    best = [place for at, place in enumerate(places) if not at or laying[place] > laying[places[at - 1]]]
    for at, place in enumerate(best):
        # The earliest first: it is the one most likely to be told earlier.
        larger = sorted(best[at + 1 :], key=lambda other: outcomes[other].p80.value)
        if not any(_earlier(outcomes[place], outcomes[other]) for other in larger):
            earliest = larger[0] if larger else None
            gain = UNKNOWN if earliest is None else _difference(outcomes[place], outcomes[earliest])
            return MorePeople(place, earliest, gain, margin)
    raise ValueError("outcomes(=[]) must hold at least one")


def _earlier(first: Outcome, second: Outcome) -> bool:
    """Return whether the second is earlier beyond its paired interval."""
    if not second.p80.value < first.p80.value:
        return False
    if math.isinf(first.p80.value):  # one is ready by the last day simulated, the other is not
        return True
    difference = _difference(first, second)
    return difference.high is not None and difference.high < 0


def _difference(first: Outcome, second: Outcome) -> Difference:
    return difference_of_quantiles(first.hours, second.hours, _SHARE)
