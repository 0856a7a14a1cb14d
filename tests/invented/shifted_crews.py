"""A strip that a day crew and a night crew lay in a hot, wet and windy season, each on hours of its own."""

SHIFTED = """
title = "Day and night"
starts = 2031-06-02T06:00:00
seed = 4
horizon = "40 day"
[site]
latitude = 20.0
longitude = -30.0
utc_offset = "-2 h"
[[area]]
name = "strip"
length = "600 ft"
width = "72 ft"
[[crew]]
name = "sun"
people = 14
areas = ["strip"]
shift = { hours = ["06:00-16:00"] }
[[crew]]
name = "moon"
people = 14
areas = ["strip"]
second_crew = "relief"
shift = { hours = ["20:00-04:00"], lighting = true }
[shifts.all]
hours = ["00:00-24:00"]
lighting = true
[supply]
on_hand = 200
[weather]
model = "chain"
wet_spell = "3 h"
dry_spell = "12 h"
rain = { unit = "mm", mean = 3 }
wind = { unit = "mph", mean = 14 }
temperature = { unit = "degC", low = 22, high = 33 }
[stops]
thunder = 0.3
[stops.laying]
[heat]
"""
