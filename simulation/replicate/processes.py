"""Processes of this machine that do runs: started before a run is asked for, if it is known that many will be.

Little is loaded here, so that they may start while this process loads the rest and reads a scenario.
"""

from __future__ import annotations

import multiprocessing
import multiprocessing.connection
import multiprocessing.process
import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from contextlib import contextmanager
from typing import Any

#: The pool that nobody has, if there is one.
_free: list[Pool] = []
#: One for each block in which pools are kept from one workshop to the next.
_keeping: list[bool] = []


def cores() -> int:
    """Return how many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


@contextmanager
def pools_kept() -> Iterator[None]:
    """Have a pool that is given back kept for whoever takes the next one, until the block ends."""
    _keeping.append(True)
    try:
        yield
    finally:
        _keeping.pop()
        while _free and not _keeping:
            _free.pop().kill()  # nobody has it, so it has nothing to lose


def begin_pool(workers: int) -> None:
    """Let so many processes start now, for whoever takes a pool, where pools are kept."""
    if _keeping and not _free:
        _free.append(Pool(workers))
        for _ in range(workers):  # one for each: it takes a while
            _free[0].submit(_load)


def is_one_free() -> bool:
    """Return whether there is a pool that nobody has."""
    return bool(_free)


def take_pool(workers: int) -> Pool:
    """Return the pool that nobody has, if it has so many workers, or else another."""
    return _free.pop() if _free and _free[0].workers >= workers else Pool(workers)


def give_back(pool: Pool) -> None:
    """Keep a pool that is whole and has nothing to do, if pools are kept, or else let it go."""
    if _keeping and not _free and pool.at_rest:
        _free.append(pool)
    else:
        pool.shutdown(wait=False, cancel_futures=True)


class Pool(ProcessPoolExecutor):
    """A process pool, which starts its workers when the first work is submitted.

    The standard library offers no way to say what is said here: names with an underscore are its own.
    """

    def __init__(self, workers: int) -> None:
        # Spawned, not forked: the same on every system, and no worker inherits an open file or a half-held lock.
        super().__init__(workers, multiprocessing.get_context("spawn"), end_with_parent)
        self.workers = workers
        # All at once: one that starts later may start into a pool that breaks at that moment, and be left behind.
        self._safe_to_dynamically_spawn_children = False

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        """Send a call; the first one starts the workers."""
        with _worker_starts():
            return super().submit(fn, *args, **kwargs)

    @property
    def at_rest(self) -> bool:
        """Whether it is whole, and all that was sent is done."""
        return not self._broken and not self._pending_work_items

    def kill(self) -> None:
        """End it at once, whatever it is at."""
        for process in list((self._processes or {}).values()):
            process.kill()
        self.shutdown(wait=False, cancel_futures=True)

    def free(self) -> None:
        """Break a pool that waits for the rest of an answer whose worker was killed while it sent it.

        Such a worker takes the lock on answers with it, and the thread that reads them waits for ever, because this process and
        the other workers could still write. When none of them can, it notices, and the pool breaks as at any other death.
        """
        processes = list((self._processes or {}).values())
        if multiprocessing.connection.wait([process.sentinel for process in processes], timeout=0):
            for process in processes:
                process.kill()
            self._result_queue._writer.close()  # type: ignore[attr-defined]


def _load() -> None:
    """Load what a run needs, before the first is sent."""
    import simulation.replicate.worker  # noqa: F401


def end_with_parent() -> None:
    """Let this worker end when the process that started it does, however that ends."""
    threading.Thread(target=_end_with, args=(multiprocessing.parent_process(),), daemon=True).start()


def _end_with(parent: multiprocessing.process.BaseProcess | None) -> None:
    if parent is not None:
        parent.join()
        os._exit(1)  # whoever waited for these runs is gone


@contextmanager
def _worker_starts() -> Iterator[None]:
    """Let workers start without the caller's main module, and deaf to Ctrl-C from their first moment.

    They need none of that module, and a script that calls a forecast outside of ``if __name__ == "__main__"`` would begin anew in
    each. An interrupt is left to the process that asked for the runs; one that comes now reaches it when this ends.
    """
    main = sys.modules["__main__"]
    with _deaf():
        kept: dict[str, Any] = {name: vars(main).pop(name) for name in ("__file__", "__spec__") if name in vars(main)}
        main.__spec__ = None
        try:
            yield
        finally:
            vars(main).update(kept)


@contextmanager
def _deaf() -> Iterator[None]:
    """Keep an interrupt for later, and never let one through to processes that start meanwhile."""
    kept: list[int] = []
    alone = threading.current_thread() is threading.main_thread()
    heard = signal.getsignal(signal.SIGINT) if alone else None
    if callable(heard):  # kept, not ignored: submitting right after a batch is when Ctrl-C is likely
        signal.signal(signal.SIGINT, lambda number, _: kept.append(number))
    # Whoever starts while it is blocked has it blocked for ever; blocking alone keeps nothing, another thread would take it.
    blocked = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT}) if hasattr(signal, "pthread_sigmask") else None
    try:
        yield
    finally:
        if blocked is not None:
            signal.pthread_sigmask(signal.SIG_SETMASK, blocked)
        if callable(heard):
            signal.signal(signal.SIGINT, heard)
    if kept:
        signal.raise_signal(signal.SIGINT)
