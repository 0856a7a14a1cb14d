"""How does a question about a scenario and others like it begin? What is to come is told, and its own runs go first."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.replicate import Alternatives
    from simulation.replicate.run_table import RunTable

#: Runs of a forecast unless a number is asked for: they set the P80 to a few hours, and are soon done. Planning value.
RUNS = 400
#: More would need gigabytes to be read, and set nothing better than wrong inputs allow. Planning value.
MOST_RUNS = 100_000
#: Share of the most runs that there can be, from which on those that are likely are not told apart from them. Planning value.
_MOST_OF_ALL = 0.9


class NothingFinished(RuntimeError):
    """The run was stopped before its first run was done, so that there is nothing to report."""


def check_run_count(run_count: int) -> None:
    """Refuse a number of runs that is out of range.

    Raises
    ------
    ValueError
        If it is below 1 or above `MOST_RUNS`.
    """
    if not 1 <= run_count <= MOST_RUNS:
        raise ValueError(f"runs(={run_count}) must be 1 to {MOST_RUNS:,}")


def announce(
    alternatives: Alternatives,
    run_count: int,
    tell: Callable[[str], None] | None,
    again: bool = False,
    later: int = 0,
    first: int | None = None,
) -> None:
    """Tell what is kept of the first scenario, unless that was told before, and how much there is to do of all of them.

    Parameters
    ----------
    alternatives : Alternatives
    run_count : int
        Runs of each of them.
    tell : callable or None
    again : bool
        Whether it was told before what is kept.
    later : int
        Runs that may come after these, at the most.
    first : int, optional
        Runs of the first look, where those that are not open after it have no more. Default: each has all.
    """
    alternatives.expected = run_count * len(alternatives.runs)
    if tell is not None:
        missing, seconds = alternatives.estimate(run_count)
        likely = missing
        if first is not None and first < run_count:  # the one that the others are held against, and the best of these, have all
            others = sum(max(0, first - runs.stored(first)) for runs in alternatives.runs[1:])
            likely = run_count - alternatives.runs[0].stored(run_count) + others + run_count - first
        to_do = f"to do: {effort_words(likely, missing, seconds)}" if missing else ""
        if missing and later:
            to_do += f"; then at most {in_words(later, later * seconds / missing)}"
        for line in ("" if again else alternatives.runs[0].news, to_do):
            if line:
                tell(line)


def own_runs(alternatives: Alternatives, run_count: int, begun: Iterator[int] | None = None) -> RunTable:
    """Return the runs of the first scenario; after a stop, those that there are.

    Parameters
    ----------
    alternatives : Alternatives
    run_count : int
    begun : iterator of int, optional
        Of `Alternatives.reach_in_turn`, where they were asked for together with others: first.

    Raises
    ------
    NothingFinished
        If there is none.
    """
    next(begun or alternatives.reach_in_turn([(0, run_count)]), None)
    runs = alternatives.table(0, run_count)
    if runs.empty:
        raise NothingFinished(f"{alternatives.stopped}, before the first run was done")
    return runs


def in_words(runs: int, seconds: float) -> str:
    """Return what so many runs are, and how long about they take.

    Examples
    --------
    >>> in_words(11_640, 118.0), in_words(400, 3.2)
    ('about 12,000 runs, 2 minutes', '400 runs, a few seconds')
    """
    rounded = _two_digits(runs)
    many = f"{'' if rounded == runs else 'about '}{rounded:,} run{'' if runs == 1 else 's'}"
    return f"{many}, {_time(seconds)}"


def effort_words(likely: int, most: int, seconds: float) -> str:
    """Return how many runs a question is likely to take, and how many at the most, which take so many seconds.

    Examples
    --------
    >>> effort_words(1_600, 7_200, 30.0), effort_words(390, 400, 30.0)
    ('about 1,600 runs, a few seconds; at most 7,200 runs, 30 seconds', '400 runs, 30 seconds')
    """
    if likely > _MOST_OF_ALL * most:
        return in_words(most, seconds)
    expected = in_words(likely, likely * seconds / most)
    return f"about {expected.removeprefix('about ')}; at most {in_words(most, seconds)}"


def _time(seconds: float) -> str:
    if seconds < 10:
        return "a few seconds"
    for size, name in ((86400.0, "day"), (3600.0, "hour"), (60.0, "minute")):
        if seconds >= 1.5 * size:
            return f"{_two_digits(seconds / size)} {name}s"
    return f"{_two_digits(seconds)} seconds"


def _two_digits(value: float) -> int:
    whole = max(1, round(value))
    unit: int = 10 ** max(0, math.floor(math.log10(whole)) - 1)
    return round(whole / unit) * unit
