"""Which clock does each kind of work go by?"""

from __future__ import annotations

import math

from simulation.conditions.calendar import lay_out
from simulation.conditions.clock import ClockPlan, WorkClock
from simulation.conditions.rain import Sky
from simulation.conditions.sun import daylight
from simulation.scenario.scenario import Scenario

#: Kind of work -> the shift it keeps. Repair is done under cover, so rain does not stop it.
SHIFTS = {"laying": "laying", "forklift": "forklift", "repair": "forklift", "haul": "haul", "grading": "grading"}


def clock_plans(scenario: Scenario) -> dict[str, ClockPlan]:
    """Return what the clock of each kind of work is made from; kinds with equal plans have the same object.

    The sun is tabulated here, once for a scenario.
    """
    horizon, starts, weather = scenario.horizon, scenario.starts, scenario.weather
    light = daylight(scenario.site, starts, math.ceil(horizon / 24)) if scenario.site else None
    plans: dict[str, ClockPlan] = {}
    for kind, shift in SHIFTS.items():
        calendar = lay_out(scenario.shifts.of(shift), light, starts, horizon)
        rain = weather.model != "none" and kind in weather.rain_stops
        plan = ClockPlan(calendar, rain, weather.drying if rain and kind == "grading" else 0.0)
        plans[kind] = next((other for other in plans.values() if other == plan), plan)
    return plans


def wind_clocks(plans: dict[str, ClockPlan], sky: Sky) -> dict[str, WorkClock]:
    """Return the clocks of one build by kind of work; kinds that go by the same plan object share one."""
    made: dict[int, WorkClock] = {}
    clocks: dict[str, WorkClock] = {}
    for kind, plan in plans.items():
        if id(plan) not in made:
            made[id(plan)] = WorkClock(plan, sky)
        clocks[kind] = made[id(plan)]
    return clocks
