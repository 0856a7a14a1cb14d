"""In which order are the runs of several scenarios done? Those of the first before those of the next; nobody waits between."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from typing import TYPE_CHECKING

from simulation.replicate.batches import Wanted, WorkersLost
from simulation.replicate.store import StoreFull

if TYPE_CHECKING:
    from simulation.replicate.runs import KeptRuns

#: Why there are fewer runs than asked for, when somebody asked the program to end.
STOPPED = "stopped early"


def heed(interrupt: KeyboardInterrupt) -> None:
    """Tell an interrupt that it was heard, if it wants to know: one that a library swallowed is raised again."""
    hear = getattr(interrupt, "heed", None)
    if hear is not None:
        hear()


class _Asked:
    """Runs 0 up to a count of one scenario, asked for together with those of others."""

    def __init__(self, runs: KeptRuns, count: int, but: Collection[int]) -> None:
        self.runs, self.count = runs, count
        self.numbers = runs.want(count, but)
        self.left = set(self.numbers)

    def spared(self, numbers: Sequence[int]) -> Collection[int]:
        """Return which of some runs another process has stored."""
        there = self.runs.stored_of(numbers)
        self.left -= there
        return there


def reach_in_turn(asked: Sequence[tuple[KeptRuns, int]]) -> Iterator[int]:
    """Have runs of several scenarios done, and yield the place of each, in order, as soon as all of its runs are there.

    Workers do not wait while the runs of one are read, nor for the last of them: what is asked for next has begun by then.

    Parameters
    ----------
    asked : sequence of (KeptRuns, int)
        Runs of one workshop, and how many of each, those that are wanted first before the others. One may stand there again,
        further on, with more.

    Yields
    ------
    int
        Fewer than were asked for where an interrupt or a full disk ended it: what is done is kept, and `stopped` of those that
        lack runs says why.
    """
    if not asked or any(runs.stopped for runs, _ in asked):
        return
    wanted: list[_Asked] = []
    claimed: dict[KeptRuns, set[int]] = {runs: set() for runs, _ in asked}
    for runs, count in asked:
        wanted.append(_Asked(runs, count, claimed[runs]))
        claimed[runs].update(wanted[-1].numbers)
    most = {runs: max(one.count for one in wanted if one.runs is runs) for runs in claimed}
    there = {runs: runs.stored(most[runs]) for runs in claimed}
    doing = asked[0][0].batches.do([Wanted(one.runs.order, one.numbers, one.spared) for one in wanted])
    why = ""
    for place, one in enumerate(wanted):
        try:
            while one.left and not why and (done := next(doing, None)) is not None:
                of, batch = wanted[done[0]], done[1]
                of.runs.keep(batch)
                of.left.difference_update(batch.numbers)
                there[of.runs] += len(batch.numbers)
                of.runs.tell(there[of.runs], most[of.runs])
        except KeyboardInterrupt as interrupt:
            heed(interrupt)
            one.runs.stopped = why = STOPPED
        except (StoreFull, WorkersLost) as error:
            one.runs.stopped = why = str(error)
        if one.left:
            one.runs.stopped = why
        else:
            yield place
