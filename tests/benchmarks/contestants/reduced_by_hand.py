"""The reduced line as a loop over a heap, written by hand: the floor. Nothing but what this one line needs; draws in blocks."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from heapq import heappop, heappush

import numpy as np
from contestants.benchmark_lines import Lay, ReducedLine

LANDED, UNLOADED, FED, LAID = range(4)


def by_hand(line: ReducedLine, seed: int = 1) -> Lay:
    """Return how the heap loop lays the reduced line."""

    def draws(run: int) -> tuple[Iterator[float], Iterator[float]]:
        luck = np.random.default_rng((seed, run))
        trips = luck.exponential(line.trip, 2 * line.pallets).tolist()
        rows = luck.exponential(line.row, (line.pallets, line.rows)).sum(axis=1).tolist()
        return iter(trips), iter(rows)

    def lay(runs: range) -> list[float]:
        return [finish(line, *map(_next, draws(run))) for run in runs]

    return lay


def _next(draws: Iterator[float]) -> Callable[[], float]:
    return draws.__next__


def finish(line: ReducedLine, trip: Callable[[], float], pallet: Callable[[], float]) -> float:
    """Return the hour at which the last pallet is laid.

    Parameters
    ----------
    line : ReducedLine
    trip, pallet : callable
        The hours of the next trip of a forklift, and of laying the next pallet, drawn when each begins.
    """
    heap: list[tuple[float, int]] = [(line.every, LANDED)]
    to_land, free, laying = line.pallets - 1, line.forklifts, False
    waiting = yard = staged = laid = 0
    now = 0.0
    while laid < line.pallets:
        now, event = heappop(heap)
        if event == LANDED:
            waiting += 1
            if to_land:
                to_land -= 1
                heappush(heap, (now + line.every, LANDED))
        elif event == UNLOADED:
            yard += 1
            free += 1
        elif event == FED:
            staged += 1
            free += 1
        else:
            laid += 1
            laying = False
        while free and (waiting or yard):
            free -= 1
            if waiting:
                waiting -= 1
                heappush(heap, (now + trip(), UNLOADED))
            else:
                yard -= 1
                heappush(heap, (now + trip(), FED))
        if staged and not laying:
            staged -= 1
            laying = True
            heappush(heap, (now + pallet(), LAID))
    return now
