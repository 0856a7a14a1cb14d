"""On which hours of its days did it rain, where it is known only which days were wet?

The hours are drawn from the chain as it is given these days: every way through the hours is as likely as in the chain, of those
that are wet on the wet days and dry on the dry ones.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.conditions.sky.three_states import LONG, SHORT, WET, ThreeStates

Array = NDArray[float64]
_DAY = 24


class _Month:
    """Chances from one hour to another in one month; `powers[n]` after n hours, `dry[n]` without a wet one among them."""

    def __init__(self, chain: ThreeStates, month: int) -> None:
        stays, short, ends, lasts = (table[month] for table in (chain.wet, chain.short, chain.short_ends, chain.long_ends))
        step = np.zeros((3, 3))
        step[WET] = stays, (1.0 - stays) * short, (1.0 - stays) * (1.0 - short)
        step[SHORT, [WET, SHORT]] = ends, 1.0 - ends
        step[LONG, [WET, LONG]] = lasts, 1.0 - lasts
        self.step = step
        without = step.copy()
        without[:, WET] = 0.0
        self.powers, self.dry = (_powers(matrix) for matrix in (step, without))

    @cached_property
    def wet(self) -> Array:
        """Chances with at least one wet hour among them."""
        return np.maximum(self.powers - self.dry, 0.0)


def _powers(step: Array) -> Array:
    powers = [np.eye(3)]
    for _ in range(_DAY):
        powers.append(powers[-1] @ step)
    return np.array(powers)


class DayHours:
    """Draws the hours of days of a chain."""

    __slots__ = ("_chain", "_months")

    def __init__(self, chain: ThreeStates) -> None:
        self._chain = chain
        self._months: dict[int, _Month] = {}

    def of(self, months: Sequence[int], wet: Sequence[bool], state: int, draws: Array) -> list[list[int]]:
        """Return the state of every hour of some days in a row.

        Parameters
        ----------
        months : sequence of int
            0 to 11, of each day.
        wet : sequence of bool
            Whether each day has a wet hour.
        state : int
            Of the hour before the first.
        draws : ndarray of shape (days, 24)
            Uniform numbers.
        """
        tables = [self._month(month) for month in months]
        # How likely the days that follow are, by the state at the end of each day.
        then, ahead = np.ones(3), []
        for table, rains in zip(reversed(tables), reversed(wet), strict=True):
            ahead.append(then)
            then = (table.wet if rains else table.dry)[_DAY] @ then
            then = then / then.max()
        days: list[list[int]] = []
        for table, rains, after, luck in zip(tables, wet, reversed(ahead), draws.tolist(), strict=True):
            days.append(_one_day(table, rains, after, state, luck))
            state = days[-1][-1]
        return days

    def _month(self, month: int) -> _Month:
        if month not in self._months:
            self._months[month] = _Month(self._chain, month)
        return self._months[month]


def _one_day(table: _Month, rains: bool, after: Array, state: int, draws: list[float]) -> list[int]:
    step = table.step.tolist()
    any_way, still_to_rain, dry = ((powers @ after).tolist() for powers in (table.powers, table.wet, table.dry))
    hours: list[int] = []
    rained = False
    for hour, draw in enumerate(draws):
        rest, now = _DAY - 1 - hour, step[state]
        if not rains:
            weights = [0.0, now[SHORT] * dry[rest][SHORT], now[LONG] * dry[rest][LONG]]
        else:
            if_dry = any_way if rained else still_to_rain
            weights = [now[WET] * any_way[rest][WET], now[SHORT] * if_dry[rest][SHORT], now[LONG] * if_dry[rest][LONG]]
        mark = draw * sum(weights)
        state = WET if mark < weights[WET] else SHORT if mark < weights[WET] + weights[SHORT] else LONG
        rained = rained or state == WET
        hours.append(state)
    return hours
