"""Have several plans done look by look: all of them to the runs of a look, then those that are open to the next one's."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.replicate import Alternatives


def look_by_look(
    alternatives: Alternatives,
    looks: Sequence[int],
    places: Sequence[int],
    read: Callable[[int, int], None],
    find_open: Callable[[int, Sequence[int]], Iterator[int]],
    begun: Iterator[int] | None = None,
) -> None:
    """Have runs of several scenarios done look by look, until none is open or somebody stops it.

    Parameters
    ----------
    alternatives : Alternatives
    looks : sequence of int
        Runs of each look.
    places : sequence of int
        Which of the scenarios, at the first look.
    read : callable
        Given the number of a look and the place of a scenario that has its runs.
    find_open : callable
        Given the number of a look and the places that were read at it, returns those that go on.
    begun : iterator of int, optional
        The places of the first look, in order, as each has its runs, where these were asked for together with others.
    """
    done = alternatives.expected - looks[-1] * len(places)  # of the others
    for look, count in enumerate(looks):
        for index in begun or alternatives.reach_in_turn([(place, count) for place in places]):
            read(look, index)
        if alternatives.stopped:
            return
        begun = None
        still = list(find_open(look, places)) if look < len(looks) - 1 else []
        done += count * (len(places) - len(still))
        places = still
        alternatives.expected = done + looks[-1] * len(places)
