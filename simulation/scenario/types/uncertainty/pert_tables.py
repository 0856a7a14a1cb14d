"""The quantiles of PERT distributions between 0 and 1, at evenly spaced standard normal scores.

Those of the shapes that the program's own defaults have are kept in a file. Every run needs them, and the library that works
them out takes longer to load than all else that a short command does.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

#: Points of a table, evenly spaced in score between ± REACH.
POINTS, REACH = 1024, 5.0
#: A line for each table: both shapes, then the quantiles. `tests/scenario/types/uncertainty/test_pert_tables.py` writes it.
KEPT = Path(__file__).with_name("pert_tables.txt")

#: The two shapes of a beta distribution.
Shapes = tuple[float, float]


def standard_quantiles(shapes: Shapes) -> NDArray[np.float64]:
    """Return the quantiles of the beta distribution of these shapes, at `POINTS` + 1 scores from −`REACH` to `REACH`."""
    kept = _kept().get(shapes)
    return work_out(shapes) if kept is None else kept


def work_out(shapes: Shapes) -> NDArray[np.float64]:
    """Return the same, worked out whether it is kept or not."""
    from scipy.special import betaincinv, ndtr

    quantiles: NDArray[np.float64] = betaincinv(*shapes, ndtr(np.linspace(-REACH, REACH, POINTS + 1)))
    return quantiles


@cache
def _kept() -> dict[Shapes, NDArray[np.float64]]:
    lines = ([float(number) for number in line.split()] for line in KEPT.read_text(encoding="utf-8").splitlines())
    return {(line[0], line[1]): np.array(line[2:]) for line in lines}
