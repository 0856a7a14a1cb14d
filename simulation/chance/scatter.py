"""The luck of the moment: factors of mean 1, one for each step, around a level.

Transformed by the generator's own methods or by `math`, not by vectorised `exp`, whose last bit may differ between processors.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import repeat

from numpy import float64
from numpy.random import Generator
from numpy.typing import NDArray

from simulation.chance.streams import Streams
from simulation.scenario.types.named_values import SHAPES

Scatter = float | str

#: Chances beyond them have no quantile that floating point can tell apart.
_LEAST, _MOST = 1e-300, 1.0 - 2.0**-53


def factors(scatter: Scatter, generator: Generator, count: int) -> NDArray[float64]:
    """Return `count` factors of mean 1.

    Parameters
    ----------
    scatter : float or str
        Coefficient of variation of a lognormal factor; or ``"exponential"``, ``"erlang-2"``.
    generator : numpy.random.Generator
        A stream; factor n uses the same part of it whatever `count` and the coefficient are.
    count : int
        How many.
    """
    if isinstance(scatter, str):
        shape = SHAPES[scatter]
        draws: NDArray[float64] = generator.standard_exponential((count, shape)).sum(axis=1) / shape
        return draws
    variance = math.log1p(scatter * scatter)
    return generator.lognormal(-0.5 * variance, math.sqrt(variance), count)


def draw_factors(scatter: Scatter, luck: Streams, purpose: str, owner: str) -> Iterator[float]:
    """Return factors of mean 1 one by one without end, drawn in blocks; without scatter they are 1 and cost no stream."""
    if scatter == 0.0:
        return repeat(1.0)
    return luck.endless(purpose, owner, lambda generator, count: factors(scatter, generator, count))


def outlasting(scatter: Scatter, factor: float, spent: float) -> float:
    """Return the factor of a step that is known to have lasted `spent` times its level already, and is not over.

    With F the distribution of the factor, it is F⁻¹(F(s) + u (1 − F(s))), where u = F(`factor`) is the step's own luck: so what
    would have been a long step remains a long one.

    Parameters
    ----------
    scatter : float or str
        As of `factors`.
    factor : float
        The step's draw, as if it had not begun.
    spent : float
        Hours at it so far, as a multiple of its level.

    Returns
    -------
    float
        At least `spent`.

    Examples
    --------
    >>> outlasting("exponential", 0.5, 2.0)
    2.5
    """
    if spent <= 0.0:
        return factor
    if scatter == "exponential":
        return spent + factor  # it has no memory
    if isinstance(scatter, str):
        return _outlasting_erlang(factor, spent)
    if scatter == 0.0:
        return max(spent, factor)
    from statistics import NormalDist

    normal, variance = NormalDist(), math.log1p(scatter * scatter)
    spread = math.sqrt(variance)
    lasts, others = (0.5 * math.erfc((math.log(share) / spread + 0.5 * spread) / math.sqrt(2.0)) for share in (factor, spent))
    survives = min(lasts * others, _MOST)
    if survives < _LEAST:  # so late that the distribution says nothing: it is due now
        return spent
    return max(spent, math.exp(spread * (-normal.inv_cdf(survives) - 0.5 * spread)))


def left_of(level: float, scatter: Scatter, factor: float, spent: float) -> float:
    """Return the hours that are left of a step of a level's kind that `spent` hours have gone into; see `outlasting`."""
    return max(0.0, level * outlasting(scatter, factor, spent / level) - spent) if level > 0.0 else 0.0


def _outlasting_erlang(factor: float, spent: float) -> float:
    """Return what `outlasting` does for two exponential stages, by bisection: its inverse has no closed form."""

    def left(lasting: float) -> float:
        return math.log1p(2.0 * lasting) - 2.0 * lasting

    wanted = left(factor) + left(spent)
    low, high = spent, spent + factor
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if left(middle) > wanted else (low, middle)
    return high
