"""A strip where only laying binds, for tests of plans side by side."""

#: Two like crews on one long strip; pallets and ground are all there, so that nothing but laying binds.
STRIP = """
title = "Long strip"
seed = 3
[[area]]
name = "strip"
length = "600 ft"
width = "72 ft"
start = "one-end"
[[crew]]
name = "red"
people = 18
areas = ["strip"]
[[crew]]
name = "blue"
people = 18
areas = ["strip"]
[forklifts]
efficiency = 1.0
count = 6
[supply]
on_hand = 170
[shifts.all]
hours = ["00:00-24:00"]
"""
