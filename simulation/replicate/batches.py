"""How do many runs get done? In batches sent to whoever does them; a worker that dies is replaced, its batches sent again."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Collection, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, wait
from dataclasses import dataclass
from itertools import islice
from typing import Self

from simulation.replicate import executors
from simulation.replicate.executors import ClusterError, Team
from simulation.replicate.processes import cores, is_one_free
from simulation.replicate.worker import Batch, Order, OtherProgram, do_batch

#: Seconds that one batch should take: long against the cost of sending it, short against what a kill may lose.
BATCH_SECONDS = 0.25
#: Below so many seconds of work in all, starting workers would cost more than they save.
WORTH_A_POOL = 3.0
#: The same, where workers have begun to start already.
WORTH_A_FREE_POOL = 0.5
#: Times in a row that a team may break without a single batch done before it is the program that is broken.
BREAKS = 3


@dataclass(frozen=True)
class Wanted:
    """Runs of one plan that are to be done, or other work of each number.

    Attributes
    ----------
    order : Order
        What is to be built.
    numbers : sequence of int
        Runs, each once.
    spared : callable
        Asked just before a batch is sent which of its runs need not be done, because somebody else has. Default: none.
    """

    order: Order
    numbers: Sequence[int]
    spared: Callable[[Sequence[int]], Collection[int]] = lambda numbers: ()


class WorkersLost(RuntimeError):
    """Team after team broke without a batch done, as where the system ends them for want of memory."""


class Batches:
    """Sends batches of runs to a team, and takes them as they are done; one team serves plan after plan.

    Parameters
    ----------
    workers : int, optional
        Processes on this machine. Default: one for each core where the work is worth their start. The records are the same for
        any number.
    cluster : str, optional
        Address of a cluster's scheduler; its workers do the runs instead.

    Raises
    ------
    ClusterError
        If the cluster cannot be used.
    """

    def __init__(self, workers: int | None = None, cluster: str | None = None) -> None:
        self._workers, self._cluster = workers, cluster
        self._pooled = False
        self._rate = 0.0
        self._spent, self._done = 0.0, 0
        self._team: Team | None = executors.cluster(cluster) if cluster is not None else None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Let the team go; what it has not done is dropped."""
        if self._team is not None:
            self._team.close()
            self._team = None

    def do(self, wanted: Sequence[Wanted]) -> Iterator[tuple[int, Batch]]:
        """Yield batches as they are done, each with the place of what it is of, until every run is.

        What is wanted first is begun first, and what is wanted next while the last batches of that are under way: nobody waits
        for the end of one plan's runs before those of the next are begun.

        Raises
        ------
        WorkersLost
            If no team lives long enough to do a batch.
        """
        left = deque((place, deque(one.numbers)) for place, one in enumerate(wanted) if one.numbers)
        sent: dict[Future[Batch], tuple[int, Sequence[int]]] = {}
        breaks = 0
        while left or sent:
            runs_left = sum(len(numbers) for _, numbers in left)
            team = self._team_for(runs_left)
            try:
                while left and len(sent) < team.room():
                    place, numbers = left[0]
                    batch = tuple(islice(numbers, self._size(len(numbers), runs_left, team)))
                    spared = wanted[place].spared(batch)
                    due = [number for number in batch if number not in spared]
                    if due:
                        future = team.executor.submit(do_batch, wanted[place].order, due)  # a broken pool refuses: all is left
                        sent[future] = place, due
                    runs_left -= len(batch)
                    for _ in batch:
                        numbers.popleft()
                    if not numbers:
                        left.popleft()
                ended = wait(sent, team.silence, FIRST_COMPLETED).done
                if not ended:
                    team.look_after()
                for future in ended:
                    done = future.result()
                    place, _ = sent.pop(future)
                    breaks = 0
                    self._learn(done)
                    yield place, done
            except team.broken:
                self.close()
                breaks += 1
                if breaks == BREAKS:
                    remedy = "try --workers 1" if self._cluster is None else "give them more memory"
                    why = f"the workers ended {BREAKS} times without a run done, as where memory runs out: {remedy}"
                    raise WorkersLost(why) from None
                left.extendleft((place, deque(lost)) for place, lost in reversed(sent.values()))
                sent.clear()
            except Exception as error:
                if self._cluster is None or isinstance(error, ClusterError):
                    raise
                why = str(error).partition("\n")[0]
                if isinstance(error, OtherProgram | ImportError):
                    raise ClusterError(f"{why}; install the same keystrip and libraries on every machine") from None
                raise ClusterError(f"a batch failed on a worker: {type(error).__name__}: {why}") from error

    def _team_for(self, left: int) -> Team:
        """Return who does the next runs: this process, until the pace is known and a pool is worth its start."""
        if self._cluster is not None:
            if self._team is None:
                self._team = executors.cluster(self._cluster)
            return self._team
        if not self._pooled and left:
            # The first run is slower than the others, the second tells their pace.
            least = WORTH_A_FREE_POOL if is_one_free() else WORTH_A_POOL
            worth = self._done > 1 and self._spent + left / self._rate > least
            wanted = self._wanted(left) if self._workers or worth else 1
            if wanted > 1 and self._done:
                self.close()
                self._pooled = True
        if self._team is None:
            self._team = executors.pool(self._wanted(left)) if self._pooled else executors.in_process()
        return self._team

    def _wanted(self, left: int) -> int:
        """Return how many workers the runs left are worth: no more than there are batches for."""
        batches = -(-left // max(1, int(self._rate * BATCH_SECONDS)))
        return max(1, min(self._workers or cores(), batches))

    def _size(self, numbers: int, runs_left: int, team: Team) -> int:
        """Return how many runs the next batch of a plan has: equal parts of it, and towards the end of all runs smaller ones.

        So no worker waits long for the last one.
        """
        most = max(1, min(int(self._rate * BATCH_SECONDS), -(-runs_left // team.room())))
        return -(-numbers // -(-numbers // most))

    def _learn(self, batch: Batch) -> None:
        # A clock that ticks coarsely may show no time at all.
        self._rate = len(batch.numbers) / max(batch.seconds, 1e-6)
        self._spent += batch.seconds
        self._done += len(batch.numbers)
