"""The builds of one scenario: those that a store has already, and those still to be done."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Self

from simulation.build import columns, compile_plan
from simulation.replicate.batches import Batches
from simulation.replicate.identity import Identity
from simulation.replicate.manifest import Manifest
from simulation.replicate.store import Store, StoreError, StoreFull

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd
    from numpy.typing import NDArray

    from simulation.scenario import Scenario

Progress = Callable[[int, int], None]


class Builds:
    """Builds of one scenario, stored one by one as they are done.

    Parameters
    ----------
    scenario : Scenario
    seed : int, optional
        Default: the scenario's.
    sampling : str
        A name of `simulation.chance.SAMPLINGS`.
    workers : int, optional
        Processes. Default: one for each core where the work is worth it. The numbers are the same to the bit for any.
    cluster : str, optional
        Address of a cluster's scheduler, whose workers do the builds instead.
    folder : Path, optional
        Where they are kept. Default: in memory.
    progress : callable, optional
        Called with builds there are and builds asked for.

    Attributes
    ----------
    news : str
        What the folder held when this began, in a sentence; empty if nothing.
    stopped : str
        Why fewer builds were done than asked for; empty where that is not so.

    Raises
    ------
    ScenarioError
        If the scenario cannot finish.
    StoreError
        If the folder cannot be used.
    ClusterError
        If the cluster cannot be used.
    """

    def __init__(
        self,
        scenario: Scenario,
        seed: int | None = None,
        sampling: str = "random",
        workers: int | None = None,
        cluster: str | None = None,
        folder: Path | None = None,
        progress: Progress | None = None,
    ) -> None:
        plan = compile_plan(scenario)
        self.plan = replace(plan, seed=plan.seed if seed is None else seed, sampling=sampling)
        self.columns = columns(self.plan)
        self.stopped = ""
        self._progress = progress
        self._store = Store(folder)
        try:
            self.run = self._store.run_of(Identity.of(scenario, self.plan.seed, sampling), scenario, self.columns)
            kept = len(self._store.numbers(self.run))
            self._together = self._store.begin_work(self.run)
            self.news = self._read_news(folder, kept)
            self._batches = Batches(self.plan, workers, cluster)
        except BaseException:
            self._store.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._batches.close()
        with suppress(StoreError):  # on a full disk the note stays, and is seen to be of a process that is gone
            self._store.end_work(self.run)
        self._store.close()

    def _read_news(self, folder: Path | None, kept: int) -> str:
        if self._together:
            return f"another process is at work on the same run in {folder}: both go on, and each takes what the other has stored"
        return f"{kept:,} builds of this run are kept in {folder} already" if kept else ""

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
            for batch in self._batches.do(missing, stored):
                self._store.add(self.run, batch.numbers, batch.records, batch.seconds)
                there.update(batch.numbers)
                if self._progress is not None:
                    self._progress(len(there), count)
        except KeyboardInterrupt:
            self.stopped = "interrupted"
        except StoreFull as error:
            self.stopped = str(error)
        return not self.stopped

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
    seed, workers, progress, sampling, cluster, folder
        As in `Builds`.

    Returns
    -------
    pandas.DataFrame
        Column ``replication`` and those of `simulation.build.columns`. After an interrupt, fewer rows than were asked for.

    Raises
    ------
    ScenarioError, StoreError, ClusterError
        As in `Builds`.
    """
    with Builds(scenario, seed, sampling, workers, cluster, folder, progress) as builds:
        builds.reach(replications)
        return builds.table(replications)
