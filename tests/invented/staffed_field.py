"""Little fields for the question how many people: certain but for one level, so that the chance of every team is known."""

from __future__ import annotations

import math
from functools import cache
from statistics import NormalDist

from simulation.replicate import do_runs
from simulation.scenario import Scenario, Team, parse_scenario, vary

#: Seconds for placing one mat: the one thing that nobody knows. Lognormal, so its chances can be written down.
P10, P90 = 20.0, 90.0

TEXT = """
title = "Staffed strip"
seed = {seed}
horizon = "90 day"
[[area]]
name = "strip"
length = "{length} ft"
width = "72 ft"
{start}
[[crew]]
name = "red"
people = 16
areas = ["strip"]
[laying]
pick_up = "20 s"
place = {place}
lock = "2 s"
open_pallet = "1 s"
key_strip = "5 min"
starter_key_strip = "5 min"
move = "0 min"
efficiency = 0.5
check = "0 min"
skew_found = 0.0
damaged_mats = 0.0
rows_in_work = {rows_in_work}
[forklifts]
efficiency = 1.0
count = {forklifts}
speed = "8 mph"
handle = "{handle}"
breakdown_every = "1000000 h"
repair = "1 h"
[grading]
efficiency = 1.0
done = 1.0
[supply]
on_hand = 100
[shifts.all]
hours = ["00:00-24:00"]
lighting = true
"""
UNKNOWN = f'{{ p10 = "{P10} s", p90 = "{P90} s" }}'


def field(place: str = UNKNOWN, **written: object) -> Scenario:
    """Return the field; `written` takes the place of what stands below."""
    values: dict[str, object] = {"seed": 5, "length": 20, "start": "", "rows_in_work": 50, "forklifts": 2, "handle": "1 s"}
    return parse_scenario(TEXT.format(place=place, **(values | written)))


@cache
def hours(people: int, seconds: float) -> float:
    """Return when one crew is ready if placing a mat takes so many seconds."""
    scenario = field(f'"{seconds} s"')
    return float(do_runs(vary(scenario, [Team(1, people).instead(scenario)]), 1, workers=1)["milestone.operational readiness"][0])


def seconds_met(people: int, deadline: float) -> float:
    """Return the slowest placing with which one crew is ready by a deadline, by bisection: the slower, the later."""
    low, high = 1.0, 2000.0
    for _ in range(24):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if hours(people, middle) <= deadline else (low, middle)
    return low


def level(chance: float) -> float:
    """Return the seconds that placing a mat stays below with a chance."""
    law = _law()
    return math.exp(law.inv_cdf(chance))


def true_chance(people: int, deadline: float) -> float:
    """Return the chance that one crew is ready by a deadline."""
    return _law().cdf(math.log(seconds_met(people, deadline)))


def _law() -> NormalDist:
    low, high = math.log(P10), math.log(P90)
    return NormalDist((low + high) / 2, (high - low) / 2 / NormalDist().inv_cdf(0.9))
