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
