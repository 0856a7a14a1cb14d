"""What does a planner wait for? Every command on the shipped scenario, and one on another, beside a kept baseline, in one table.

Run it by hand on a quiet machine::

    python tests/benchmarks/bench_commands.py                          # the table, against tests/benchmarks/baseline.json
    python tests/benchmarks/bench_commands.py --only forecast check    # some rows
    python tests/benchmarks/bench_commands.py --tree OLD --commit NAME --save   # measure a checkout, and keep it as the baseline

Seconds are of the wall; *work* is processor time, that of all workers together, over that of a bare timeout loop that is timed
before and after each command. So figures of two machines, or of two hours of one that others use as well, can be compared, and
*ratio* is work now over work of the baseline: 0.5 is half of it, and above 1 is a regression. *Runs saved* are those that the
baseline did for the same answer and this program does not.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import platform
import resource
import shutil
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import asdict, dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from bench_forecast import bare_timeout

HERE = Path(__file__).parent
BASELINE = HERE / "baseline.json"
#: Above this ratio a row is called slower: two measurements of one program differ by less on a machine in use. Planning value.
SLOWER = 1.15


@dataclass(frozen=True)
class Row:
    """One command: what it is called, its words, and whether it goes on in the folder that the row before left."""

    name: str
    words: str
    goes_on: bool = False


ROWS = (
    Row("help", "--help"),
    Row("check", "check"),
    Row("takeoff", "takeoff"),
    Row("forecast", "forecast"),
    Row("forecast, stored", "forecast", goes_on=True),
    Row("sensitivity", "sensitivity", goes_on=True),
    Row("conditions", "conditions"),
    Row("bottlenecks", "bottlenecks --deadline 12d"),
    Row("slip", "slip"),
    Row("staffing", "staffing --deadline 18d --confidence 0.8 --crews 2x16..32:8 --forklifts 2..3"),
    Row("brief", "brief --deadline 12d"),
    Row("sensitivity, tornado", "sensitivity --tornado"),
    # A rail, a crew with hours of its own, two crews on one area.
    Row("bottlenecks, railed strip", "bottlenecks railed_strip --runs 100"),
)
#: What ends a command where its first run would begin, and says how much processor time that took.
_TO_FIRST_RUN = """
import os, sys, time
from simulation.replicate import worker
def first(*_):
    print(time.process_time(), file=sys.stderr, flush=True)
    os._exit(0)
worker.do_batch_of_runs = first
import simulation.cli
sys.argv = ["keystrip", "forecast", "--workers", "1"]  # workers of a pool would outlive it
simulation.cli.main()
"""


@dataclass(frozen=True)
class Measured:
    """One command: seconds of the wall and of processors, the median of some times; a bare timeout beside it; runs done."""

    wall: float
    cpu: float
    bare: float
    runs: int

    @property
    def work(self) -> float:
        """Processor time in thousands of bare timeouts."""
        return self.cpu / self.bare / 1000.0


def _environment(tree: Path) -> dict[str, str]:
    """Return what a command of a tree finds: the program compiled, as where it is installed, and apart from other trees."""
    without = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    compiled = Path(tempfile.gettempdir()) / f"keystrip-compiled-{hashlib.sha256(str(tree).encode()).hexdigest()[:16]}"
    return {**without, "PYTHONPATH": str(tree), "PYTHONPYCACHEPREFIX": str(compiled)}


def _bare(count: int) -> float:
    """Return the processor time of a bare timeout, as that of a command is told, whoever else uses the machine."""
    return bare_timeout(count, time.process_time)


def _processors() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def _count_runs(folder: Path) -> int:
    """Return how many runs all stores below a folder hold."""
    count = 0
    for store in folder.rglob("runs.sqlite"):
        base = sqlite3.connect(f"file:{store}?mode=ro", uri=True)
        tables = {name for (name,) in base.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        table = next(name for name in ("run", "build") if name in tables)
        count += int(base.execute(f"SELECT count(*) FROM {table}").fetchone()[0])
        base.close()
    return count


def measure(row: Row, tree: Path, folder: Path, times: int, timeouts: int) -> Measured:
    """Return what a command of the program in `tree` takes, in a folder of its own unless the row goes on in one."""
    walls, processors, bares = [], [], []
    done = 0
    for _ in range(times):
        if not row.goes_on:
            shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir(exist_ok=True)
        there = _count_runs(folder)
        before, began, used = _bare(timeouts), time.perf_counter(), _processors()
        command = [sys.executable, "-m", "simulation", *row.words.split()]
        made = subprocess.run(command, cwd=folder, env=_environment(tree), capture_output=True, text=True, check=False)
        if made.returncode:
            raise SystemExit(f"{row.words}: ended with {made.returncode}: {made.stderr[-500:]}")
        walls.append(time.perf_counter() - began)
        processors.append(_processors() - used)
        bares.append((before + _bare(timeouts)) / 2)
        done = _count_runs(folder) - there
    return Measured(statistics.median(walls), statistics.median(processors), statistics.median(bares), done)


def measure_first_run(tree: Path, folder: Path, times: int, timeouts: int) -> Measured:
    """Return what a forecast takes before its first run begins."""
    walls, processors, bares = [], [], []
    for _ in range(times):
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir()
        before, began = _bare(timeouts), time.perf_counter()
        command = [sys.executable, "-c", _TO_FIRST_RUN]
        said = subprocess.run(command, cwd=folder, env=_environment(tree), capture_output=True, text=True, check=True).stderr
        walls.append(time.perf_counter() - began)
        processors.append(float(said.split()[-1]))
        bares.append((before + _bare(timeouts)) / 2)
    return Measured(statistics.median(walls), statistics.median(processors), statistics.median(bares), 0)


def as_table(measured: dict[str, Measured], baseline: dict[str, Measured], commit: str) -> str:
    """Return the table; a row that the baseline lacks has no ratio."""
    lines = [("command", f"{commit}, s", "now, s", f"work at {commit}", "work now", "ratio", "runs done", "runs saved")]
    for name, now in measured.items():
        then = baseline.get(name)
        if then is None:
            lines.append((name, "–", f"{now.wall:.2f}", "–", f"{now.work:,.0f}", "–", f"{now.runs:,}", "–"))
            continue
        ratio = now.work / then.work
        told = f"{ratio:.2f}{' slower' if ratio > SLOWER else ''}"
        saved = f"{then.runs - now.runs:,}"
        scaled = then.wall * now.bare / then.bare  # as long as it would take on this machine, now
        lines.append(
            (name, f"{scaled:.2f}", f"{now.wall:.2f}", f"{then.work:,.0f}", f"{now.work:,.0f}", told, f"{now.runs:,}", saved)
        )
    widths = [max(len(line[place]) for line in lines) for place in range(len(lines[0]))]
    rows = ["| " + " | ".join(cell.rjust(width) for cell, width in zip(line, widths, strict=True)) + " |" for line in lines]
    rule = "|" + "|".join("-" * (width + 1) + ":" for width in widths) + "|"
    return "\n".join([rows[0], rule, *rows[1:]])


def read_baseline(file: Path = BASELINE) -> tuple[str, dict[str, Measured]]:
    """Return the commit that the baseline is of, and what was measured of it."""
    if not file.exists():
        return "before", {}
    kept = json.loads(file.read_text(encoding="utf-8"))
    return kept["commit"], {name: Measured(**row) for name, row in kept["rows"].items()}


def save_baseline(measured: dict[str, Measured], commit: str, file: Path = BASELINE) -> None:
    """Keep what was measured as the baseline; rows of the same commit that were not measured now stay."""
    before, rows = read_baseline(file)
    rows = {**(rows if before == commit else {}), **measured}
    machine = f"{os.cpu_count()} cores, {platform.system()} {platform.machine()}, CPython {platform.python_version()}"
    kept = {"commit": commit, "machine": machine, "rows": {name: asdict(row) for name, row in rows.items()}}
    file.write_text(json.dumps(kept, indent=2) + "\n", encoding="utf-8")


def measure_all(tree: Path, only: list[str], times: int, timeouts: int) -> dict[str, Measured]:
    """Return what each command takes whose name begins with one of some words, or every one where there are none."""
    measured: dict[str, Measured] = {}
    with TemporaryDirectory() as made:
        folder = Path(made) / "work"
        for row in (row for row in ROWS if not only or any(row.name.startswith(name) for name in only)):
            once = measure(row, tree, folder, 1, timeouts)
            # The first time fills the caches of the system; a long command is steady enough to be run once.
            short = once.wall < 10.0 and times > 1
            measured[row.name] = measure(row, tree, folder, times, timeouts) if short else once
            print(f"{row.name}: {measured[row.name].wall:.2f} s", file=sys.stderr, flush=True)
        if not only or "first" in only:
            measured["first run begins"] = measure_first_run(tree, folder, times, timeouts)
    return measured


def main() -> None:
    parser = argparse.ArgumentParser(description="What each command takes, beside a kept baseline.")
    parser.add_argument("--tree", type=Path, default=HERE.parents[1], help="checkout that is measured; default: this one")
    parser.add_argument("--times", type=int, default=3, help="times that a command of a few seconds is run; longer ones once")
    parser.add_argument("--timeouts", type=int, default=200_000, help="bare timeouts before and after each command")
    parser.add_argument("--only", nargs="+", default=[], help="rows to measure, by the beginning of their names")
    parser.add_argument("--commit", default="", help="what the baseline is of")
    parser.add_argument("--save", action="store_true", help="keep it as the baseline")
    asked = parser.parse_args()
    measured = measure_all(asked.tree.resolve(), asked.only, asked.times, asked.timeouts)
    if asked.save:
        save_baseline(measured, asked.commit or "before")
    commit, baseline = read_baseline()
    print(as_table(measured, baseline, commit))


if __name__ == "__main__":
    main()
