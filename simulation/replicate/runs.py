"""The runs of one study: those that a store has already, and those still to be done."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from simulation.construction import columns
from simulation.replicate.identity import Identity
from simulation.replicate.in_turn import reach_in_turn
from simulation.replicate.manifest import Manifest
from simulation.replicate.run_table import RunTable
from simulation.replicate.store import Store
from simulation.replicate.worker import Batch, Order
from simulation.replicate.workshop import Workshop

if TYPE_CHECKING:
    import numpy as np
    import pandas as pd
    from numpy.typing import NDArray

    from simulation.scenario import Scenario

Progress = Callable[[int, int], None]


class KeptRuns:
    """Runs of one study, stored one by one as they are done.

    Parameters
    ----------
    order : Order
        What does them.
    begin : callable
        Begins the study in the store or finds it there, and returns its number.
    workshop : Workshop
        Where they are done and kept.
    progress : callable, optional
        Called with runs there are and runs asked for.

    Attributes
    ----------
    study : int
        Its number in the store.
    order : Order
        What workers are asked to build.
    batches : Batches
        Of the workshop.
    news : str
        What the workshop's folder held when this began, in a sentence; empty if nothing.
    stopped : str
        Why fewer runs were done than asked for; empty where that is not so.

    Raises
    ------
    StoreError
        If the folder cannot be used.
    """

    def __init__(self, order: Order, begin: Callable[[Store], int], workshop: Workshop, progress: Progress | None = None) -> None:
        self.stopped = ""
        self.order, self.batches = order, workshop.batches
        self._progress = progress
        self._store = workshop.store
        with self._store.writing():
            self.study = begin(self._store)
            damaged = self._store.drop_damaged(self.study)
            kept = len(self._store.numbers(self.study))
            # A study that may be whole is not written to before it is known that a run is missing: the disk would be waited for.
            self._noted = not kept
            self._together = (self._store.others_at_work if kept else self._store.begin_work)(self.study)
        where = workshop.folder
        if self._together:
            self.news = (
                f"another process is at work on the same study in {where}: both go on, and each takes what the other stored"
            )
        else:
            there = f"{kept:,} runs of this study are" if kept > 1 else "1 run of this study is"
            self.news = f"{there} kept in {where} already" if kept else ""
        if damaged:
            again = f"{damaged:,} kept runs were" if damaged > 1 else "1 kept run was"
            again += f" damaged and {'are' if damaged > 1 else 'is'} done again"
            self.news = f"{self.news}; {again}" if self.news else again

    def reach(self, count: int) -> bool:
        """Do what is missing of runs 0 up to, not including, `count`; return whether all of them are there.

        An interrupt or a full disk ends it early, with what is done kept and `stopped` saying why.
        """
        for _ in reach_in_turn([(self, count)]):
            pass
        return not self.stopped

    def want(self, count: int, but: Collection[int]) -> list[int]:
        """Return which of runs 0 up to, not including, `count` are missing, but for some, in the order in which to do them."""
        there = set(self._store.numbers(self.study, upto=count)).union(but)
        missing = [number for number in range(count) if number not in there]
        if missing and not self._noted:
            self._together, self._noted = self._store.begin_work(self.study) or self._together, True
        # Two processes on one study begin at either end, and each is spared what the other has stored.
        return missing[::-1] if self._together else missing

    def stored_of(self, numbers: Sequence[int]) -> set[int]:
        """Return which of some runs there are by now."""
        return set(self._store.numbers(self.study, min(numbers), max(numbers) + 1)).intersection(numbers)

    def keep(self, batch: Batch) -> None:
        """Store runs that are done."""
        self._store.add(self.study, batch.numbers, batch.records, batch.seconds)

    def tell(self, there: int, count: int) -> None:
        """Tell the progress that there are so many of so many runs."""
        if self._progress is not None:
            self._progress(there, count)

    def stored(self, count: int) -> int:
        """Return how many of the runs below `count` there are."""
        return len(self._store.numbers(self.study, upto=count))

    def manifest(self) -> Manifest:
        """Return what is known of the study by now."""
        return self._store.manifest(self.study)


class Runs(KeptRuns):
    """Runs of one scenario, stored one by one as they are done.

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
        Called with runs there are and runs asked for.

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
        from simulation.construction import compile_plan  # here: a worker compiles nothing

        plan = compile_plan(scenario)
        self.plan = replace(plan, seed=plan.seed if seed is None else seed, sampling=sampling)
        self.columns = columns(self.plan)

        def begin(store: Store) -> int:
            return store.study_of(Identity.of(scenario, self.plan.seed, sampling), scenario, self.columns)

        super().__init__(Order.of(self.plan), begin, workshop, progress)

    def values(self, names: Sequence[str], first: int, upto: int) -> list[tuple[float, ...]]:
        """Return some numbers of the records of runs `first` up to, not including, `upto`, one tuple for each run."""
        import numpy as np

        places = [self.columns.index(name) for name in names]
        records = (np.frombuffer(record, "<f8") for _, record in self._store.records(self.study, first, upto))
        return [tuple(record[places].tolist()) for record in records]

    def table(self, count: int) -> RunTable:
        """Return one row for each of the runs below `count` that there are, in order of run."""
        import numpy as np

        numbers = self._store.numbers(self.study, upto=count)
        places = {number: index for index, number in enumerate(numbers)}
        values: NDArray[np.float64] = np.empty((len(numbers), len(self.columns)))
        for number, record in self._store.records(self.study, upto=count):
            if number in places:  # another process may have stored one more since
                values[places[number]] = np.frombuffer(record, "<f8")
        by_column = np.ascontiguousarray(values.T)
        return RunTable({"run": np.array(numbers, dtype=np.int64), **dict(zip(self.columns, by_column, strict=True))})


def do_runs(
    scenario: Scenario,
    run_count: int,
    seed: int | None = None,
    workers: int | None = None,
    progress: Progress | None = None,
    sampling: str = "random",
    cluster: str | None = None,
    folder: Path | None = None,
) -> pd.DataFrame:
    """Return one row for each run, in order of run.

    Parameters
    ----------
    scenario : Scenario
    runs : int
        How many runs.
    seed, progress, sampling
        As in `Runs`.
    workers, cluster, folder
        As in `Workshop`.

    Returns
    -------
    pandas.DataFrame
        Column ``run_number`` and those of `simulation.construction.columns`. After an interrupt, fewer rows than were asked for.

    Raises
    ------
    ScenarioError, StoreError, ClusterError
        As in `Runs` and `Workshop`.
    """
    with Workshop(folder, workers, cluster) as workshop:
        runs = Runs(scenario, workshop, seed, sampling, progress)
        runs.reach(run_count)
        return runs.table(run_count).to_pandas()
