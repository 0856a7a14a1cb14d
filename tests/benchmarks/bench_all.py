"""How fast is this program, beside other ways to lay the same line, and what do size, runs and a second worker cost?

Run it by hand on a quiet machine, ``python tests/benchmarks/bench_all.py``: in about eight minutes it prints its tables, what
each command takes beside the kept baseline (`bench_commands.py`) among them, and writes them with a picture to
``reports/benchmarks/``. Every contestant takes its turn in every round and a ratio is one of the
same round, so that a machine whose pace drifts does not decide; the collector rests during a turn, for all alike, as it does
during a batch of this program.
"""

from __future__ import annotations

import argparse
import gc
import statistics
import time
from collections.abc import Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path

from bench_commands import as_table, measure_all, read_baseline
from bench_forecast import bare_timeout, one_run, peak_memory, room_for_two
from bench_picture import save_picture
from bench_table import FLOOR, THIS, Cost, Memory, Results, Scaling, Timing, as_text
from contestants import reduced_by_hand, same_line_by_hand
from contestants.benchmark_lines import (
    ROOT,
    Lay,
    ReducedLine,
    SameLine,
    by_this_program,
    reduced_scenario,
    runway_of,
    same_scenario,
    whole_scenario,
)
from contestants.reduced_in_ciw import in_ciw
from contestants.reduced_in_salabim import in_salabim_by_pallets, in_salabim_by_workers
from contestants.reduced_in_simpy import in_simpy_by_pallets, in_simpy_by_workers
from contestants.same_line_by_mats import by_mats

from simulation.construction import compile_plan
from simulation.replicate import do_runs


@dataclass
class Contestant:
    """One way to lay one line, and how it did: runs a second of each round, and the hours at which its runs finished."""

    line: str
    name: str
    lay: Lay
    speeds: list[float] = field(default_factory=list)
    finished: list[float] = field(default_factory=list)
    a_turn: int = 1

    def take_turn(self, runs: int) -> float:
        """Lay so many runs, the next by number, and return how many it did a second."""
        numbers = range(len(self.finished), len(self.finished) + runs)
        gc.collect()
        gc.disable()
        began = time.perf_counter()
        finished = self.lay(numbers)
        seconds = time.perf_counter() - began
        gc.enable()
        self.finished += finished
        return runs / seconds


def contestants(pallets: int, feet: int) -> list[Contestant]:
    """Return everybody who lays a line, the reduced one of so many pallets, the same one of so many feet."""
    same, reduced = same_scenario(feet), reduced_scenario(pallets)
    same_line, reduced_line = SameLine.of(same), ReducedLine.of(reduced)
    return [
        Contestant("whole", THIS, by_this_program(whole_scenario())),
        Contestant("same", FLOOR, same_line_by_hand.by_hand(same_line)),
        Contestant("same", THIS, by_this_program(same)),
        Contestant("same", "SimPy, mat by mat", by_mats(same_line)),
        Contestant("reduced", FLOOR, reduced_by_hand.by_hand(reduced_line)),
        Contestant("reduced", THIS, by_this_program(reduced)),
        Contestant("reduced", "SimPy, a process per worker", in_simpy_by_workers(reduced_line)),
        Contestant("reduced", "SimPy, a process per pallet", in_simpy_by_pallets(reduced_line)),
        Contestant("reduced", "salabim, a component per worker", in_salabim_by_workers(reduced_line)),
        Contestant("reduced", "salabim, a component per pallet", in_salabim_by_pallets(reduced_line)),
        Contestant("reduced", "ciw, a customer per pallet", in_ciw(reduced_line)),
    ]


def race(everybody: list[Contestant], rounds: int, turn: float, least: int) -> list[Timing]:
    """Return how everybody did: `rounds` turns of about `turn` seconds and at least so many runs each, once all are warm."""
    for one in everybody:
        one.take_turn(1)
        one.a_turn = max(least, round(turn * one.take_turn(1)))
    for _ in range(rounds):
        for one in everybody:
            one.speeds.append(one.take_turn(one.a_turn))
    return [
        Timing(
            one.line,
            one.name,
            max(one.speeds),
            statistics.median(one.speeds),
            _against(one, everybody, FLOOR),
            _against(one, everybody, THIS),
            statistics.mean(one.finished),
            statistics.stdev(one.finished) / len(one.finished) ** 0.5,
            len(one.finished),
        )
        for one in everybody
    ]


def _against(one: Contestant, everybody: Iterable[Contestant], name: str) -> float | None:
    """Return the median over the rounds of how many times as fast `one` was as another on the same line."""
    for other in everybody:
        if (other.line, other.name) == (one.line, name):
            return statistics.median(mine / its for mine, its in zip(one.speeds, other.speeds, strict=True))
    return None


def scaling(runs: int, rounds: int, timeouts: int) -> Scaling:
    """Return the pace of one worker and of two, medians of turns."""
    scenario = whole_scenario()
    speeds: dict[int, list[float]] = {1: [], 2: []}
    for _ in range(rounds):
        for workers, of_workers in speeds.items():
            began = time.perf_counter()
            do_runs(scenario, runs, workers=workers)
            of_workers.append(runs / (time.perf_counter() - began))
    gain = statistics.median(two / one for one, two in zip(speeds[1], speeds[2], strict=True))
    return Scaling(runs, statistics.median(speeds[1]), statistics.median(speeds[2]), gain, room_for_two(timeouts))


def cost_by_size(sizes: list[int], rounds: int, runs: int, timeouts: int) -> list[Cost]:
    """Return what a run of the runway costs by its length; bare timeouts stand on both sides of its runs."""
    plans = {feet: compile_plan(runway_of(feet)) for feet in sizes}
    seconds: dict[int, list[float]] = {feet: [] for feet in sizes}
    per_pallet: dict[int, list[float]] = {feet: [] for feet in sizes}
    for plan in plans.values():
        one_run(plan, range(1))
    for number in range(rounds):
        for feet, plan in plans.items():
            before = bare_timeout(timeouts)
            run = one_run(plan, range(number * runs, (number + 1) * runs))
            bare = (before + bare_timeout(timeouts)) / 2
            seconds[feet].append(run)
            per_pallet[feet].append(run / plan.supply.total / bare)
    return [
        Cost(feet, plan.supply.total, *_best_and_median(seconds[feet]), *_best_and_median(per_pallet[feet]))
        for feet, plan in plans.items()
    ]


def _best_and_median(values: list[float]) -> tuple[float, float]:
    return min(values), statistics.median(values)


def memory(counts: list[int]) -> list[Memory]:
    """Return the peak memory of fresh processes with so many runs each; they run at once, since no time is taken."""
    width = len(do_runs(whole_scenario(), 1, workers=1).columns)
    with ThreadPoolExecutor(len(counts)) as threads:
        shown = list(threads.map(lambda count: peak_memory([count])[0][1], counts))
    return [Memory(count, float(peak.split()[0]), 8.0 * width * count / 2**20) for count, peak in zip(counts, shown, strict=True)]


def commands(only: list[str], times: int, timeouts: int) -> str:
    """Return the table of what each command takes, now and when the baseline was kept."""
    commit, baseline = read_baseline()
    return as_table(measure_all(ROOT, only, times, 2 * timeouts), baseline, commit)


def main() -> None:
    parser = argparse.ArgumentParser(description="How fast is this program, beside other ways to lay the same line?")
    parser.add_argument("--rounds", type=int, default=9, help="turns of every contestant")
    parser.add_argument("--turn", type=float, default=0.4, help="seconds of one turn, about")
    parser.add_argument("--least", type=int, default=4, help="runs of one turn, at least")
    parser.add_argument("--pallets", type=int, default=400, help="pallets of the reduced line")
    parser.add_argument("--feet", type=int, default=3000, help="length of the same line's runway")
    parser.add_argument("--runs", type=int, default=1000, help="runs for the pace of one and of two workers")
    parser.add_argument("--paces", type=int, default=2, help="turns of one and of two workers")
    parser.add_argument("--sizes", type=int, nargs="+", default=[300, 1000, 3000, 6000, 12000], help="lengths of the runway, ft")
    parser.add_argument("--timeouts", type=int, default=100_000, help="bare timeouts on each side of a field's runs")
    parser.add_argument("--memory", type=int, nargs="+", default=[100, 1000, 4000], help="runs of the processes compared")
    parser.add_argument("--only", nargs="+", default=[], help="commands that are timed, by the beginning of their names")
    parser.add_argument("--times", type=int, default=3, help="times that a command of a few seconds is run; longer ones once")
    parser.add_argument("--out", type=Path, default=ROOT / "reports" / "benchmarks", help="folder for the table and the picture")
    asked = parser.parse_args()
    results = Results(
        race(contestants(asked.pallets, asked.feet), asked.rounds, asked.turn, asked.least),
        scaling(asked.runs, asked.paces, 20 * asked.timeouts),
        cost_by_size(asked.sizes, asked.rounds, 3, asked.timeouts),
        memory(asked.memory),
        asked.rounds,
        {"same": f"{asked.feet:,} ft", "reduced": f"{asked.pallets:,} pallets"},
        commands(asked.only, asked.times, asked.timeouts),
    )
    text = as_text(results)
    print(text)
    asked.out.mkdir(parents=True, exist_ok=True)
    (asked.out / "benchmarks.md").write_text(text, encoding="utf-8")
    save_picture(results, asked.out / "benchmarks")


if __name__ == "__main__":
    main()
