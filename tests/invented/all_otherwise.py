"""A scenario with hours of crews, late starts, flights, trucks, a limit and metric lengths: little is at its default."""

OTHERWISE = """
title = "All otherwise"
starts = 2031-05-12T06:00:00
seed = 20310512
horizon = "90 day"
[site]
latitude = 57.2
longitude = 3.1
utc_offset = "1 h"
[[area]]
name = "strip"
length = "392 ft"
width = "18.29 m"
start = "centre-out"
key_strips_every = "30.48 m"
[[area]]
name = "apron"
length = "44.5 m"
width = "29.26 m"
joins = { area = "strip", station = "40 m", side = "right", at = "0 m" }
[[crew]]
name = "day"
people = 22
areas = ["strip", "apron"]
[[crew]]
name = "gull"
people = 16
areas = ["apron", "strip"]
second_crew = "relief"
from = "20 h"
shift = { hours = ["05:00-11:00"], breaks = ["08:00-08:15"] }
[[crew]]
name = "night"
people = 24
areas = ["strip", "apron"]
second_crew = "relief"
from = "12 h"
[crew.shift]
hours = ["19:00-24:00", "00:30-05:00"]
lighting = true
night_rate = 0.8
taking_over = "15 min"
handing_over = "10 min"
rest_every = 7
fatigue = 0.02
fatigue_after = "7 h"
[laying]
efficiency = { low = 0.4, mode = 0.55, high = 0.7 }
[forklifts]
count = 4
operators = 2
from = ["0 h", "0 h", "5 h"]
[supply]
on_hand = 12
per_day_limit = 60
spares = 0.05
[[supply.trucks]]
count = 3
pallets = 8
haul = { p10 = "60 min", p90 = "120 min", scatter = 0.2 }
return = "70 min"
from = "3 h"
[[supply.flights]]
pallets = 10
first = "8 h"
every = "30 h"
[grading]
done = 0.4
gangs = 2
people = 5
from = "2 h"
[mat]
pallet_full = 12
pallet_half = 1
[shifts.all]
hours = ["05:00-24:00"]
breaks = ["12:00-12:30"]
night_rate = 0.85
rest_every = 6
[shifts.laying]
hours = ["06:00-12:00", "12:45-19:00"]
[shifts.forklift]
hours = ["06:00-24:00", "01:00-04:00"]
lighting = true
night_rate = 0.9
[weather]
wet_spell = "4 h"
dry_spell = "40 h"
drying = "5 h"
"""
