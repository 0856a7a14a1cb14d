"""What runs in a worker: a batch of runs of one plan. Nothing of tables or charts is imported, so that a worker starts soon."""

from __future__ import annotations

import gc
import pickle
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from struct import Struct

from simulation.construction.plan.plan import Plan
from simulation.construction.running import simulate
from simulation.construction.trace.record import Record, make_record
from simulation.replicate.identity import program_hash, versions

#: What is done for the run of a number where that is no run of one plan: it can be pickled, and returns its record.
OtherWork = Callable[[int], bytes]


@dataclass(frozen=True)
class Order:
    """What a worker is asked to build, the same for every batch.

    It goes along with each batch, since it costs a thousandth of one, and a worker that joins late or takes another's place needs
    nothing else.

    Attributes
    ----------
    work : bytes
        A pickled `Plan`, or `OtherWork`.
    program : str
        `program_hash` of the program that asks.
    versions : dict of str to str
        Its libraries.
    """

    work: bytes
    program: str
    versions: dict[str, str]

    @classmethod
    def of(cls, work: Plan | OtherWork) -> Order:
        """Return the order for runs of one plan, or for other work of each number, by this program."""
        return cls(pickle.dumps(work, pickle.HIGHEST_PROTOCOL), program_hash(), versions())


@dataclass(frozen=True)
class Batch:
    """Runs that are done.

    Attributes
    ----------
    numbers : sequence of int
        Runs.
    records : tuple of bytes
        The record of each: 64-bit little-endian floats in the order of `simulation.construction.columns`; of other work, what it
        returned.
    seconds : float
        That the worker took.
    """

    numbers: Sequence[int]
    records: tuple[bytes, ...]
    seconds: float


class OtherProgram(RuntimeError):
    """A worker's program or libraries are not those of the program that asks: its runs could differ."""


def do_batch(order: Order, numbers: Sequence[int]) -> Batch:
    """Do some runs of what is ordered.

    Raises
    ------
    OtherProgram
        If this worker's program or libraries differ from those of whoever asks.
    """
    if order.program != program_hash():
        raise OtherProgram("a worker runs another keystrip")
    for library, version in order.versions.items():
        if versions()[library] != version:
            raise OtherProgram(f"a worker has {library} {versions()[library]} where {version} is asked for")
    began = time.perf_counter()
    work = _work_of(order.work)
    if isinstance(work, Plan):
        packed = tuple(pack(record) for record in do_batch_of_runs(work, numbers))
    else:
        packed = tuple(work(number) for number in numbers)
    return Batch(numbers, packed, time.perf_counter() - began)


@lru_cache(maxsize=2)
def _work_of(pickled: bytes) -> Plan | OtherWork:
    work: Plan | OtherWork = pickle.loads(pickled)
    return work


def pack(record: Record) -> bytes:
    """Return a record as it is sent and kept."""
    return Struct(f"<{len(record)}d").pack(*record)


def do_batch_of_runs(plan: Plan, run_count: Sequence[int]) -> list[Record]:
    """Return the records of some runs, in the order asked for.

    Notes
    -----
    A run's memory is free as soon as it is dismissed, all but a few event objects, so the collector looks at what is new once a
    batch instead of all the time.
    """
    collecting = gc.isenabled()
    gc.disable()
    try:
        return [_do_run(plan, run_number) for run_number in run_count]
    finally:
        gc.collect(0)
        if collecting:
            gc.enable()


def _do_run(plan: Plan, run_number: int) -> Record:
    """Return the record of one run, whose memory is free by then."""
    run = simulate(plan, run_number)
    record = make_record(run)
    run.dismiss()
    return record
