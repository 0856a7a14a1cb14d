"""How long is a field closed, and how many mats does it take, while damage comes and goes over a stay?

A stretch of the field is whole until it is damaged; it is mended when an inspection has found that, in its turn; then it can be
damaged again. The strip is closed while anything that was found is not mended, and nobody lands then.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Generator, Sequence
from dataclasses import dataclass
from typing import Any

import simpy
from numpy.random import Generator as Luck


@dataclass(frozen=True)
class Stretch:
    """A piece of the field, and how often a day it is damaged: whatever happens, and by landings while it is open."""

    low: float
    high: float
    a_day: float
    by_landings: float


@dataclass
class Season:
    """What came of one stay.

    Attributes
    ----------
    hours : float
        Of the stay.
    closed : float
        Hours with anything found and not mended.
    whole : float
        Hours times stretches that were not damaged.
    waiting : float
        Hours times repairs that waited for those before them.
    untouched : float
        Hours without any damage, found or not.
    repairs, mats : int
        Begun within the stay.
    """

    hours: float
    closed: float = 0.0
    whole: float = 0.0
    waiting: float = 0.0
    untouched: float = 0.0
    repairs: int = 0
    mats: int = 0


#: Takes an hour and the hours of work that begin then, and returns when they end.
Ends = Callable[[float, float], float]
#: Takes the stretch and the number of the repair, and returns the mats that are damaged and the hours to mend them.
Mending = Callable[[Stretch, int], tuple[int, float]]


def spend_season(
    stretches: Sequence[Stretch],
    mend: Mending,
    luck: Sequence[Luck],
    hours: float,
    inspect_every: float = 0.0,
    at_once: int = 1,
    since: float = 0.0,
    ends: Ends = lambda now, hours: now + hours,
) -> Season:
    """Return what damage and repairs came to in one stay.

    Parameters
    ----------
    stretches : sequence of Stretch
    mend : callable
        See `Mending`.
    luck : sequence of numpy.random.Generator
        One for each stretch.
    hours : float
        The stay.
    inspect_every : float
        Hours between inspections; 0 finds everything at once.
    at_once : int
        Repairs that go on at the same time.
    since : float
        Hours before the first damage can come.
    ends : callable, optional
        See `Ends`. Default: repairs go on whatever the hour.

    Notes
    -----
    Times between damage are exponential. What landings would have damaged while the strip is closed does not happen (thinning of
    a Poisson process). With nothing by landings and exponential repairs this is the machine-repair model M/M/c with a finite
    source.
    """
    return _Stay(mend, hours, inspect_every, at_once, ends).spend(stretches, luck, since)


class _Stay:
    def __init__(self, mend: Mending, hours: float, inspect_every: float, at_once: int, ends: Ends) -> None:
        self.env = simpy.Environment()
        self.teams = simpy.Resource(self.env, at_once)
        self.mend, self.inspect_every, self.ends = mend, inspect_every, ends
        self.season = Season(hours)
        self.damaged = self.holes_found = self.stretches = 0
        self.at = 0.0

    def spend(self, stretches: Sequence[Stretch], luck: Sequence[Luck], since: float) -> Season:
        self.stretches = len(stretches)
        for stretch, own in zip(stretches, luck, strict=True):
            if stretch.a_day + stretch.by_landings > 0.0:
                self.env.process(self.live(stretch, own, since))
        self.env.run(until=self.season.hours)
        self.note()
        return self.season

    def note(self) -> None:
        """Add up what has been since the last change."""
        spent, season = self.env.now - self.at, self.season
        self.at = self.env.now
        season.closed += spent * (self.holes_found > 0)
        season.untouched += spent * (self.damaged == 0)
        season.whole += spent * (self.stretches - self.damaged)
        season.waiting += spent * len(self.teams.queue)

    def live(self, stretch: Stretch, luck: Luck, since: float) -> Generator[Any, Any, None]:
        rate = stretch.a_day + stretch.by_landings
        yield self.env.timeout(since)
        while True:
            yield self.env.timeout(24.0 * luck.standard_exponential() / rate)
            by_landing = luck.random() * rate < stretch.by_landings
            if by_landing and self.holes_found:
                continue
            self.note()
            self.damaged += 1
            if self.inspect_every > 0.0:
                yield self.env.timeout(math.ceil(self.env.now / self.inspect_every) * self.inspect_every - self.env.now)
            yield from self.repair(stretch)

    def repair(self, stretch: Stretch) -> Generator[Any, Any, None]:
        self.note()
        self.holes_found += 1
        with self.teams.request() as turn:
            yield turn
            self.note()
            mats, hours = self.mend(stretch, self.season.repairs)
            self.season.repairs += 1
            self.season.mats += mats
            # What would end after the stay is still going on when it ends.
            end = min(self.ends(self.env.now, hours), self.season.hours + 1.0)
            yield self.env.timeout(end - self.env.now)
            self.note()
        self.holes_found -= 1
        self.damaged -= 1
