"""Forecasts of small fields that are really built, plain and odd ones, for tests of the pictures that are drawn of them."""

from functools import cache

from simulation.questions.forecast.study import forecast, read_runs
from simulation.scenario import parse_scenario
from simulation.study.run_context import RunContext

FIELD = """
title = "Invented field"
starts = 2031-04-02T06:00:00
seed = 5
horizon = "40 day"
[[area]]
name = "runway"
length = "400 ft"
width = "72 ft"
start = "centre-out"
[[area]]
name = "apron"
length = "60 ft"
width = "96 ft"
joins = { area = "runway", end = "high" }
[[crew]]
name = "red"
people = 16
areas = ["runway", "apron"]
[[crew]]
name = "blue"
people = 14
areas = ["runway", "apron"]
[laying]
efficiency = { low = 0.5, mode = 0.67, high = 0.85 }
[grading]
done = 0.2
[supply]
on_hand = 40
total = 150
[[supply.trucks]]
count = 2
haul = "1 h"
return = "1 h"
[site]
latitude = 31.0
longitude = -30.0
utc_offset = "-2 h"
[weather]
wet_spell = "3 h"
dry_spell = "20 h"
"""
READY = """
[[milestone]]
name = "all of it"
areas = ["runway", "apron"]
ready = true
"""
TWO_MILESTONES = (
    """
[[milestone]]
name = "runway open"
areas = ["runway"]
"""
    + READY
)
SCRIPT = "<script>alert(1)</script>"
FORTY = "".join(
    f'[[milestone]]\nname = "stretch number {number} of the long runway up to its marker board"\n'
    f'stretch = {{ area = "runway", from = "0 ft", to = "{10 * number} ft" }}\nclosing = "0 h"\n'
    for number in range(1, 40)
)
PADS = (
    "\n".join(f'[[area]]\nname = "pad {number}"\nlength = "{20 + 2 * number} ft"\nwidth = "36 ft"' for number in range(40))
    + f"""
[[crew]]
name = "red"
people = 30
areas = [{", ".join(f'"pad {number}"' for number in range(40))}]
[supply]
on_hand = 900
"""
)

#: Name -> (scenario, runs).
TEXTS = {
    "plain": (FIELD + TWO_MILESTONES, 20),
    "one run": (FIELD, 1),
    "one milestone": (FIELD, 20),
    "forty milestones": (FIELD + FORTY + READY, 20),
    "a script for a name": (
        (FIELD + TWO_MILESTONES).replace('"runway"', f'"{SCRIPT}"').replace("runway open", SCRIPT).replace('"red"', f'"{SCRIPT}"')
        .replace("Invented field", SCRIPT),
        20,
    ),
    "long names": (
        (FIELD + TWO_MILESTONES).replace("Invented field", "$5 and $6 " + "W" * 50).replace("runway open", "W" * 60)
        .replace('"red"', '"' + "M" * 60 + '"'),
        20,
    ),
    "none finished": (FIELD.replace('"40 day"', '"20 h"') + TWO_MILESTONES, 20),
    "some unfinished": (FIELD.replace('"40 day"', '"44 h"') + TWO_MILESTONES, 20),
    "not begun": (FIELD.replace('"40 day"', '"2 h"').replace("on_hand = 40", "on_hand = 0"), 5),
    "forty areas": (PADS, 5),
    "months": (
        FIELD.replace('"40 day"', '"300 day"').replace("{ low = 0.5, mode = 0.67, high = 0.85 }", "0.02") + TWO_MILESTONES, 3,
    ),
    "late crews": (FIELD.replace("people = 1", 'from = "2 day"\npeople = 1'), 20),
}  # fmt: skip
CASES = (*TEXTS, "no spread")


@cache
def drawn_forecast(case="plain"):
    """Return a forecast of really simulated runs; without a spread, all of them are the first one."""
    if case == "no spread":
        plain = drawn_forecast()
        return read_runs(plain.scenario, plain.runs.iloc[[0] * 20].reset_index(drop=True), plain.seed, 20)
    text, count = TEXTS[case]
    return forecast(parse_scenario(text, f"{case}.toml"), RunContext(runs=count, workers=1))
