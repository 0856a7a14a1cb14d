"""A field that reduces to a waiting line or to a sum: the scenario, its runs, and how an answer is held to an exact value."""

import json
import math

import numpy as np

from simulation.construction import compile_plan, simulate
from simulation.construction.plan.steps import END
from simulation.scenario import parse_scenario

SEED = 20310402
SIGMAS = 4.0

#: Half mats, one on a pallet and one in a row; nothing takes any time but what a test writes.
SCENARIO = """
seed = {seed}
horizon = "{horizon}"
[mat]
pallet_full = 0
pallet_half = 1
{areas}
{crews}
[laying]
pick_up = "0 s"
walk = "1000000 mph"
open_pallet = "0 s"
place = {place}
lock = "0 s"
key_strip = "0 s"
starter_key_strip = "0 s"
efficiency = 1
check = "0 s"
skew_found = 0.0
damaged_mats = 0.0
[shifts.all]
hours = ["00:00-24:00"]
[forklifts]
efficiency = 1.0
count = {forklifts}
speed = "1000000 mph"
handle = {handle}
breakdown_every = {breakdown_every}
repair = {repair}
staged_ahead = {places}
[grading]
efficiency = 1.0
done = {graded}
rate = "0.000001 ft**2/h"
[supply]
on_hand = {on_hand}
total = {total}
spares = 0
{trucks}
[[milestone]]
name = "laid"
areas = {names}
closing = "0 h"
"""


def exponential(hours):
    return f'{{ mean = "{hours} h", scatter = "exponential" }}'


def area(name, rows, start):
    return f'[[area]]\nname = "{name}"\nlength = "{2 * rows} ft"\nwidth = "6 ft"\nstart = "{start}"\n'


def crew(name, areas):
    return f'[[crew]]\nname = "{name}"\npeople = 6\nareas = {areas}\n'


def scenario(rows=1, crews=("red",), areas=("strip",), start="one-end", **written):
    """Return areas of so many rows each, which any of the crews may lay; `written` takes the place of what stands below."""
    names = json.dumps(areas)
    values = {
        "seed": SEED,
        "horizon": "3650 day",
        "areas": "".join(area(name, rows, start) for name in areas),
        "crews": "".join(crew(name, names) for name in crews),
        "names": names,
        "place": '"0.000001 s"',
        "forklifts": 1,
        "handle": '"0 s"',
        "breakdown_every": '"1000000000 h"',
        "repair": '"0 h"',
        "places": 1000,
        "graded": 1.0,
        "on_hand": rows * len(areas),
        "total": rows * len(areas),
        "trucks": "",
    }
    return parse_scenario(SCENARIO.format(**values | written))


def finishing_times(runs, **written):
    """Return the hours to the last row of each of so many runs, without the record of everything else about them."""
    plan, hours = compile_plan(scenario(**written)), []
    for run_number in range(runs):
        run = simulate(plan, run_number)
        (laid,) = run.site.reached
        hours.append(laid[END])
        run.dismiss()
    return np.array(hours)


def agrees(values, exact, share):
    """Hold the mean of independent values to an exact one, with a standard error of at most a share of that."""
    error = np.std(values, ddof=1) / math.sqrt(len(values))
    assert error < share * exact
    assert abs(np.mean(values) - exact) < SIGMAS * error
