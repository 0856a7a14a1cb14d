"""How many independent runs are runs in hypercubes worth?

Runs of one hypercube are not independent, so no binomial interval fits them; whole hypercubes are, and how much a share differs
from one to the next says how well it is known. That is put as a number of independent runs that would know it as well.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.replicate.run_table import RunTable


def cube_of(sampling: str) -> int | None:
    """Return how many runs in turn are one hypercube under a sampling; None where each run is independent."""
    # Asking for help loads this room; what scenarios are checked with would make it slow.
    from simulation.chance import HYPERCUBE

    return HYPERCUBE if sampling == "lhs" else None


def whole_cubes(runs: RunTable, cube: int) -> RunTable:
    """Return the runs whose hypercubes of `cube` runs are complete, by their column ``run_number``, in the order given."""
    import numpy as np

    of_run = runs["run"] // cube
    numbers, counts = np.unique(of_run, return_counts=True)
    return runs[np.isin(of_run, numbers[counts == cube])]


def effective_runs(parts: Sequence[float], cube: int, confidence: float) -> float | None:
    """Return how many independent runs would tell a share as well as these in hypercubes do.

    Parameters
    ----------
    parts : sequence of float
        What each run of whole hypercubes, in order of run, adds to the share: 1 where the thing happened, 0 where not.
    cube : int
        Runs of one hypercube.
    confidence : float
        Of the interval that is to be made of it.

    Returns
    -------
    float or None
        Not a whole number, and often more than there are runs. None with fewer than two whole hypercubes: one alone does not
        show how much they differ.

    Raises
    ------
    ValueError
        If there are more than two hypercubes, but not whole ones: an incomplete one is distributed otherwise than the others.

    Notes
    -----
    With m hypercubes whose shares have the variance s², the share p of all has the variance s²/m, and p (1 − p) / (s²/m)
    independent runs have the same. s² itself is known only from m hypercubes, so this number is taken times
    (t(runs − 1) / t(m − 1))², the quantiles of Student's distribution at the confidence: Korn & Graubard 1998, Survey
    Methodology 24(2), from memory. Where no hypercube differs from another, s² says nothing, and the runs count as independent.
    """
    import numpy as np
    from scipy.special import stdtrit

    runs, cubes = len(parts), len(parts) // cube
    if cubes < 2:
        return None
    if runs % cube:
        raise ValueError(f"parts(={runs}) must be whole hypercubes of {cube}")
    shares = np.asarray(parts, dtype=float).reshape(cubes, cube).mean(axis=1)
    share, between = float(shares.mean()), float(shares.var(ddof=1))
    # Shares of 1 in 100 do not add up exactly in binary: hypercubes that agree may seem to differ in the last bit.
    differ = between > 1e-12 and 0.0 < share < 1.0
    effective = share * (1.0 - share) / (between / cubes) if differ else float(runs)
    upper = (1.0 + confidence) / 2
    return effective * float(stdtrit(runs - 1, upper) / stdtrit(cubes - 1, upper)) ** 2
