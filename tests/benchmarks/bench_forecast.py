"""What does a forecast cost, in the units in which it was promised?

Run it by hand: ``python tests/benchmarks/bench_forecast.py``. It prints one table:

* the cost of one run of the reference field, with its trace, chain of causes and record, as bare SimPy timeouts per pallet; the
  two are timed in turns in the same run, in processor time, so that a busy machine slows both alike;
* runs a second with one worker and with two, and the speed-up;
* the peak memory of a fresh process that does 100 runs, and of one that does 1,000;
* how long ``keystrip --help`` takes, the wall time of a fresh process.
"""

from __future__ import annotations

import argparse
import gc
import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from simulation.construction import Plan, compile_plan  # noqa: E402
from simulation.replicate import do_runs  # noqa: E402
from simulation.replicate.worker import do_batch_of_runs  # noqa: E402
from simulation.scenario import load_scenario  # noqa: E402

FIELD = ROOT / "configs" / "relief_strip.toml"
Row = tuple[str, str, str]


def bare_timeout(count: int, clock: Callable[[], float] = time.perf_counter) -> float:
    """Return the seconds that one timeout in a process of an otherwise empty simulation takes."""
    import simpy

    env = simpy.Environment()

    def wait() -> Iterator[simpy.Event]:
        for _ in range(count):
            yield env.timeout(1.0)

    env.process(wait())
    gc.disable()  # as during a batch of runs
    began = clock()
    env.run()
    seconds = clock() - began
    gc.enable()
    return seconds / count


def one_run(plan: Plan, runs: range) -> float:
    """Return the seconds of processor time that one run with its record takes, as a worker does it."""
    began = time.process_time()
    do_batch_of_runs(plan, runs)
    return (time.process_time() - began) / len(runs)


def cost(rounds: int, timeouts: int, runs: int) -> list[Row]:
    plan = compile_plan(load_scenario(FIELD))
    pallets = plan.supply.total
    bare_timeout(timeouts, time.process_time)
    one_run(plan, range(runs))
    bare, full, ratio = [], [], []
    for number in range(rounds):
        batch = range(number * runs, (number + 1) * runs)
        # The timeouts stand on both sides of the runs, so that a drift of the machine's pace cancels.
        before = bare_timeout(timeouts, time.process_time)
        run, after = one_run(plan, batch), bare_timeout(timeouts, time.process_time)
        bare.append((before + after) / 2)
        full.append(run)
        ratio.append(run / pallets / bare[-1])
    return [
        ("bare timeout", f"{min(bare) * 1e6:.3f} µs", f"{statistics.median(bare) * 1e6:.3f} µs"),
        (f"one run, {pallets} pallets", f"{min(full) * 1e3:.2f} ms", f"{statistics.median(full) * 1e3:.2f} ms"),
        ("timeouts per pallet (at most 12 on a quiet machine)", f"{min(ratio):.2f}", f"{statistics.median(ratio):.2f}"),
    ]


def room_for_two(timeouts: int) -> float:
    """Return how much more two processes that share nothing get done at once than one: what the machine has to give just now."""
    here = str(Path(__file__).parent)
    loop = f"import sys; sys.path.insert(0, {here!r}); import bench_forecast as one; print(one.bare_timeout({timeouts}))"

    def each(processes: int) -> float:
        started = [subprocess.Popen([sys.executable, "-c", loop], stdout=subprocess.PIPE, text=True) for _ in range(processes)]
        return statistics.mean(float(process.communicate()[0]) for process in started)

    return 2 * each(1) / each(2)


def pace(runs: int, timeouts: int) -> list[Row]:
    scenario = load_scenario(FIELD)
    seconds = {}
    for workers in (1, 2):
        began = time.perf_counter()
        do_runs(scenario, runs, workers=workers)
        seconds[workers] = time.perf_counter() - began
    rows = [
        (f"{runs:,} runs, {workers} worker{'s'[: workers - 1]}", f"{runs / seconds[workers]:.1f} /s", "") for workers in seconds
    ]
    return [
        *rows,
        ("speed-up by the second (at least 1.8)", f"{seconds[1] / seconds[2]:.2f}", ""),
        ("two bare processes at once, over one", f"{room_for_two(timeouts):.2f}", ""),
    ]


_PEAK = """
import sys
sys.path.insert(0, sys.argv[1])
from simulation.replicate import do_runs
from simulation.scenario import load_scenario
do_runs(load_scenario(sys.argv[2]), int(sys.argv[3]), workers=1)
try:  # what this program itself used; the other one can hold what its parent had when it was started
    lines = open("/proc/self/status").read().splitlines()
    print(next(int(line.split()[1]) for line in lines if line.startswith("VmHWM")))
except OSError:
    import resource
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // (1024 if sys.platform == "darwin" else 1))
"""


def peak_memory(counts: list[int]) -> list[Row]:
    peaks = []
    for runs in counts:
        arguments = [sys.executable, "-c", _PEAK, str(ROOT), str(FIELD), str(runs)]
        shown = subprocess.run(arguments, capture_output=True, text=True, check=True)
        peaks.append(int(shown.stdout) / 1024)
    rows = [(f"peak memory, {runs:,} runs", f"{peak:.1f} MiB", "") for runs, peak in zip(counts, peaks, strict=True)]
    return [*rows, ("more for the more runs", f"{peaks[-1] - peaks[0]:.1f} MiB", "")]


def start_up(times: int) -> list[Row]:
    seconds = []
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    for _ in range(times):
        began = time.perf_counter()
        subprocess.run([sys.executable, "-m", "simulation", "--help"], stdout=subprocess.DEVNULL, env=environment, check=True)
        seconds.append(time.perf_counter() - began)
    return [("keystrip --help (under 0.4 s)", f"{min(seconds):.3f} s", f"{statistics.median(seconds):.3f} s")]


def main() -> None:
    parser = argparse.ArgumentParser(description="What a forecast costs.")
    parser.add_argument("--runs", type=int, default=2000, help="runs for the pace of one and of two workers")
    parser.add_argument("--rounds", type=int, default=15, help="rounds of runs and bare timeouts in turns")
    parser.add_argument("--timeouts", type=int, default=200_000, help="bare timeouts before and after the runs of a round")
    parser.add_argument("--memory", type=int, nargs=2, default=[100, 1000], help="runs of the two processes compared")
    parser.add_argument("--starts", type=int, default=7, help="starts of the program")
    asked = parser.parse_args()
    rows = [("", "best", "median"), *cost(asked.rounds, asked.timeouts, 10)]
    rows += pace(asked.runs, 10 * asked.timeouts) + peak_memory(asked.memory) + start_up(asked.starts)
    widths = [max(len(row[place]) for row in rows) for place in range(3)]
    for row in rows:
        print(f"{row[0]:<{widths[0]}}  {row[1]:>{widths[1]}}  {row[2]:>{widths[2]}}".rstrip())


if __name__ == "__main__":
    main()
