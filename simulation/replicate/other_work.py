"""Have work done number by number that is no run of one plan, as a move from site to site, by the same workers; none is kept."""

from __future__ import annotations

import pickle
from collections.abc import Callable
from typing import TypeVar

from simulation.replicate.batches import Batches
from simulation.replicate.worker import Order

Done = TypeVar("Done")


def do_each(
    work: Callable[[int], Done], count: int, workers: int | None = None, progress: Callable[[int, int], None] | None = None
) -> list[Done]:
    """Return what some work returns for each number below a count, in order; the same for any number of workers.

    Parameters
    ----------
    work : callable
        Can be pickled, and so can what it returns.
    count : int
    workers : int, optional
        As in `Batches`.
    progress : callable, optional
        Told how many are done, and the count.

    Raises
    ------
    WorkersLost
        As in `Batches.do`.
    """
    done: dict[int, Done] = {}
    with Batches(workers) as batches:
        for batch in batches.do(Order.of(work), range(count)):
            done.update(zip(batch.numbers, map(pickle.loads, batch.records), strict=True))
            if progress is not None:
                progress(len(done), count)
    return [done[number] for number in range(count)]
