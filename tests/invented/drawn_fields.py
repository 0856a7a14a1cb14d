"""Forecasts and replays of small fields that are really built, plain and odd ones, for tests of what is drawn of them."""

from functools import cache

from simulation.construction import run_once
from simulation.questions.forecast.reading import read_runs
from simulation.questions.forecast.study import forecast
from simulation.questions.replay.study import make_replay
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
        return read_runs(plain.scenario, plain.table.take([0] * 20), plain.seed, 20)
    text, count = TEXTS[case]
    return forecast(parse_scenario(text, f"{case}.toml"), RunContext(runs=count, workers=1))


# --- replays: a field with a bit of everything, and names that make trouble ---

#: What stands in braces is put in: a title, the names of an area and a milestone, a horizon.
BUSY = """
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
    scenario = parse_scenario(BUSY.format(**named, horizon=horizon))
    return make_replay(scenario, run_once(scenario), every, at)
