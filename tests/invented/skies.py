"""Skies as a test writes them, whose hours are given and whose spells go with their rain; and what sources of weather draw."""

from __future__ import annotations

from datetime import datetime

import numpy as np

from simulation.chance import Streams
from simulation.conditions import HOURS, HourlySky, Hours, SkyPlan
from simulation.conditions.sky.climate_defaults import PLANNED
from simulation.conditions.sky.three_states import ThreeStates

SPRING = datetime(2031, 4, 2, 6)


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


def every(p, w, a, b):
    """A three-state chain that is the same in every month."""
    return ThreeStates(*((number,) * 12 for number in (p, w, a, b)))


def sky(spells, run=0, starts=SPRING, air=PLANNED):
    return HourlySky(SkyPlan(starts, spells, air), Streams(7, run))


def wet_hours(drawn, hours):
    """Whether each hour is wet, read from the spells."""
    drawn.reach(hours)
    wet = np.zeros(hours, dtype=bool)
    for start, end in drawn.spells:
        wet[int(start) : int(end)] = True
    return wet


def hours_of(drawn, blocks, field):
    return np.concatenate([getattr(drawn.block(number), field) for number in range(blocks)])
