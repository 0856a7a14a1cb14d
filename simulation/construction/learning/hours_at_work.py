"""How many hours of work does a shift hold by its clock, and what does drawn weather leave of them?"""

from __future__ import annotations

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.chance import Streams, draw_levels
from simulation.conditions import Clocks, HourlySky, make_clocks
from simulation.construction.plan.plan import Plan

#: Skies that stand for the weather of a shift of which nobody wrote what was lost. Planning value.
SKIES = 60


class ShiftHours:
    """Clocks under drawn skies, asked for the shifts of a log.

    Parameters
    ----------
    plan : Plan
    """

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self._clocks: list[Clocks] | None = None

    def worked(self, clock: str, start: float, end: float) -> NDArray[float64]:
        """Return the hours of full work that each of `SKIES` skies leaves of a shift."""
        return np.array([clocks[clock].worked(start, end) for clocks in self._drawn()])

    def pace(self, clock: str, start: float, end: float) -> float:
        """Return the full work in an hour at work of a shift: less than 1 by night, and in the heat."""
        worked = open_hours = 0.0
        for clocks in self._drawn():
            layout = clocks[clock].laid_out(end)
            for number, rate in enumerate(layout.rates):
                low, high = max(layout.times[number], start), min(layout.times[number + 1], end)
                if high > low and rate > 0.0:
                    worked += (high - low) * rate
                    open_hours += high - low
        return worked / open_hours if open_hours else 1.0

    def open_hours(self, clock: str, start: float, end: float) -> float:
        """Return the hours of a shift in which there is work, whatever the weather: breaks and dark apart."""
        return sum(
            max(min(high, end) - max(low, start), 0.0) for low, high, rate, _ in self._plan.clocks[clock].calendar if rate > 0.0
        )

    def _drawn(self) -> list[Clocks]:
        if self._clocks is None:
            plan = self._plan
            self._clocks = []
            for number in range(SKIES):
                luck = Streams(plan.seed, number)
                productive = draw_levels(plan.levels, luck)["laying.efficiency"]
                self._clocks.append(make_clocks(plan.clocks, HourlySky(plan.sky, luck), luck, productive))
        return self._clocks
