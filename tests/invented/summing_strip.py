"""A strip whose readiness can be written down: four rows of (pick up + place), and a starter key strip before them."""

import json

from simulation.scenario import parse_scenario

ROWS = 4
TEXT = """
title = "Summing strip"
seed = 5
horizon = "{horizon}"
[mat]
pallet_full = 0
pallet_half = 1
[[area]]
name = "strip"
length = "8 ft"
width = "6 ft"
start = "centre-out"
[[crew]]
name = "red"
people = 6
areas = ["strip"]
[laying]
walk = "1000000 mph"
open_pallet = "0 s"
lock = "0 s"
key_strip = "0 s"
efficiency = 1
check = "0 s"
skew_found = 0.0
damaged_mats = 0.0
pick_up = {pick_up}
place = {place}
starter_key_strip = {starter}
move = "0 min"
connect = {connect}
[shifts.all]
hours = ["00:00-24:00"]
[forklifts]
efficiency = 1.0
count = 1
speed = "1000000 mph"
handle = "0 s"
breakdown_every = "1000000000 h"
repair = "0 h"
staged_ahead = 1000
[grading]
efficiency = 1.0
rate = "9000 ft**2/h"
trench = "0 h"
[supply]
on_hand = 10
[[milestone]]
name = "laid"
areas = ["strip"]
closing = "0 h"
"""


def toml(value):
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {toml(one)}" for key, one in value.items()) + " }"
    return json.dumps(value)


def summing(changes=(), horizon="60 day", **levels):
    """Return the strip; every level is certain and costs nothing but those that a test writes."""
    values = {"pick_up": "0 s", "place": "1 h", "starter": "0 h", "connect": "0 h"} | levels
    text = TEXT.format(horizon=horizon, **{key: toml(value) for key, value in values.items()})
    return parse_scenario(text, changes=changes)
