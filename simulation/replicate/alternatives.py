"""Several scenarios under the same luck: one seed for all, one workshop, one count of what is done."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from typing import TYPE_CHECKING

from simulation.replicate.in_turn import reach_in_turn
from simulation.replicate.processes import cores
from simulation.replicate.runs import Progress, Runs
from simulation.replicate.worker import do_batch_of_runs
from simulation.replicate.workshop import Workshop

if TYPE_CHECKING:
    from simulation.replicate.run_table import RunTable
    from simulation.scenario import Scenario


#: Seconds of a run from which on the first one is enough to tell the pace: who waits for three has waited long. Planning value.
_SLOW = 0.1


class Alternatives:
    """Runs of several scenarios; run k of each has the same luck as run k of every other.

    Parameters
    ----------
    scenarios : sequence of Scenario
        The first one's seed holds for all, unless another is given.
    workshop : Workshop
    seed : int, optional
    progress : callable, optional
        Called with runs done and runs expected, of all scenarios together.

    Attributes
    ----------
    runs : tuple of Runs
        In the order of `scenarios`.
    expected : int
        Runs that the whole question is going to take, kept ones included: for the progress; whoever asks sets it.

    Raises
    ------
    ScenarioError
        If a scenario cannot finish.
    StoreError
        If the folder cannot be used.
    """

    def __init__(
        self, scenarios: Sequence[Scenario], workshop: Workshop, seed: int | None = None, progress: Progress | None = None
    ) -> None:
        self.seed = scenarios[0].seed if seed is None else seed
        self.expected = 0
        self._progress = progress
        self._there = [0] * len(scenarios)
        self._workers = workshop.workers or cores()
        with workshop.store.writing():  # all studies at once: the disk is waited for once
            self.runs = tuple(
                Runs(scenario, workshop, self.seed, progress=self._report(index)) for index, scenario in enumerate(scenarios)
            )

    def _report(self, index: int) -> Callable[[int, int], None]:
        def report(there: int, _: int) -> None:
            self._there[index] = there
            if self._progress is not None:
                done = sum(self._there)
                self._progress(done, max(done, self.expected))

        return report

    @property
    def stopped(self) -> str:
        """Why fewer runs were done than asked for; empty where that is not so."""
        return next((run.stopped for run in self.runs if run.stopped), "")

    def reach(self, count: int, places: Sequence[int] | None = None) -> bool:
        """Have runs 0 up to, not including, `count` of some scenarios, or of all; return whether all of them are there."""
        for _ in self.reach_in_turn([(place, count) for place in (range(len(self.runs)) if places is None else places)]):
            pass
        return not self.stopped

    def reach_in_turn(self, asked: Sequence[tuple[int, int]]) -> Iterator[int]:
        """Have runs of some scenarios, and yield the place of each, in order, as soon as it has its own.

        Whoever reads the runs of one meanwhile keeps no worker waiting: those of the next have begun.

        Parameters
        ----------
        asked : sequence of (int, int)
            Places of scenarios, and the number of runs of each.

        Yields
        ------
        int
            Fewer than were asked for where `stopped` says why.
        """
        for place, count in asked:  # nobody is told of those that are kept
            self._there[place] = max(self._there[place], self.runs[place].stored(count))
        for number in reach_in_turn([(self.runs[place], count) for place, count in asked]):
            yield asked[number][0]

    def table(self, index: int, count: int) -> RunTable:
        """Return one row for each of the runs of a scenario below `count` that there are, in order of run."""
        return self.runs[index].table(count)

    def common(self, count: int) -> list[RunTable]:
        """Return a table for each scenario, of the runs below `count` that all of them have: after a stop, fewer."""
        tables = [self.table(index, count) for index in range(len(self.runs))]
        shared = set.intersection(*(set(table["run"].tolist()) for table in tables))
        return [table.take([index for index, run in enumerate(table["run"].tolist()) if run in shared]) for table in tables]

    def estimate(self, each: int) -> tuple[int, float]:
        """Return how many runs are still to be done to have `each` of every scenario, and about how many seconds they take.

        The pace is that of a run or two of the first scenario, done here and now.
        """
        missing = sum(each - run.stored(each) for run in self.runs)
        if not missing:
            return 0, 0.0
        pace = self._time_runs([0])  # somewhat slower than those after it
        if pace < _SLOW:
            pace = self._time_runs([1, 2])
        return missing, missing * pace / self._workers

    def _time_runs(self, numbers: Sequence[int]) -> float:
        began = time.perf_counter()
        do_batch_of_runs(self.runs[0].plan, numbers)
        return (time.perf_counter() - began) / len(numbers)
