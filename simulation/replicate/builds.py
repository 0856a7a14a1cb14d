"""The builds of one scenario: those that a store has already, and those still to be done."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from simulation.construction import columns, compile_plan
from simulation.replicate.batches import WorkersLost
from simulation.replicate.identity import Identity
from simulation.replicate.manifest import Manifest
from simulation.replicate.store import StoreFull
from simulation.replicate.worker import Order
from simulation.replicate.workshop import Workshop

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd
    from numpy.typing import NDArray

    from simulation.scenario import Scenario

Progress = Callable[[int, int], None]

#: Why there are fewer builds than asked for, when somebody asked the program to end.
STOPPED = "stopped early"


class Builds:
    """Builds of one scenario, stored one by one as they are done.

    Parameters
    ----------
    scenario : Scenario
    workshop : Workshop
        Where they are done and kept.
    seed : int, optional
        Default: the scenario's.
    sampling : str
        A name of `simulation.chance.SAMPLINGS`.
    progress : callable, optional
        Called with builds there are and builds asked for.

    Attributes
    ----------
    news : str
        What the workshop's folder held when this began, in a sentence; empty if nothing.
    stopped : str
        Why fewer builds were done than asked for; empty where that is not so.

    Raises
    ------
    ScenarioError
        If the scenario cannot finish.
    StoreError
        If the folder cannot be used.
    """

    def __init__(
        self,
        scenario: Scenario,
        workshop: Workshop,
        seed: int | None = None,
        sampling: str = "random",
        progress: Progress | None = None,
    ) -> None:
        plan = compile_plan(scenario)
        self.plan = replace(plan, seed=plan.seed if seed is None else seed, sampling=sampling)
        self.columns = columns(self.plan)
        self.stopped = ""
        self._order = Order.of(self.plan)
        self._progress = progress
        self._store, self._batches = workshop.store, workshop.batches
        self.run = self._store.run_of(Identity.of(scenario, self.plan.seed, sampling), scenario, self.columns)
        damaged = self._store.drop_damaged(self.run)
        kept = len(self._store.numbers(self.run))
        self._together = self._store.begin_work(self.run)
        where = workshop.folder
        if self._together:
            self.news = f"another process is at work on the same run in {where}: both go on, and each takes what the other stored"
        else:
            there = f"{kept:,} builds of this run are" if kept > 1 else "1 build of this run is"
            self.news = f"{there} kept in {where} already" if kept else ""
        if damaged:
            again = f"{damaged:,} kept builds were" if damaged > 1 else "1 kept build was"
            again += f" damaged and {'are' if damaged > 1 else 'is'} done again"
            self.news = f"{self.news}; {again}" if self.news else again

    def reach(self, count: int) -> bool:
        """Do what is missing of builds 0 up to, not including, `count`; return whether all of them are there.

        An interrupt or a full disk ends it early, with what is done kept and `stopped` saying why.
        """
        there = set(self._store.numbers(self.run, upto=count))
        missing = [number for number in range(count) if number not in there]

        def stored(numbers: Sequence[int]) -> set[int]:
            by_another = set(self._store.numbers(self.run, min(numbers), max(numbers) + 1)).intersection(numbers)
            there.update(by_another)
            return by_another

        if self._together:
            # Two processes on one run begin at either end, and each is spared what the other has stored.
            missing.reverse()
        try:
            for batch in self._batches.do(self._order, missing, stored):
                self._store.add(self.run, batch.numbers, batch.records, batch.seconds)
                there.update(batch.numbers)
                if self._progress is not None:
                    self._progress(len(there), count)
        except KeyboardInterrupt as interrupt:
            heed(interrupt)
            self.stopped = STOPPED
        except (StoreFull, WorkersLost) as error:
            self.stopped = str(error)
        return not self.stopped

    def stored(self, count: int) -> int:
        """Return how many of the builds below `count` there are."""
        return len(self._store.numbers(self.run, upto=count))

    def kept(self) -> int:
        """Return how many builds there are from the first one on without a gap."""
        numbers = self._store.numbers(self.run)
        return next((place for place, number in enumerate(numbers) if number != place), len(numbers))

    def values(self, names: Sequence[str], first: int, upto: int) -> list[tuple[float, ...]]:
        """Return some numbers of the records of builds `first` up to, not including, `upto`, one tuple for each build."""
        import numpy as np

        places = [self.columns.index(name) for name in names]
        records = (np.frombuffer(record, "<f8") for _, record in self._store.records(self.run, first, upto))
        return [tuple(record[places].tolist()) for record in records]

    def table(self, count: int) -> pd.DataFrame:
        """Return one row for each of the builds below `count` that there are, in order of replication."""
        import numpy as np
        import pandas as pd

        numbers = self._store.numbers(self.run, upto=count)
        places = {number: place for place, number in enumerate(numbers)}
        values: NDArray[np.float64] = np.empty((len(numbers), len(self.columns)))
        for number, record in self._store.records(self.run, upto=count):
            if number in places:  # another process may have stored one more since
                values[places[number]] = np.frombuffer(record, "<f8")
        table = pd.DataFrame(values, columns=list(self.columns), copy=False)
        table.insert(0, "replication", numbers)
        return table

    def manifest(self) -> Manifest:
        """Return what is known of the run by now."""
        return self._store.manifest(self.run)


def heed(interrupt: KeyboardInterrupt) -> None:
    """Tell an interrupt that it was heard, if it wants to know: one that a library swallowed is raised again."""
    told = getattr(interrupt, "heed", None)
    if told is not None:
        told()


def run_builds(
    scenario: Scenario,
    replications: int,
    seed: int | None = None,
    workers: int | None = None,
    progress: Progress | None = None,
    sampling: str = "random",
    cluster: str | None = None,
    folder: Path | None = None,
) -> pd.DataFrame:
    """Return one row for each build, in order of replication.

    Parameters
    ----------
    scenario : Scenario
    replications : int
        How many builds.
    seed, progress, sampling
        As in `Builds`.
    workers, cluster, folder
        As in `Workshop`.

    Returns
    -------
    pandas.DataFrame
        Column ``replication`` and those of `simulation.construction.columns`. After an interrupt, fewer rows than were asked for.

    Raises
    ------
    ScenarioError, StoreError, ClusterError
        As in `Builds` and `Workshop`.
    """
    with Workshop(folder, workers, cluster) as workshop:
        builds = Builds(scenario, workshop, seed, sampling, progress)
        builds.reach(replications)
        return builds.table(replications)
