"""Sources of weather for tests, and what they draw."""

from datetime import datetime

import numpy as np

from simulation.chance import Streams
from simulation.conditions import HourlySky, SkyPlan
from simulation.conditions.sky.climate_defaults import PLANNED
from simulation.conditions.sky.three_states import ThreeStates

SPRING = datetime(2031, 4, 2, 6)


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
