"""When does a spell with heavy rain in it end?"""

from __future__ import annotations

import math

from simulation.conditions.sky.hourly import HOURS, HourlySky
from simulation.conditions.sky.hourly_variables import MODERATE
from simulation.conditions.sky.rain import BLOCK


class HeavyRain:
    """The spells of one run that hold an hour of heavy rain, more than 7.6 mm (AMS glossary)."""

    def __init__(self, sky: HourlySky) -> None:
        self._sky = sky
        self._looked = 0
        self._ends: list[float] = []

    def ends(self, after: float, upto: float) -> list[float]:
        """Return when such spells end, after one moment and up to another."""
        self._look(upto)
        return [end for end in self._ends if after < end <= upto]

    def next_look(self, now: float) -> float:
        """Return the next moment after `now` at which such a spell ends, as far as the sky is drawn, or up to which it is."""
        self._look(now + BLOCK)
        return next((end for end in self._ends if end > now), now + BLOCK)

    def _look(self, upto: float) -> None:
        sky = self._sky
        sky.reach(upto + 1.0)
        # A spell that touches the end of what is drawn may go on.
        while self._looked < len(sky.spells) and sky.spells[self._looked][1] < sky.drawn:
            start, end = sky.spells[self._looked]
            hours = range(int(start), math.ceil(end))
            if any(sky.block(hour // HOURS).rain[hour % HOURS] > MODERATE for hour in hours):
                self._ends.append(end)
            self._looked += 1
