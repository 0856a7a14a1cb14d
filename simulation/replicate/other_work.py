"""Have work done number by number that is no run of one plan, as a move from site to site; it is kept as runs are."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.replicate.identity import Identity
from simulation.replicate.runs import KeptRuns, Progress
from simulation.replicate.store import Store
from simulation.replicate.worker import Order, OtherWork
from simulation.replicate.workshop import Workshop

if TYPE_CHECKING:
    from simulation.scenario import Scenario


class OtherRuns(KeptRuns):
    """Runs of other work, each with a record of a length of its own.

    Parameters
    ----------
    work : callable
        Takes a run's number and returns its record; can be pickled.
    identity : Identity
        What the study is known by: all that its records come from.
    scenario : Scenario
        That it is listed under.
    name : str
        What is done, as in `Manifest.work`.
    workshop, progress
        As in `KeptRuns`.

    Raises
    ------
    StoreError
        If the folder cannot be used.
    """

    def __init__(
        self,
        work: OtherWork,
        identity: Identity,
        scenario: Scenario,
        name: str,
        workshop: Workshop,
        progress: Progress | None = None,
    ) -> None:
        def begin(store: Store) -> int:
            return store.study_of(identity, scenario, ("record",), name)

        super().__init__(Order.of(work), begin, workshop, progress)

    def records(self, count: int) -> list[bytes]:
        """Return the records of the runs below `count` that there are, in order of run."""
        return [record for _, record in self._store.records(self.study, upto=count)]
