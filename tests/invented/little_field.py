"""A little uncertain field whose runs take a few milliseconds each."""

from simulation.scenario import Scenario, parse_scenario

TEXT = """
title = "Little field"
seed = 31
horizon = "60 day"
[[area]]
name = "strip"
length = "120 ft"
width = "72 ft"
start = "centre-out"
[[area]]
name = "pad"
length = "40 ft"
width = "96 ft"
joins = { area = "strip", end = "high" }
[[crew]]
name = "red"
people = 14
areas = ["strip", "pad"]
[[crew]]
name = "blue"
people = 14
areas = ["strip", "pad"]
second_crew = "merge"
[forklifts]
count = 2
breakdown_every = { p10 = "1 h", p90 = "9 h", scatter = "exponential" }
[supply]
on_hand = 10
spares = 0.0
[[supply.trucks]]
count = 2
haul = { p10 = "40 min", p90 = "80 min", scatter = 0.3 }
return = "40 min"
[weather]
wet_spell = "3 h"
dry_spell = "20 h"
[[milestone]]
name = "strip open"
areas = ["strip"]
[[milestone]]
name = "operational readiness"
areas = ["strip", "pad"]
ready = true
"""


def little_field() -> Scenario:
    return parse_scenario(TEXT)
