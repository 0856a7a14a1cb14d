"""Invented runs in the form in which the runs hand them over, for tests of what is read from them."""

import math
from functools import cache

import numpy as np

from simulation.questions.compare.study import compared_with
from simulation.replicate.run_table import RunTable
from simulation.scenario import Scenario, parse_scenario
from simulation.study.calendar import make_calendar
from simulation.study.deadline import read_deadline
from simulation.study.outcomes import summarise_outcome

TWO_AREAS = """
title = "Invented strip"
starts = 2031-04-02T06:00:00
seed = 7
horizon = "40 day"
[[area]]
name = "runway"
length = "600 ft"
width = "72 ft"
[[area]]
name = "apron"
length = "100 ft"
width = "96 ft"
joins = { area = "runway", end = "high" }
[[crew]]
name = "red"
people = 20
areas = ["runway", "apron"]
[[crew]]
name = "blue.2"
people = 18
areas = ["runway", "apron"]
[supply]
on_hand = 60
per_day_limit = 120
[[supply.trucks]]
count = 4
haul = "1 h"
return = "1 h"
[[milestone]]
name = "runway open"
areas = ["runway"]
[[milestone]]
name = "operational readiness"
areas = ["runway", "apron"]
ready = true
"""

CAUSES = ("laying rows", "off shift, crews", "dark", "rain", "final sweep, inspection and marking")
#: What each of these causes took of each third of the time to readiness, in percent: rain at first, final sweep, inspection
#: and marking at last.
THIRDS = {"early": (50, 20, 15, 15, 0), "middle": (55, 25, 15, 5, 0), "late": (45, 30, 15, 1, 9)}


def invented_scenario(text: str = TWO_AREAS) -> Scenario:
    return parse_scenario(text, "invented.toml")


def on_shift(productive: float) -> float:
    """Return the hour at which so many hours of the default shifts (06-12, 13-18, start at 06:00) have passed."""
    days, rest = divmod(productive, 11.0)
    return 24.0 * days + (rest if rest <= 6.0 else rest + 1.0)


def invented_runs(
    scenario: Scenario, count: int, mean: float = 80.0, sd: float = 14.0, unfinished: float = 0.0, seed: int = 3
) -> RunTable:
    """Return `count` runs whose hours on shift are normal; the share `unfinished`, the slowest, was not done by the last day
    simulated."""
    luck = np.random.default_rng(seed)
    work = np.maximum(luck.normal(mean, sd, count), 5.0) if sd else np.full(count, mean)
    ready = np.array([on_shift(one) for one in work])
    late = np.argsort(ready)[count - round(unfinished * count) :]
    finished = np.ones(count, dtype=bool)
    finished[late] = False
    columns: dict[str, np.ndarray] = {"run": np.arange(count)}
    for place, milestone in enumerate(scenario.milestones):
        part = 1.0 if milestone.ready else (place + 1) / (len(scenario.milestones) + 1)
        hours = ready if milestone.ready else np.array([on_shift(one * part) for one in work])
        columns[f"milestone.{milestone.name}"] = np.where(finished, hours, math.inf)
    for third, percents in THIRDS.items():
        for cause, percent in zip(CAUSES, percents, strict=True):
            columns[f"cause.{third}.{cause}"] = np.where(finished, percent / 300 * ready, math.nan)
        columns[f"cause.{third}.key strips"] = np.where(finished, 0.0, math.nan)
    for crew in scenario.crew:
        columns[f"use.crew {crew.name}.on shift"] = work
        columns[f"use.crew {crew.name}.working"] = 0.75 * work
    columns["use.forklifts.on shift"] = 3 * work
    columns["use.forklifts.working"] = 1.2 * work
    columns["use.forklifts.repair"] = 0.3 * work
    columns["short.full mats"] = np.where(np.arange(count) % 10 == 0, 8, 0)
    columns["short.half mats"] = np.where(np.arange(count) % 20 == 0, 2, 0)
    columns["rejected.mats"] = luck.integers(0, 30, count)
    columns["gate.peak"] = luck.integers(60, 120, count)
    columns["gate.mean"] = luck.uniform(40, 60, count)
    columns["level.laying.place"] = luck.normal(0.01, 0.001, count)
    columns["laying hours"] = work
    return RunTable(columns)


#: Name, scenario text, how its runs are invented.
PLANS = {
    "as written": (TWO_AREAS, {}),
    "people=24, start=centre-out": (TWO_AREAS.replace("people = 20", "people = 24"), {"mean": 70.0}),
    "people=16": (TWO_AREAS.replace("people = 20", "people = 16"), {"mean": 71.0}),
    "count=1, truck haul={ p10 = '1 h', p90 = '9 h' }, wet_spell=12 h, dry_spell=1 day": (TWO_AREAS, {"mean": 110.0}),
    "horizon=8 day": (TWO_AREAS.replace('"40 day"', '"8 day"'), {"unfinished": 0.3}),
    "never": (TWO_AREAS, {"unfinished": 1.0}),
    "open": (TWO_AREAS, {"unfinished": 0.15}),
    "late and open": (TWO_AREAS, {"mean": 130.0, "unfinished": 0.15}),
    "nearly": (TWO_AREAS.replace("people = 20", "people = 16"), {"mean": 70.0, "seed": 4}),
    "hardly earlier": (TWO_AREAS, {"mean": 79.4}),
    "not earlier to speak of": (TWO_AREAS, {"mean": 79.98}),
    **{f"twin {number}": (TWO_AREAS, {"seed": 10 + number}) for number in range(7)},
    "later": (TWO_AREAS, {"mean": 95.0}),
    "much later": (TWO_AREAS, {"mean": 110.0}),
}
#: Those that a comparison takes unless others are named.
FIVE = tuple(PLANS)[:5]


@cache
def comparison(*names, reference=0, deadline=None, count=200, asked=200, scale=1.0, stopped=""):
    outcomes = []
    for name in names or FIVE:
        text, how = PLANS[name]
        scenario = invented_scenario(text)
        runs = invented_runs(scenario, count, **how)
        ready = "milestone.operational readiness"
        runs[ready][:] *= scale
        limit = None if deadline is None else read_deadline(deadline, make_calendar(scenario))
        outcomes.append(summarise_outcome(name, scenario, runs, limit))
    return compared_with(outcomes, reference, seed=7, asked=asked, stopped=stopped)
