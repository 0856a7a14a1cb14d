"""Little fields that one thing binds, all else quick and certain, so that what would help can be added up by hand."""

from simulation.scenario import parse_scenario

#: Everything certain and next to nothing, around the clock and dry; 48 rows of 6 and 7 mats in turn fill 24 pallets of 13.
NOTHING = {
    "length": "96 ft",
    "start": "one-end",
    "people": "12",
    "laying": 'pick_up = "0 s"\nplace = "0.001 s"',
    "key_strip": "0 s",
    "rows_in_work": "50",
    "forklifts": 'count = 2\nhandle = "0 s"',
    "supply": "on_hand = 24\ntotal = 24",
    "more": "",
}
_TEXT = """
title = "Bound field"
seed = 3
horizon = "60 day"
[[area]]
name = "strip"
length = "{length}"
width = "72 ft"
start = "{start}"
[[crew]]
name = "red"
people = {people}
areas = ["strip"]
[laying]
{laying}
walk = "900000 mph"
lock = "0.0001 s"
open_pallet = "0 s"
key_strip = "{key_strip}"
starter_key_strip = "0 s"
move = "0 min"
rows_in_work = {rows_in_work}
efficiency = 1.0
check = "0 s"
skew_found = 0.0
damaged_mats = 0.0
[forklifts]
efficiency = 1.0
speed = "1000000 mph"
breakdown_every = "1000000000 h"
staged_ahead = 1000
{forklifts}
[supply]
spares = 0.0
{supply}
[shifts.all]
hours = ["00:00-24:00"]
lighting = true
[[milestone]]
name = "ready"
areas = ["strip"]
closing = "0 h"
{more}
"""

#: Truck that takes one hour to load, two to come and one and a half to go back.
TRUCK = '[[supply.trucks]]\ncount = {count}\npallets = 12\nload = "1 h"\nhaul = "2 h"\nreturn = "90 min"\n{more}'


def bound(**changes: str):
    """Return a field of which only what `changes` say takes any time."""
    return parse_scenario(_TEXT.format(**{**NOTHING, **changes}))


def by_forklift():
    """One forklift brings 24 pallets in six minutes each."""
    return bound(forklifts='count = 1\nhandle = "3 min"')


def by_haul(count: int = 1, since: str = "0 h"):
    """48 pallets come in four loads; one truck takes four times three hours and three ways back."""
    truck = TRUCK.format(count=count, more=f'from = "{since}"')
    return bound(length="192 ft", supply="on_hand = 0\ntotal = 48", more=truck)


def by_crew(**changes: str):
    """Four teams of a crew of twelve carry for 20 s and place for 40 s each of 312 mats; one key strip takes 15 minutes."""
    return bound(**{"laying": 'pick_up = "20 s"\nplace = "40 s"', "key_strip": "15 min", **changes})


def by_rain():
    """Five hours of sweeping come after a strip that is laid at once, in a climate where it rains most of the time."""
    wet = '[weather]\nwet_spell = "20 h"\ndry_spell = "5 h"\n'
    return bound(laying='pick_up = "20 s"\nplace = "40 s"', more=wet)
