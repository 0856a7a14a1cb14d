"""Every what-if against a scenario with hours of crews, late starts and keys of their own: only what it says is otherwise."""

import re

import pytest
from every_key_scenario import every_key

from simulation.questions.bottlenecks.what_ifs import list_what_ifs
from simulation.scenario import load_scenario, parse_scenario, shipped

#: Hours of crews, late starts, flights, trucks, a limit and metric lengths: little is at its default.
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
[[supply.shipments]]
pallets = 6
comes = { p10 = "10 h", p90 = "30 h" }
chance = 0.7
again = "1 day"
[grading]
done = 0.4
gangs = 2
people = 5
from = "2 h"
[mat]
pallet_full = 22
pallet_half = 2
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
[temporary_end]
[flying]
from = "open"
windows = ["08:00-10:00"]
[[milestone]]
name = "open"
usable = { area = "strip", length = "40 ft" }
[[milestone]]
name = "ready"
areas = ["strip"]
ready = true
[[gang]]
name = "riggers"
people = 4
[[task]]
name = "gear"
gang = "riggers"
team = 2
pieces = 10
each = "1 h"
[[task]]
name = "lights"
pieces = 10
each = "1 h"
[weather]
wet_spell = "4 h"
dry_spell = "40 h"
drying = "5 h"
"""
#: Name of a what-if -> what it may change, as a pattern of addresses; `+` stands for a block that was not there.
SAID = {
    "one more forklift": r"forklifts\.count",
    r"one more truck( of fleet \d)?": r"supply\.trucks\.\d\.count",
    "one more grading gang": r"grading\.gangs",
    r"one more crew of \d+ like .*": r"crew\.\d\+",
    "10 more people in the crews": r"crew\.\d\.people",
    r"\d+ more people in gang .*": r"gang\.\d\.people",
    r"\d+ more people at .*": r"task\.\d\.people",
    "forklifts on shift with every crew": r"shifts\.forklift(\.(hours|lighting))?",
    "trucks on shift with every crew": r"shifts\.haul(\.(hours|lighting))?",
    "graders on shift with every crew": r"shifts\.grading(\.(hours|lighting))?",
    r".* takes its areas backwards": r"crew\.\d\.areas",
    "two half mats for one full on each pallet": r"mat\.pallet_(full|half)",
    "half mats on (every pallet|pallets of their own, first)": r"supply\.half_mats",
    "(shipment .*|every shipment) one day earlier( on average)?": r"supply\.shipments\.\d\.comes\..*",
    "bringing shipments off 10 % quicker": r"supply\.shipments\.\d\.discharge\..*",
    "every shipment on its first date": r"supply\.shipments\.\d\.chance",
    "key strips 10 % quicker": r"laying\.(starter_)?key_strip\..*",
    "locking 10 % quicker": r"laying\.lock\..*",
    "placing 10 % quicker": r"laying\.place\..*",
    "carrying 10 % quicker": r"laying\.(pick_up\..*|walk)",
    "forklift repair 10 % quicker": r"forklifts\.repair\..*",
    "haul 10 % shorter both ways": r"supply\.trucks\.\d\.(haul|back)\..*",
    "10 % less time between flights": r"supply\.flights\.\d\.every",
    "temporary ends 10 % quicker": r"temporary_end\.(make|take_up)\..*",
    "no breakdowns": r"forklifts\.breakdown_every\..*",
    r".* lays .* as well": r"crew\.\d\.areas",
    "no rain(, wind, heat or cold)?": r"weather\.model|stops\..*|heat\.\w+|cold\.stops|soil\.waits",  # and who minds it
    "no flying (windows|movements|windows or movements)": r"flying\.(windows|movements)",
    "no daily limit": r"supply\.per_day_limit",
    "lights on shift": r"(shifts\.\w+|crew\.\d\.shift)\.lighting",
    "day and night under lights": r"(shifts\.\w+|crew\.\d\.shift)\.(lighting|hours)",
}


def differences(one, other, where=""):
    """Yield the addresses at which two dumped scenarios differ."""
    if isinstance(one, dict) and isinstance(other, dict):
        for key in one.keys() | other.keys():
            yield from differences(one.get(key), other.get(key), f"{where}.{key}".lstrip("."))
    elif (
        isinstance(one, list | tuple)
        and isinstance(other, list | tuple)
        and any(isinstance(part, dict) for part in (*one, *other))
    ):
        for place in range(max(len(one), len(other))):
            if place >= len(one) or place >= len(other):
                yield f"{where}.{place}+"
            else:
                yield from differences(one[place], other[place], f"{where}.{place}")
    elif one != other:
        yield where


SCENARIOS = {
    "otherwise": lambda: parse_scenario(OTHERWISE),
    "every key": every_key,
    **{name: lambda name=name: load_scenario(shipped(name)) for name in ("relief_strip", "night_and_heat")},
}


@pytest.mark.parametrize("name", SCENARIOS)
def test_what_a_what_if_does_not_say_stays_as_it_is(name):
    scenario = SCENARIOS[name]()
    before = scenario.model_dump()
    tried, _ = list_what_ifs(scenario)
    for one in tried:
        (pattern,) = [what for said, what in SAID.items() if re.fullmatch(said, one.name)]
        found = list(differences(before, one.scenario.model_dump()))
        assert found
        assert [where for where in found if not re.fullmatch(pattern, where)] == [], one.name


def test_nearly_everything_is_tried_in_a_scenario_that_has_everything():
    tried, left_out = list_what_ifs(parse_scenario(OTHERWISE))
    names = [one.name for one in tried] + [one.name for one in left_out]
    missing = [said for said in SAID if not any(re.fullmatch(said, name) for name in names)]
    assert missing == [r".* lays .* as well"]  # every crew has every area
    assert len(left_out) <= 2


def test_one_more_crew_has_every_key_of_the_crew_that_it_is_like():
    scenario = parse_scenario(OTHERWISE)
    (one,) = [one for one in list_what_ifs(scenario)[0] if one.name.startswith("one more crew")]
    assert one.name == "one more crew of 24 like night"
    assert one.scenario.crew[:3] == scenario.crew
    assert one.scenario.crew[3].model_dump() == {**scenario.crew[2].model_dump(), "name": "night 2"}


def test_whoever_serves_the_crews_is_on_shift_with_all_of_them_and_keeps_the_rest_of_its_shift():
    scenario = parse_scenario(OTHERWISE)
    found = {one.name: one.scenario for one in list_what_ifs(scenario)[0]}
    trucks = found["trucks on shift with every crew"].shifts
    assert trucks.haul.model_dump() == {**scenario.shifts.all.model_dump(), "hours": ((0.5, 24.0),), "lighting": True}
    forklifts = found["forklifts on shift with every crew"].shifts.forklift
    assert forklifts.model_dump() == {**scenario.shifts.forklift.model_dump(), "hours": ((0.5, 24.0),)}
    plain = load_scenario(shipped())
    assert not any("with every crew" in one.name for one in list_what_ifs(plain)[0])


def test_lights_and_hours_are_those_of_crews_with_a_shift_of_their_own_too():
    scenario = parse_scenario(OTHERWISE)
    found = {one.name: one.scenario for one in list_what_ifs(scenario)[0]}
    assert all(crew.shift is None or crew.shift.lighting for crew in found["lights on shift"].crew)
    assert all(crew.shift is None or crew.shift.hours == ((0.0, 24.0),) for crew in found["day and night under lights"].crew)
