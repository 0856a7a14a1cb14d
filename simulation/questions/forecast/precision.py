"""Are these runs enough? They are when the interval of one quantile is as narrow as was asked for.

Runs are added in steps and the interval is looked at after each, always over runs 0 up to the step, so that an interrupted
run that goes on stops at the same run as one that was left alone. It is measured in working hours on the laying clock:
finishing times cluster in shifts, and in calendar hours an interval that reaches across a night may never close.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from simulation.stats.quantiles import CONFIDENCE, estimate

#: Runs of the first look, and between two looks; the most unless another number is asked for. Planning values.
FLOOR, STEP, MOST_RUNS_ADDED = 400, 200, 20_000
#: Looking again and again gives chance more openings to end the run on a lucky look; an interval of confidence 1 - 0.8 (1 - c)
#: makes up for it at these steps. Planning value, held to its coverage by a test.
_EARLY_STOP = 0.8


@dataclass(frozen=True)
class Precision:
    """How precise a forecast is to be.

    Attributes
    ----------
    within : float
        Hours on the laying clock that neither end of the interval may lie farther away from the quantile.
    share : float
        Of the quantile: 0.8 for P80.
    confidence : float
        Of the interval.
    most : int
        Runs after which it stops in any case.
    """

    within: float
    share: float = 0.8
    confidence: float = CONFIDENCE
    most: int = MOST_RUNS_ADDED

    @property
    def name(self) -> str:
        """The quantile's name, such as P80."""
        return f"P{round(100 * self.share)}"

    def looks(self) -> Iterator[int]:
        """Yield the numbers of runs after which the interval is looked at."""
        yield from range(FLOOR, self.most, STEP)
        yield self.most


@dataclass(frozen=True)
class Reached:
    """How precise the runs turned out.

    Attributes
    ----------
    asked : Precision
    runs : int
    value : float
        The quantile, in hours on the laying clock; infinite after the last day simulated.
    side : float
        Hours from the quantile to the farther end of its interval; infinite where that end is unknown or after the last day
        simulated.
    """

    asked: Precision
    runs: int
    value: float
    side: float

    @property
    def met(self) -> bool:
        """Whether this is as precise as asked."""
        return self.side <= self.asked.within


def reached(asked: Precision, hours: Sequence[float], cube: int | None = None) -> Reached:
    """Return how precise some runs are.

    Parameters
    ----------
    asked : Precision
    hours : sequence of float
        Of each run until readiness, on the laying clock; infinite where it was not ready by the last day simulated.
    cube : int, optional
        Runs of a hypercube, where levels are drawn so.
    """
    reached = estimate(hours, asked.share, 1.0 - _EARLY_STOP * (1.0 - asked.confidence), cube)
    if reached.low is None or reached.high is None or math.isinf(reached.value) or math.isinf(reached.high):
        return Reached(asked, len(hours), reached.value, math.inf)
    return Reached(asked, len(hours), reached.value, max(reached.value - reached.low, reached.high - reached.value))


def read_precision(within: str, of: str = "p80", confidence: float = CONFIDENCE, most: int = MOST_RUNS_ADDED) -> Precision:
    """Return a precision as a planner asks for it.

    Parameters
    ----------
    within : str
        A duration with its unit, such as ``"1 h"``.
    of : str
        A quantile, ``"p1"`` to ``"p99"``.
    confidence : float
        Above 0.5, below 1.
    most : int

    Raises
    ------
    ScenarioError
        If one of them cannot be read.
    """
    from pydantic_core import PydanticCustomError

    from simulation.scenario import Mistake, ScenarioError
    from simulation.scenario.types.quantities.units import read_quantity

    mistakes = []
    try:
        hours = read_quantity("duration", within)
    except PydanticCustomError:
        hours = math.nan
    if not hours > 0:
        mistakes.append(Mistake("", f'"{within}" is no time above zero', 'write one with its unit, such as "1 h" or "30 min"'))
    share = re.fullmatch(r"[pP](\d\d?)", of)
    if share is None or int(share[1]) == 0:
        mistakes.append(Mistake("of", f'"{of}" is no quantile', "write p50, p80, p90 or another from p1 to p99"))
    if not 0.5 < confidence < 1:
        mistakes.append(Mistake("confidence", f"{confidence:g} is out of range", "write a share such as 0.95"))
    if mistakes or share is None:
        raise ScenarioError("precision", mistakes)
    return Precision(hours, int(share[1]) / 100, confidence, most)
