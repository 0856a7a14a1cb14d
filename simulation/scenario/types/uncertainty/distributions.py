"""The distributions that a job-wide value may have: each knows its mean, its quantiles, its ends, and itself multiplied.

A quantile is that of a standard normal score, so that values can move together: those that bear one shared name have scores with
the stated correlation (a Gaussian copula).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from simulation.scenario.types.uncertainty.pert_tables import POINTS, REACH, standard_quantiles

_Z90 = 1.2815515655446004

#: What is written for a number in the unit of a quantity.
Written = Callable[[float], Any]


@dataclass(frozen=True)
class Constant:
    """A value that is known."""

    value: float

    @property
    def mean(self) -> float:
        """The value."""
        return self.value

    @property
    def bounds(self) -> tuple[float, float, float]:
        """Lower end, middle and upper end: all the value."""
        return self.value, self.value, self.value

    def quantile(self, score: float) -> float:
        """Return the value at a standard normal score."""
        return self.value

    def scaled(self, factor: float) -> Constant:
        """Return it multiplied."""
        return Constant(self.value * factor)

    def written(self, text: Written) -> dict[str, Any]:
        """Return it as it stands in a scenario."""
        return {"mean": text(self.value)}


@dataclass(frozen=True)
class Pert:
    """Between a lowest and a highest value with a most likely one: the beta distribution with shape 4."""

    low: float
    mode: float
    high: float

    @property
    def mean(self) -> float:
        """The expected value."""
        return (self.low + 4 * self.mode + self.high) / 6

    @property
    def bounds(self) -> tuple[float, float, float]:
        """Lower end, middle and upper end."""
        return self.low, self.mode, self.high

    @property
    def shapes(self) -> tuple[float, float]:
        """Both shapes of the beta distribution that it is between its ends."""
        return 1 + 4 * (self.mode - self.low) / (self.high - self.low), 1 + 4 * (self.high - self.mode) / (self.high - self.low)

    def quantile(self, score: float) -> float:
        """Return the value at a standard normal score; see `Tabulated`."""
        return self.tabulated().quantile(score)

    def tabulated(self) -> Tabulated:
        """Return its quantiles as a table."""
        return Tabulated(_pert_table(self.low, self.mode, self.high))

    def scaled(self, factor: float) -> Pert:
        """Return it multiplied."""
        return Pert(self.low * factor, self.mode * factor, self.high * factor)

    def written(self, text: Written) -> dict[str, Any]:
        """Return it as it stands in a scenario."""
        return {"low": text(self.low), "mode": text(self.mode), "high": text(self.high)}


@dataclass(frozen=True)
class Lognormal:
    """By its 10 % and 90 % quantiles, because judged ranges are too narrow to be read as the ends."""

    p10: float
    p90: float

    @property
    def mean(self) -> float:
        """The expected value."""
        return math.sqrt(self.p10 * self.p90) * math.exp(0.5 * self._spread**2)

    @property
    def bounds(self) -> tuple[float, float, float]:
        """Lower end, middle and upper end."""
        return self.p10, math.sqrt(self.p10 * self.p90), self.p90

    @property
    def _spread(self) -> float:
        return (math.log(self.p90) - math.log(self.p10)) / (2 * _Z90)

    def quantile(self, score: float) -> float:
        """Return the value at a standard normal score."""
        return math.exp(0.5 * (math.log(self.p10) + math.log(self.p90)) + self._spread * score)

    def scaled(self, factor: float) -> Lognormal:
        """Return it multiplied."""
        return Lognormal(self.p10 * factor, self.p90 * factor)

    def written(self, text: Written) -> dict[str, Any]:
        """Return it as it stands in a scenario."""
        return {"p10": text(self.p10), "p90": text(self.p90)}


@dataclass(frozen=True)
class Records:
    """Resampled from the planner's own records, in ascending order.

    `form` says how the file is written, where that is not as most programs write it.
    """

    values: tuple[float, ...]
    file: str
    form: str = field(default="", compare=False)

    @property
    def mean(self) -> float:
        """The mean of the records."""
        return sum(self.values) / len(self.values)

    @property
    def bounds(self) -> tuple[float, float, float]:
        """Lowest record, middle one and highest."""
        return self.values[0], self.values[len(self.values) // 2], self.values[-1]

    def quantile(self, score: float) -> float:
        """Return the order statistic at a standard normal score."""
        share = 0.5 * math.erfc(-score / math.sqrt(2.0))
        return self.values[min(int(share * len(self.values)), len(self.values) - 1)]

    def scaled(self, factor: float) -> Records:
        """Return them multiplied."""
        return Records(tuple(value * factor for value in self.values), self.file, self.form)

    def written(self, text: Written) -> dict[str, Any]:
        """Return the highest of them as it would stand in a scenario: records stand in a file."""
        return {"mean": text(max(self.values))}


@dataclass(frozen=True)
class Tabulated:
    """A quantile function as a table, so that whoever draws from it needs no library of special functions.

    Notes
    -----
    PERT is the beta distribution on [low, high] with shapes 1 + 4 (mode − low)/(high − low) and 1 + 4 (high − mode)/(high − low);
    its quantile function is read off a table, to within 1e-5 of its range for scores up to ± 5, and held there beyond (chance
    6e-7).
    """

    values: tuple[float, ...]

    def quantile(self, score: float) -> float:
        """Return the value at a standard normal score, between two points of the table."""
        at = min(max((score + REACH) / (2 * REACH), 0.0), 1.0) * POINTS
        below = min(int(at), POINTS - 1)
        return self.values[below] + (at - below) * (self.values[below + 1] - self.values[below])


Level = Constant | Pert | Lognormal | Records


@cache
def _pert_table(low: float, mode: float, high: float) -> tuple[float, ...]:
    return tuple((low + (high - low) * standard_quantiles(Pert(low, mode, high).shapes)).tolist())
