"""What did the benchmarks find? Their results, and the text that says them: tables that read as plain text and as Markdown."""

from __future__ import annotations

import os
import platform
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.metadata import version

THIS, FLOOR = "this program", "heap loop by hand"

LINES = {
    "whole": (
        "The whole scenario",
        "`configs/relief_strip.toml`: runway, taxiway and apron, weather, daylight, grading, key strips, alignment checks, "
        "damaged mats, levels drawn for each run. Only this program lays it. Finished: operational readiness.",
    ),
    "same": (
        "The same line",
        "`tests/benchmarks/contestants/same_line.toml`: trucks bring loads of pallets from a port; forklifts that break down "
        "unload them into a yard and feed, by cover and over distance, two edges with a few places each; two crews lay row by "
        "row; all under shifts. The SimPy model lays mat by mat; the heap loop and this program lay a pallet's rows at a time, "
        "with the same row times.",
    ),
    "reduced": (
        "The reduced line",
        "`tests/benchmarks/contestants/reduced_line.toml`: what libraries of queues can express. Pallets land one by one by a "
        "timetable; two forklifts unload them first and feed them second, exponential trips; one crew lays two rows "
        "from each, exponential.",
    ),
}

#: Part of a line -> who can lay it with what the library offers, without rewriting its insides.
EXPRESSED = [
    ("", THIS, "SimPy", "salabim", "ciw"),
    ("timetable, queues, priorities", "yes", "yes", "yes", "yes"),
    ("shifts that stop a job half done", "yes", "yes", "yes", "yes, as schedules of servers"),
    ("a load unloaded as one job, then single pallets", "yes", "yes", "yes", "no, a customer does not split"),
    ("breakdowns by operating hours", "yes", "yes", "yes", "no, servers go by the calendar"),
    ("where a laying edge has no place, another job first", "yes", "yes", "yes", "no, a full place blocks the forklift"),
    ("so, laid here: the same line", "yes", "yes", "no", "no"),
    ("so, laid here: the reduced line", "yes", "yes", "yes", "yes"),
]
EXPRESSED_SAID = (
    "salabim is a library of processes like SimPy and could lay the same line; how the two compare can be read off the "
    "reduced line. Weather, daylight, grading, checks, spares, levels and a trace could be written in either; here only this "
    "program has them."
)

COMMANDS_SAID = (
    "On the shipped scenario, nothing stored unless said otherwise, all cores. Seconds of the wall, those of the baseline scaled "
    "to this machine; *work* is processor time of all workers in thousands of bare timeouts; *ratio* is work now over work then: "
    "below 1 is less. *Runs saved* are those that the baseline did for the same answer."
)


@dataclass(frozen=True)
class Timing:
    """One contestant: runs a second, times as fast as others on its line, and when its runs were finished, hours."""

    line: str
    name: str
    best: float
    median: float
    to_floor: float | None
    to_this: float | None
    finished: float
    error: float
    runs: int


@dataclass(frozen=True)
class Scaling:
    """Runs a second of one worker and of two, the gain, and what the machine had to give to two processes just then."""

    runs: int
    one: float
    two: float
    gain: float
    room: float


@dataclass(frozen=True)
class Cost:
    """One size of field: seconds a run, and bare timeouts a pallet."""

    feet: int
    pallets: int
    best_seconds: float
    median_seconds: float
    best_timeouts: float
    median_timeouts: float


@dataclass(frozen=True)
class Memory:
    """Peak of a fresh process with so many runs, and what of it their table of results takes, MiB."""

    runs: int
    peak: float
    results: float


@dataclass(frozen=True)
class Results:
    """All of one run."""

    timings: list[Timing]
    scaling: Scaling
    costs: list[Cost]
    memory: list[Memory]
    rounds: int
    sizes: dict[str, str]
    commands: str = ""


def as_text(results: Results) -> str:
    """Return the tables and what is to be said about them."""
    parts = ["# Benchmarks", _machine(), _how(results.rounds)]
    for line, (title, what) in LINES.items():
        size = f", {results.sizes[line]}" if line in results.sizes else ""
        parts += [f"## {title}{size}", what, _race([one for one in results.timings if one.line == line])]
    parts += ["## Who can express what", _table(EXPRESSED), EXPRESSED_SAID]
    parts += ["## A second worker", _scaling(results.scaling)]
    what = "The runway of the shipped scenario alone, at full detail, by its length; a bare timeout is timed in the same rounds."
    parts += ["## Cost against field size", what, _costs(results.costs)]
    parts += ["## Memory against runs", _memory(results.memory)]
    if results.commands:
        parts += ["## What each command takes", COMMANDS_SAID, results.commands]
    return "\n\n".join(parts) + "\n"


def _machine() -> str:
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count()
    libraries = ", ".join(f"{name} {version(name)}" for name in ("simpy", "numpy", "ciw", "salabim"))
    python = f"{platform.python_implementation()} {platform.python_version()}"
    machine = f"{cores} cores, {platform.system()} {platform.machine()}"
    return f"{machine}, {python}; {libraries}. One process on one core, unless said otherwise."


def _how(rounds: int) -> str:
    return (
        f"Every contestant took its turn in each of {rounds} rounds; *best* and *median* are over the rounds, a ratio is the "
        "median of the ratios within a round, above 1 is faster. All take the numbers of a line from one file and must "
        "finish it at the same hour: mean ± standard error of all runs laid. This program writes a trace of every step, "
        "its chain of causes and a record in the time shown; the others keep the finishing hour alone."
    )


def _race(timings: list[Timing]) -> str:
    rows = [("", "runs/s, best", "median", "to the heap loop", "to this program", "finished, h", "runs")]
    for one in timings:
        ratios = (_ratio(one.to_floor), _ratio(one.to_this))
        finished = f"{one.finished:.2f} ± {one.error:.2f}"
        rows.append((one.name, _speed(one.best), _speed(one.median), *ratios, finished, f"{one.runs:,}"))
    return _table(rows)


def _ratio(ratio: float | None) -> str:
    return "–" if ratio is None else f"{ratio:.3g}"


def _speed(speed: float) -> str:
    return f"{speed:,.0f}" if speed >= 100 else f"{speed:.1f}"


def _scaling(scaling: Scaling) -> str:
    rows = [("", ""), ("1 worker, runs/s", f"{scaling.one:.1f}"), ("2 workers, runs/s", f"{scaling.two:.1f}")]
    rows += [("gain", f"{scaling.gain:.2f}"), ("two bare loops at once, over one", f"{scaling.room:.2f}")]
    said = (
        f"{scaling.runs:,} runs of the whole scenario, the start of the workers included. The last line is what the "
        "machine had to give: the gain of two processes that share nothing."
    )
    return f"{said}\n\n{_table(rows)}"


def _costs(costs: list[Cost]) -> str:
    rows = [("length, ft", "pallets", "ms a run, best", "median", "bare timeouts a pallet, best", "median")]
    for one in costs:
        seconds = (f"{one.best_seconds * 1e3:.2f}", f"{one.median_seconds * 1e3:.2f}")
        rows.append((f"{one.feet:,}", f"{one.pallets:,}", *seconds, f"{one.best_timeouts:.1f}", f"{one.median_timeouts:.1f}"))
    return _table(rows)


def _memory(memory: list[Memory]) -> str:
    rows = [("runs", "peak, MiB", "of it the table of results, MiB")]
    rows += [(f"{one.runs:,}", f"{one.peak:.1f}", f"{one.results:.2f}") for one in memory]
    first, last = memory[0], memory[-1]
    said = "Peak of a fresh process that forecasts the whole scenario with one worker."
    if last.runs > first.runs:
        more = (last.peak - first.peak) * 1024 / (last.runs - first.runs)
        said += f" From {first.runs:,} runs to {last.runs:,} it grows by {more:.1f} KiB a run."
    return f"{said}\n\n{_table(rows)}"


def _table(rows: Sequence[Sequence[str]]) -> str:
    widths = [max(len(row[place]) for row in rows) for place in range(len(rows[0]))]
    # Words stand at the left, numbers at the right.
    left = [not all(row[place][:1].isdigit() or row[place] == "–" for row in rows[1:]) for place in range(len(rows[0]))]

    def line(row: Sequence[str]) -> str:
        cells = (
            cell.ljust(width) if at_left else cell.rjust(width) for cell, width, at_left in zip(row, widths, left, strict=True)
        )
        return f"| {' | '.join(cells)} |"

    rule = (":" + "-" * (width + 1) if at_left else "-" * (width + 1) + ":" for width, at_left in zip(widths, left, strict=True))
    return "\n".join([line(rows[0]), f"|{'|'.join(rule)}|", *map(line, rows[1:])])
