"""How do many builds get done on all cores? In batches sent to a pool; one that breaks is made anew and sent them again."""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from typing import Any

from simulation.build.plan import Plan
from simulation.build.record import Record
from simulation.replicate.worker import run_batch, run_set_plan, set_plan

Progress = Callable[[int, int], None]

#: Seconds that one batch should take: long against the cost of sending it, short against a watcher's patience.
BATCH_SECONDS = 0.25
#: Below so many seconds of work left, starting workers would cost more than they save.
WORTH_A_POOL = 3.0
#: Times in a row that a pool may break without a single batch done before it is the program that is broken.
BREAKS = 3


def cores() -> int:
    """Return how many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def run_all(plan: Plan, replications: int, workers: int | None, progress: Progress | None) -> Iterator[tuple[int, Record]]:
    """Yield the number and record of each build as it is done, in no particular order.

    Parameters
    ----------
    plan : Plan
    replications : int
        Builds 0 up to, not including, this one.
    workers : int or None
        Processes; None is one for each core where that is worth it. The records are the same for any number.
    progress : callable or None
        Called with builds done and builds asked for.
    """
    done, rate = 0, 0.0
    while done < replications:
        # The first build is slower than the others, the second tells their pace; the next batch is as long as it ought to be.
        batch = range(done, min(replications, done + max(1, int(rate * BATCH_SECONDS))))
        began = time.perf_counter()
        yield from zip(batch, run_batch(plan, batch), strict=True)
        rate = len(batch) / (time.perf_counter() - began)
        done = batch.stop
        if progress is not None:
            progress(done, replications)
        # Unless a number of workers is asked for, they must be worth their start.
        wanted = workers or (cores() if done > 1 and (replications - done) / rate > WORTH_A_POOL else 1)
        if wanted > 1 and done < replications:
            yield from _pooled(plan, range(done, replications), wanted, rate, progress)
            return


@contextmanager
def _worker_starts() -> Iterator[None]:
    """Let workers start without the caller's main module, and deaf to Ctrl-C from their first moment.

    They need none of that module, and a script that calls a forecast outside of ``if __name__ == "__main__"`` would begin anew in
    each. An interrupt is left to the process that asked for the builds.
    """
    alone = threading.current_thread() is threading.main_thread()
    heard = signal.signal(signal.SIGINT, signal.SIG_IGN) if alone else None
    main = sys.modules["__main__"]
    kept: dict[str, Any] = {name: vars(main).pop(name) for name in ("__file__", "__spec__") if name in vars(main)}
    main.__spec__ = None
    try:
        yield
    finally:
        vars(main).update(kept)
        if alone:
            signal.signal(signal.SIGINT, heard)


def _pooled(plan: Plan, numbers: range, workers: int, rate: float, progress: Progress | None) -> Iterator[tuple[int, Record]]:
    size = max(1, min(int(rate * BATCH_SECONDS), -(-len(numbers) // workers)))
    waiting = [numbers[start : start + size] for start in range(0, len(numbers), size)][::-1]
    done, breaks = numbers.start, 0
    while waiting:
        pool = ProcessPoolExecutor(workers, multiprocessing.get_context("spawn"), set_plan, (plan,))
        sent: dict[Future[list[Record]], range] = {}
        try:
            while waiting or sent:
                with _worker_starts():
                    while waiting and len(sent) < 2 * workers:
                        future = pool.submit(run_set_plan, waiting[-1])  # a broken pool refuses it: it waits until it is sent
                        sent[future] = waiting.pop()
                for future in wait(sent, return_when=FIRST_COMPLETED).done:
                    records = future.result()
                    batch = sent.pop(future)
                    yield from zip(batch, records, strict=True)
                    done, breaks = done + len(batch), 0
                    if progress is not None:
                        progress(done, numbers.stop)
        except BrokenProcessPool:
            breaks += 1
            if breaks == BREAKS:
                raise
            waiting.extend(sent.values())
        finally:
            pool.shutdown(wait=False, cancel_futures=True)
