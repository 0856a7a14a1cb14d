"""Two strips that many tests start from: one that is complete and quick to build, and one that says the least there is to say."""

#: Its runs take a millisecond, and nothing is warned of.
SHORT = """
title = "Short strip"
seed = 11
starts = 2031-04-02T06:00:00
horizon = "20 day"
[[area]]
name = "strip"
length = "40 ft"
width = "72 ft"
[[crew]]
name = "red"
people = 16
areas = ["strip"]
[supply]
on_hand = 12
[site]
latitude = 31.0
longitude = -30.0
utc_offset = "-2 h"
[weather]
wet_spell = "3 h"
dry_spell = "2 day"
"""

#: What must be written; other tables follow it.
LEAST = """
[[area]]
name = "strip"
length = "300 ft"
width = "72 ft"
[[crew]]
name = "red"
people = 18
areas = ["strip"]
[supply]
on_hand = 80
"""
