"""Replays for the tests of pictures, films and pages: a small field with a bit of everything, and names that make trouble."""

from functools import cache

from simulation.construction import run_once
from simulation.questions.replay.study import make_replay
from simulation.scenario import parse_scenario

#: What stands in braces is put in: a title, the names of an area and a milestone, a horizon.
TEXT = """
title = {title}
seed = 3
horizon = "{horizon}"
[[area]]
name = {area}
length = "300 ft"
width = "72 ft"
start = "centre-out"
[[area]]
name = "side"
length = "40 ft"
width = "36 ft"
joins = {{ area = {area}, station = "60 ft", side = "right", at = "0 ft" }}
[[crew]]
name = "red"
people = 20
areas = [{area}, "side"]
[[crew]]
name = "blue"
people = 20
areas = [{area}]
[forklifts]
breakdown_every = {{ mean = "4 h", scatter = "exponential" }}
repair = "30 min"
[supply]
on_hand = 20
total = 100
yard = {{ area = {area}, station = "200 ft", offset = "120 ft" }}
[[supply.trucks]]
count = 2
pallets = 8
haul = "30 min"
return = "30 min"
load = "30 min"
[grading]
done = 0.2
[site]
latitude = 31.0
longitude = -30.0
utc_offset = "-2 h"
[weather]
wet_spell = "3 h"
dry_spell = "10 h"
[[milestone]]
name = "open"
areas = [{area}]
closing = "1 h"
[[milestone]]
name = {milestone}
areas = [{area}, "side"]
closing = "2 h"
ready = true
"""
EVIL = '</script><script>document.body.id="harmed"</script>&amp;'


@cache
def replay(title="A small field", area="strip", milestone="ready", horizon="60 day", every=1.0, at=None):
    """Return a replay of one run; the same words give the same one."""
    named = {key: f"'{text}'" for key, text in (("title", title), ("area", area), ("milestone", milestone))}
    scenario = parse_scenario(TEXT.format(**named, horizon=horizon))
    return make_replay(scenario, run_once(scenario), every, at)
