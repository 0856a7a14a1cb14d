"""Has enough been seen of a change? Looks at numbers of runs fixed beforehand, whose intervals hold together.

Who looks at an ordinary interval again and again, and stops when it leaves zero out, claims effects that are none far too often.
So the error is shared out: each look has an interval of a level of its own, and the chance that any of them misses the true
change is at most the error of all. Each may therefore be acted upon: an effect is measurable when an interval leaves zero out,
and no difference that matters when one lies within a margin on either side of zero.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from enum import StrEnum
from functools import lru_cache
from typing import TYPE_CHECKING

from simulation.stats.quantiles import CONFIDENCE

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from simulation.stats.paired_difference import Difference

#: Runs at the first look, which the next ones double. Planning value: P80 of fewer runs rests on their largest few.
FIRST = 50
#: A look that has more than this part of the last one's runs is left out: it would spend error and save little. Planning value.
_NEAR = 0.75
#: How late the error is spent: as this power of the share of the runs. Planning value: 2 leaves the last of four looks an
#: interval 3 % wider than an ordinary one.
POWER = 2.0
#: Runs from which on a change may be none that matters, where it may have more: fewer may miss the few runs that it moves by a
#: night. What no run of so many shows moves fewer than 4 in 100, with 95 % confidence. Planning value.
FEWEST_ALIKE = 100
#: Part of a measurable change to which it must be known before runs end. Planning value: at least half of it is then sure.
SIZED = 0.5
#: Points on which densities are held, and standard deviations to either side: the scores err by less than one in a thousand.
_POINTS, _REACH = 401, 8.0


class Effect(StrEnum):
    """What is known of a change after a look."""

    MEASURABLE = "measurable"
    NO_MATTER = "no difference that matters"
    TOO_CLOSE = "too close to call"
    BEHIND = "less than the best"
    OPEN = "left open"


def planned_looks(limit: int, first: int = FIRST) -> tuple[int, ...]:
    """Return the numbers of runs at which is looked: twice as many each time, the last one the limit.

    Examples
    --------
    >>> planned_looks(400), planned_looks(100), planned_looks(60)
    ((50, 100, 200, 400), (50, 100), (60,))
    """
    counts = []
    while first <= _NEAR * limit:
        counts.append(first)
        first *= 2
    return (*counts, limit)


@lru_cache
def look_confidences(looks: tuple[int, ...], confidence: float = CONFIDENCE, power: float = POWER) -> tuple[float, ...]:
    """Return the confidence of the interval at each look, so that all of them hold with the confidence that is asked for.

    Parameters
    ----------
    looks : tuple of int
        Runs at each; the last one is that at which all error is spent.
    confidence : float
        That no interval of any look misses the true value.
    power : float
        The error spent by a look is that of all times the share of the runs to this power.

    Notes
    -----
    Repeated confidence intervals (Jennison & Turnbull 1989, Journal of the Royal Statistical Society B 51; for equivalence, the
    same 1993, Sequential Analysis 12) with the error spent as Kim & DeMets 1987, Biometrika 74, have it; the boundaries by the
    recursion of Armitage, McPherson & Rowe 1969, Journal of the Royal Statistical Society A 132 (all cited from memory; checked
    against published boundaries in the tests). They suppose that what is seen at the looks moves like a mean of runs.

    Examples
    --------
    >>> [round(1 - one, 4) for one in look_confidences((100, 200, 400))]
    [0.0031, 0.0106, 0.0435]
    """
    return tuple(
        2.0 * _normal(bound) - 1.0 for bound in boundaries(looks, [(look / looks[-1]) ** power for look in looks], confidence)
    )


def boundaries(looks: Sequence[float], spent: Sequence[float], confidence: float = CONFIDENCE) -> list[float]:
    """Return the standard score at each look beyond which zero is left out, when so much of the error is spent by it.

    Parameters
    ----------
    looks : sequence of float
        Runs at each, or shares of the last.
    spent : sequence of float
        Share of the error that is spent by each look, that of those before it included.
    confidence : float
    """
    import numpy as np
    from scipy.optimize import brentq

    error, bounds = 1.0 - confidence, []
    points, weights = np.array([0.0]), np.array([1.0])  # where the sum stands that went over no boundary yet, and how likely
    before = 0.0
    for index, look in enumerate(looks):
        now = look / looks[-1]
        step, size = math.sqrt(now - before), math.sqrt(now)
        share = error * (spent[index] - (spent[index - 1] if index else 0.0))
        bounds.append(float(brentq(_too_likely, 0.0, 2.0 * _REACH, (points, weights, step, size, share))))
        grid = np.linspace(-bounds[-1] * size, bounds[-1] * size, _POINTS)
        each = np.full(_POINTS, grid[1] - grid[0])
        each[[0, -1]] /= 2.0
        weights = np.exp(-(((grid[:, np.newaxis] - points) / step) ** 2) / 2.0) / math.sqrt(2.0 * math.pi) @ weights / step * each
        points, before = grid, now
    return bounds


def _too_likely(
    bound: float, points: NDArray[np.float64], weights: NDArray[np.float64], step: float, size: float, share: float
) -> float:
    """Return how much likelier than a share it is that the next step leads over a boundary."""
    from scipy.special import ndtr

    ends = ndtr((-bound * size - points) / step) + ndtr((points - bound * size) / step)
    return float(ends @ weights) - share


def judge_effect(change: Difference, margin: float, runs: int, last: bool, fewest: int = FEWEST_ALIKE) -> Effect:
    """Return what an interval says of a change: measurable, none that matters, or open until the last look.

    A change that is measurable and yet within the margin is measurable: it is there, if small. A larger one goes on until its
    size is known, too: until its interval reaches no further to either side than a part of it. None that matters it is from
    `fewest` runs on, or at the last look.
    """
    small = change.lies_within(margin)
    if change.measurable:
        return Effect.MEASURABLE if last or small or is_sized(change) else Effect.OPEN
    if small and (last or runs >= fewest):
        return Effect.NO_MATTER
    return Effect.TOO_CLOSE if last else Effect.OPEN


def is_sized(change: Difference) -> bool:
    """Return whether a change is known to a half: its interval reaches no further to either side than a part of it."""
    if change.value is None or change.low is None or change.high is None:
        return False
    return max(change.high - change.value, change.value - change.low) <= SIZED * abs(change.value)


def _normal(score: float) -> float:
    return 0.5 * math.erfc(-score / math.sqrt(2.0))
