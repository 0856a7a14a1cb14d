"""Does a worker keep anything of the runs that it has done?"""

import gc
import subprocess
import sys
import tracemalloc
from pathlib import Path

from scenarios import LITTLE, make_scenario

from simulation.construction import compile_plan
from simulation.replicate import worker
from simulation.replicate.worker import do_batch_of_runs


def memory(plan, runs):
    """Return the bytes that so many runs leave behind when their records are let go, and the most they needed at a time."""
    gc.collect()
    tracemalloc.start()
    records = do_batch_of_runs(plan, range(runs))
    assert len(records) == runs
    _, peak = tracemalloc.get_traced_memory()
    size = sum(map(sys.getsizeof, records)) + sum(sys.getsizeof(number) for record in records for number in record)
    del records
    gc.collect()  # empties what Python keeps of freed tuples and numbers, up to two thousand of each size
    left, _ = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    return left, peak - size


def test_memory_does_not_grow_with_the_number_of_runs():
    plan = compile_plan(make_scenario(LITTLE))
    do_batch_of_runs(plan, range(1000, 1040))  # what begins the streams of some runs is kept: of none that are done below
    few, many = memory(plan, 40), memory(plan, 120)
    assert many[0] - few[0] < 30_000
    one_run = 400_000  # a trace of 600 steps, the rows' luck, a week of weather
    assert many[1] - few[1] < one_run


def test_the_collector_is_on_again_after_a_batch_if_it_was_on():
    plan = compile_plan(make_scenario(LITTLE))
    assert gc.isenabled()
    do_batch_of_runs(plan, range(2))
    assert gc.isenabled()
    gc.disable()
    try:
        do_batch_of_runs(plan, range(2))
        assert not gc.isenabled()
    finally:
        gc.enable()


def test_runs_are_the_same_one_by_one_and_in_a_batch_in_any_order():
    plan = compile_plan(make_scenario(LITTLE))
    batch = do_batch_of_runs(plan, [4, 2, 9])
    assert batch == [do_batch_of_runs(plan, [number])[0] for number in (4, 2, 9)]


def test_a_worker_starts_without_tables_charts_and_what_reads_a_scenario():
    heavy = ["pandas", "matplotlib", "scipy", "astral", "pydantic", "typer", "simulation.scenario.tables"]
    look = f"import sys, simulation.replicate.worker; print([name for name in {heavy} if name in sys.modules])"
    root = Path(worker.__file__).parents[2]
    shown = subprocess.run([sys.executable, "-c", look], capture_output=True, text=True, cwd=root, check=True)
    assert shown.stdout.strip() == "[]"
