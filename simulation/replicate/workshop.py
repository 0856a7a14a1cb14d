"""Where are runs done, and kept? One store and one team, which serve scenario after scenario."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import Self

from simulation.replicate.batches import Batches
from simulation.replicate.store import Store, StoreError


class Workshop:
    """A store and a team.

    Parameters
    ----------
    folder : Path, optional
        Where runs are kept. Default: in memory.
    workers : int, optional
        Processes. Default: one for each core where the work is worth it. The numbers are the same to the bit for any.
    cluster : str, optional
        Address of a cluster's scheduler, whose workers do the runs instead.

    Attributes
    ----------
    store : Store
    batches : Batches
    folder, workers
        As given.

    Raises
    ------
    StoreError
        If the folder cannot be used.
    ClusterError
        If the cluster cannot be used.
    """

    def __init__(self, folder: Path | None = None, workers: int | None = None, cluster: str | None = None) -> None:
        self.folder, self.workers = folder, workers
        self.store = Store(folder)
        try:
            self.batches = Batches(workers, cluster)
        except BaseException:
            self.store.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.batches.close()
        with suppress(StoreError):  # on a full disk the note stays, and is seen to be of a process that is gone
            self.store.end_work()
        self.store.close()
