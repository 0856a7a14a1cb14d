"""Skies as a test writes them: the same hour for ever, or hours of any kind, with spells that go with their rain."""

from __future__ import annotations

import numpy as np

from simulation.conditions import HOURS, Hours


class Invented:
    """A sky whose hours are given by variable; what is not given is mild and dry. After the last hour it is mild for ever."""

    def __init__(self, **hours):
        self.given = {name: np.asarray(values, dtype=float) for name, values in hours.items()}
        rain = self.given.get("rain", np.zeros(0))
        self.spells = []
        for hour in np.flatnonzero(rain > 0).tolist():
            if self.spells and self.spells[-1][1] == hour:
                self.spells[-1][1] = hour + 1.0
            else:
                self.spells.append([float(hour), hour + 1.0])
        self.drawn = float("inf")

    def reach(self, hour):
        pass

    def block(self, number):
        mild = {"rain": 0.0, "wind": 5.0, "gust": 8.0, "temperature": 15.0, "humidity": 50.0}
        first = number * HOURS
        filled = {}
        for name, value in mild.items():
            part = self.given.get(name, np.zeros(0))[first : first + HOURS]
            filled[name] = np.concatenate([part, np.full(HOURS - len(part), value)])
        return Hours(**filled)


def any_sky(seed, hours=600):
    """Return a sky of random hours of every kind, hot and cold, calm and stormy, wet one hour in five."""
    draws = np.random.default_rng(seed)
    wet = np.repeat(draws.random(hours // 3 + 1) < 0.2, 3)[:hours]
    wind = draws.weibull(2.0, hours) * 14
    return Invented(
        rain=np.where(wet, draws.exponential(4.0, hours), 0.0),
        wind=wind,
        gust=wind * draws.uniform(1.0, 2.0, hours),
        temperature=draws.uniform(-35, 42, hours),
        humidity=draws.uniform(20, 100, hours),
    )
