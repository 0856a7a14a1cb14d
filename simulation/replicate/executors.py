"""Who does the runs? This process, a pool of processes on this machine, or a cluster: each a `concurrent.futures` executor."""

from __future__ import annotations

import pickle
import re
from collections.abc import Callable
from concurrent.futures import BrokenExecutor, CancelledError, Executor, Future
from dataclasses import dataclass
from functools import partial
from typing import Any

from simulation.replicate.processes import give_back, take_pool
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
    executor = take_pool(workers)
    return Team(executor, lambda: 2 * workers, partial(give_back, executor), (BrokenExecutor,), 2.0, executor.free)


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
