"""How likely are so many of a number of independent runs, and which chance makes so many as likely as asked?

Summed up term by term: the library of special functions, which says the same, takes longer to load than an answer from kept runs
takes to read. What is not a whole number of runs, as in hypercubes, or are very many, is asked of that library.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

#: More runs than these are asked of the library: it is quicker there, and sums of so many logarithms lose a digit.
MOST = 10_000
#: Steps of Newton's rule at the most, and the part of a chance by which the last one may differ from the one before.
_ROUNDS, _AS_GOOD = 200, 4e-16


def at_most(runs: int, chance: float) -> NDArray[np.float64]:
    """Return for 0, 1, …, `runs` how likely at most so many of `runs` are, each with a chance between 0 and 1."""
    import numpy as np  # here: asking for help loads this room

    return np.cumsum(_each(runs, chance))


def least_chance(count: int, runs: int, tail: float) -> float:
    """Return the chance under which `count` or more of `runs` are as likely as `tail`; `count` must be 1 or more.

    It is the lower end of the interval of Clopper and Pearson, found by Newton's rule, and by halving where that leads astray.
    """
    ways = _log_ways(runs)
    low, high, chance = 0.0, 1.0, count / (runs + 1)
    for _ in range(_ROUNDS):
        each = _each(runs, chance, ways)
        over = float(each[count:].sum()) - tail
        low, high = (low, chance) if over > 0 else (chance, high)
        slope = count * float(each[count]) / chance  # of the tail, as its chance grows
        better = chance - over / slope if slope > 0 else low
        better = better if low < better < high else (low + high) / 2
        if abs(better - chance) <= _AS_GOOD * chance:
            return better
        chance = better
    return chance


def _each(runs: int, chance: float, ways: NDArray[np.float64] | None = None) -> NDArray[np.float64]:
    """Return how likely each number of `runs` is."""
    import numpy as np

    count = np.arange(runs + 1)
    log_ways = _log_ways(runs) if ways is None else ways
    likely: NDArray[np.float64] = np.exp(log_ways + count * np.log(chance) + (runs - count) * np.log1p(-chance))
    return likely


def _log_ways(runs: int) -> NDArray[np.float64]:
    """Return the logarithm of the ways in which each number of `runs` can be chosen."""
    import numpy as np

    count = np.arange(runs)
    return np.concatenate(([0.0], np.cumsum(np.log((runs - count) / (count + 1)))))
