"""Which plans are tried, and which of them is the best? A few runs of each propose, and more runs of the best few select.

A space small enough is tried whole. In a larger one each choice in turn is set to what is best for it, again and again until
nothing changes, from every start. What was tried is then selected from by a procedure with a guarantee, which holds for the plans
that were tried. All plans share their luck, and all numbers are read of runs 0 up to a fixed one.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.stats.group_sequential import planned_looks
from simulation.stats.selection.by_intervals import Standing, select_by_intervals

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from simulation.questions.plan.space import Place, Space
    from simulation.replicate import Workshop
    from simulation.replicate.runs import Runs

#: Combinations up to which all plans are tried. Planning value.
LISTED = 60
#: Runs of a plan that is proposed. Planning value: of two plans a day apart they show the better one in nearly all cases.
SCREEN = 30
#: Times that every choice is gone through, at most. Planning value: hardly any climb takes more than three.
SWEEPS = 4
#: Confidence that the plan named is the best of those tried, or within half a shift of it. Common practice.
CONFIDENCE = 0.95
#: What is minimised: the 80 % date.
SHARE = 0.8


class PlanRuns:
    """Runs of plans by their place in the space, done when they are asked for.

    Attributes
    ----------
    stopped : str
        Why runs are missing; empty where none are.
    """

    def __init__(
        self, space: Space, workshop: Workshop, seed: int | None, progress: Callable[[int, int], None] | None = None
    ) -> None:
        self.stopped = ""
        self._space, self._workshop, self._seed, self._progress = space, workshop, seed, progress
        self._runs: dict[Place, Runs] = {}
        self._done: dict[Place, int] = {}
        self.expected = 0
        self._ready = next(milestone.name for milestone in space.scenario.milestones if milestone.ready)

    def reach(self, places: Sequence[Place], count: int) -> bool:
        """Have runs 0 up to `count` of some plans done; return whether they are there."""
        from simulation.replicate.runs import STOPPED, Runs, heed

        for place in places:
            if self.stopped:
                return False
            if place not in self._runs:
                plan = self._space.plan(place)
                assert plan is not None
                self._runs[place] = Runs(plan.scenario, self._workshop, self._seed)
            runs = self._runs[place]
            if not runs.reach(count):
                self.stopped = runs.stopped
                return False
            self._done[place] = max(self._done.get(place, 0), count)
            try:
                if self._progress is not None:
                    self._progress(self.done, max(self.done, self.expected))
            except KeyboardInterrupt as interrupt:  # between two plans: what is done is kept as within one
                heed(interrupt)
                self.stopped = STOPPED
                return False
        return True

    @property
    def done(self) -> int:
        """Runs of all plans together."""
        return sum(self._done.values())

    def hours(self, place: Place, count: int) -> NDArray[np.float64]:
        """Return the readiness of runs that are done; one after the last day simulated counts as ready on it."""
        import numpy as np

        values = np.array(self._runs[place].values((f"milestone.{self._ready}",), 0, count))
        hours: NDArray[np.float64] = np.minimum(values[:, 0], self._space.scenario.horizon)
        return hours


@dataclass(frozen=True)
class Search:
    """What a search has come to.

    Attributes
    ----------
    tried : tuple of Place
        The best after `SCREEN` runs first.
    left : tuple of Place
        Those that may be the best, the one in front first.
    runs : int
        Of each plan that is left.
    ahead : float
        Hours by which any of the others may be better than the one in front, at most.
    sure : bool
        Whether the one in front is the best of those tried, or within the margin of it, with the confidence promised.
    whole : bool
        Whether every plan of the space was tried.
    stopped : str
        Why it ended before it was sure; empty where it did not.
    done : int
        Runs of all plans together.
    """

    tried: tuple[Place, ...]
    left: tuple[Place, ...]
    runs: int
    ahead: float
    sure: bool
    whole: bool
    stopped: str
    done: int


def quantile(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the order statistic at P80 along the last axis, as the program has it everywhere."""
    import numpy as np

    rank = max(1, math.ceil(round(SHARE * values.shape[-1], 9)))
    found: NDArray[np.float64] = np.partition(values, rank - 1, axis=-1)[..., rank - 1]
    return found


def find_best(space: Space, runs: PlanRuns, margin: float, most: int) -> Search:
    """Return which plan is the best, as far as runs were done.

    Parameters
    ----------
    space : Space
    runs : PlanRuns
    margin : float
        Hours of P80 that do not matter.
    most : int
        Runs of one plan at the most.
    """
    import numpy as np

    looks = planned_looks(most, min(SCREEN, most))
    whole = space.size <= LISTED
    tried = _propose(space, runs, looks[0], whole)
    if not tried or runs.stopped:
        return Search(tuple(tried), tuple(tried[:1]), looks[0], 0.0, False, whole, runs.stopped, runs.done)
    runs.expected = runs.done + len(tried) * looks[0]

    def observe(rows: Sequence[int], count: int) -> NDArray[np.float64]:
        places = [tried[row] for row in rows]
        if not runs.reach(places, count):
            raise _StoppedError
        return np.array([runs.hours(place, count) for place in places])

    standings: list[Standing] = []

    def note(standing: Standing) -> bool:
        standings.append(standing)
        return True

    with suppress(_StoppedError):
        select_by_intervals(observe, len(tried), quantile, margin, looks, 1.0 - CONFIDENCE, note)
    standing = standings[-1] if standings else Standing(looks[0], tuple(range(len(tried))), (math.inf,) * len(tried))
    ahead = max(standing.ahead)
    left = tuple(tried[row] for row in standing.left)
    return Search(tuple(tried), left, standing.runs, ahead, ahead <= margin, whole, runs.stopped, runs.done)


class _StoppedError(Exception):
    """Somebody stopped the runs."""


def _propose(space: Space, runs: PlanRuns, count: int, whole: bool) -> list[Place]:
    """Return the plans that are tried, the best by so many runs first."""
    found: dict[Place, float] = {}

    def measure(places: Sequence[Place]) -> list[Place]:
        sound = [place for place in places if space.plan(place) is not None]
        for place in sound:
            if place not in found and runs.reach([place], count):
                found[place] = float(quantile(runs.hours(place, count)))
        return [place for place in sound if place in found]

    if whole:
        runs.expected = space.size * count
        measure(list(space.places()))
    else:
        for start in _starts(space):
            _climb(space, start, measure, found)

    def rank(place: Place) -> tuple[float, int, Place]:
        plan = space.plan(place)
        return found[place], plan.people if plan is not None else 0, place  # of two as quick the one of fewer people

    return sorted(found, key=rank)


def _starts(space: Space) -> list[Place]:
    """Return where climbs begin: as written, with each value of the first choice; at another plan where these are outside."""
    own = space.as_written
    starts = [(number, *own[1:]) for number in range(len(space.choices[0]))]
    inside = [place for place in starts if space.plan(place) is not None]
    return inside or [next((place for place in space.places() if space.plan(place) is not None), own)]


def _climb(space: Space, place: Place, measure: Callable[[Sequence[Place]], list[Place]], found: dict[Place, float]) -> None:
    for _ in range(SWEEPS):
        before = place
        for choice, options in enumerate(space.choices):
            row = [(*place[:choice], number, *place[choice + 1 :]) for number in range(len(options))]
            if there := measure(row):
                place = min(there, key=lambda other: (found[other], other))
        if place == before:
            break
