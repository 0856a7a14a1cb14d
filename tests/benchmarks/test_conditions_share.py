"""Weather, heat and clocks with everything switched on cost less than three tenths of a run."""

import cProfile
import pstats
import time

from simulation.construction import compile_plan, simulate
from simulation.construction.trace.record import make_record
from simulation.scenario import parse_scenario, shipped

EVERYTHING = """[stops]
thunder = 0.05
[stops.laying]
[stops.forklift]
[stops.haul]
[stops.grading]
[stops.lifting]
[heat]
[cold]
[soil]
[roads]
[weather]
rain = { mean = 1.5, unit = "mm" }
wind = { mean = 10, unit = "mph" }
temperature = { low = 60, high = 88, unit = "degF" }
"""


def test_weather_heat_and_clocks_take_less_than_three_tenths_of_a_runs_time():
    text = shipped("relief_strip").read_text().replace("[weather]\n", EVERYTHING, 1)
    plan = compile_plan(parse_scenario(text))
    make_record(simulate(plan, 0))  # the table of heat and the sun's heights are worked out once in a process
    profile = cProfile.Profile(time.process_time)  # what others do on the machine meanwhile is no part of it
    profile.enable()
    for number in range(1, 7):
        done = simulate(plan, number)
        make_record(done)
        done.dismiss()
    profile.disable()
    stats = pstats.Stats(profile)
    # Everything below these three, which do not call each other: what clocks ask of the sky, and what rain does to the ground.
    asked = ("_search", "stretch", "worked_to", "losses")
    spent = sum(
        row[3] for (file, _, name), row in stats.stats.items() if file.endswith("conditions/clock/clock.py") and name in asked
    )
    # It was less than a quarter while a run cost 13.8 timeouts a pallet; clocks cost what they did, all else costs less.
    assert 0.02 < spent / stats.total_tt < 0.30
