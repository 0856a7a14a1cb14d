"""What runs in a worker: a batch of builds of one plan. Nothing of tables or charts is imported, so that a worker starts soon."""

from __future__ import annotations

import gc
import multiprocessing
import multiprocessing.process
import os
import threading
from collections.abc import Sequence

from simulation.build.plan import Plan
from simulation.build.record import Record, record_of
from simulation.build.running import run

_plan: Plan | None = None


def set_plan(plan: Plan) -> None:
    """Keep the plan whose builds this worker is going to run, and end with the process that asked for them."""
    global _plan
    _plan = plan
    threading.Thread(target=_end_with, args=(multiprocessing.parent_process(),), daemon=True).start()


def _end_with(parent: multiprocessing.process.BaseProcess | None) -> None:
    if parent is not None:
        parent.join()
        os._exit(1)  # whoever waited for these builds is gone


def run_set_plan(replications: Sequence[int]) -> list[Record]:
    """Return the records of some builds of the plan that this worker keeps."""
    assert _plan is not None
    return run_batch(_plan, replications)


def run_batch(plan: Plan, replications: Sequence[int]) -> list[Record]:
    """Return the records of some builds, in the order asked for.

    Notes
    -----
    A build's memory is free as soon as it is dismissed, all but a few event objects, so the collector looks at what is new once a
    batch instead of all the time.
    """
    collecting = gc.isenabled()
    gc.disable()
    try:
        records: list[Record] = []
        for replication in replications:
            build = run(plan, replication)
            records.append(record_of(build))
            build.dismiss()
        return records
    finally:
        gc.collect(0)
        if collecting:
            gc.enable()
