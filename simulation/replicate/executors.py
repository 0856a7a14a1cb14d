"""Who does the runs? This process, a pool of processes on this machine, or a cluster: each a `concurrent.futures` executor."""

from __future__ import annotations

import multiprocessing
import multiprocessing.connection
import os
import pickle
import re
import signal
import sys
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import BrokenExecutor, CancelledError, Executor, Future, ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from typing import Any

from simulation.replicate.worker import end_with_parent
from simulation.scenario.types.mistakes import shown

#: Seconds to wait for a cluster's scheduler to answer, and then for its first worker. Planning values.
ANSWER, PATIENCE = 5.0, 10.0
#: How an address is written: a name or a number of a machine, in brackets where it holds colons, and its port.
_ADDRESS = re.compile(r"(?:tcp|tls)://(?:[A-Za-z0-9_.-]+|\[[0-9A-Fa-f:.%]+\]):([0-9]{1,5})")


class ClusterError(RuntimeError):
    """A cluster that cannot be reached, has no workers, or whose workers cannot do the runs."""


@dataclass(frozen=True)
class Team:
    """An executor with what else has to be known of it.

    Attributes
    ----------
    executor : Executor
    room : callable
        Returns how many batches to have sent at once, now: with two for each worker, none waits for its next one.
    close : callable
        Lets it go at once; batches that are not done are dropped.
    broken : tuple of exception types
        Raised by a batch that was lost with its worker and can be done again by another team.
    silence : float
        Seconds without a batch after which somebody looks after it.
    look_after : callable
        Sees to it that batches that will never come are given up, or raises.
    """

    executor: Executor
    room: Callable[[], int]
    close: Callable[[], None]
    broken: tuple[type[BaseException], ...] = ()
    silence: float = PATIENCE
    look_after: Callable[[], None] = lambda: None


class InProcess(Executor):
    """An executor that does at once, in this process, what is submitted."""

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        """Call `fn` and return a future that is done; an interrupt is let through to whoever submits."""
        future: Future[Any] = Future()
        try:
            future.set_result(fn(*args, **kwargs))
        except Exception as error:
            future.set_exception(error)
        return future


def in_process() -> Team:
    """Return this process as a team of one."""
    return Team(InProcess(), lambda: 1, lambda: None)


def pool(workers: int) -> Team:
    """Return a team of so many processes on this machine."""
    executor = _Pool(workers)
    close = partial(executor.shutdown, wait=False, cancel_futures=True)
    return Team(executor, lambda: 2 * workers, close, (BrokenExecutor,), 2.0, executor.free)


class _Pool(ProcessPoolExecutor):
    """A process pool, which starts its workers when the first work is submitted.

    The standard library offers no way to say what is said here: names with an underscore are its own.
    """

    def __init__(self, workers: int) -> None:
        # Spawned, not forked: the same on every system, and no worker inherits an open file or a half-held lock.
        super().__init__(workers, multiprocessing.get_context("spawn"), end_with_parent)
        # All at once: one that starts later may start into a pool that breaks at that moment, and be left behind.
        self._safe_to_dynamically_spawn_children = False

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        with _worker_starts():
            return super().submit(fn, *args, **kwargs)

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


def cluster(address: str) -> Team:
    """Return the workers of a cluster that is already running.

    Parameters
    ----------
    address : str
        Of its scheduler, such as ``tcp://10.0.0.5:8786``.

    Raises
    ------
    ClusterError
        If it is no such address, the extra is not installed, or nobody answers.
    """
    written = _ADDRESS.fullmatch(address)
    if written is None or not 0 < int(written[1]) < 2**16:
        raise ClusterError(f"{shown(address)} is no address of a scheduler; write one such as tcp://10.0.0.5:8786")
    try:
        from distributed import Client, KilledWorker
    except ImportError:
        raise ClusterError("needs dask.distributed: pip install 'keystrip[cluster]' on every machine") from None
    try:
        client: Any = Client(address, timeout=ANSWER, set_as_default=False)  # type: ignore[no-untyped-call]
    except (OSError, ValueError) as error:
        why = "" if isinstance(error, TimeoutError) else f" ({_first_line(error)})"
        raise ClusterError(
            f"no scheduler answers at {address} within {ANSWER:.0f} s{why}; start it, or mend the address"
        ) from None
    try:
        client.wait_for_workers(1, timeout=PATIENCE)
    except TimeoutError:
        client.close()
        raise ClusterError(f"the scheduler at {address} has no workers; start some: dask worker {address} --nthreads 1") from None

    def close() -> None:
        executor.shutdown(wait=False)
        client.close()

    def look_after() -> None:
        if not client.nthreads():
            raise ClusterError(f"{address} has no workers any more; start some, and the same command goes on")

    # Impure: a batch that failed on a worker that died is done again, not answered from memory of the failure.
    executor = _Sealed(client.get_executor(pure=False))
    return Team(
        executor,
        lambda: 2 * max(1, sum(client.nthreads().values())),  # workers that join later are given batches as well
        close,
        (CancelledError, KilledWorker, OSError),
        PATIENCE,
        look_after,
    )


class _Sealed(Executor):
    """Sends calls in a form that only the worker opens, within the task itself.

    A scheduler then needs none of this program, and a worker that lacks it fails with words instead of dying on arrival.
    """

    def __init__(self, executor: Executor) -> None:
        self._executor = executor

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        return self._executor.submit(pickle.loads, pickle.dumps(_Call(partial(fn, *args, **kwargs))))

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        self._executor.shutdown(wait=wait)


class _Call:
    """Something that is called when it is unpickled, and unpickles as what it returns."""

    def __init__(self, call: Callable[[], Any]) -> None:
        self._call = call

    def __reduce__(self) -> tuple[Callable[[], Any], tuple[()]]:
        return self._call, ()


def _first_line(error: BaseException) -> str:
    return (str(error).splitlines() or [type(error).__name__])[0]


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


def cores() -> int:
    """Return how many cores this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
