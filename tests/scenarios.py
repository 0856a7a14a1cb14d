"""The one place where tests get scenarios: small fields as a planner writes them, and `changed`, which alters what matters.

A scenario is kept as tables, `{"top": {"seed": 5}, "crew": [{"name": "red", …}], "supply": {"on_hand": 12}}`: what stands above
the first table is `top`. `written` makes text of them, `make_scenario` what the program reads of that text.
"""

import json
import tomllib
from copy import deepcopy
from datetime import date
from pathlib import Path
from typing import Any

from simulation.scenario import Scenario, ScenarioError, parse_scenario

Tables = dict[str, Any]

#: Complete and quick to build: its runs take a millisecond, and nothing is warned of.
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

#: A morning of the short strip, as its foreman noted it.
SHORT_LOG = "date,shift,crew,people,rows,hours worked,pallets received\n2031-04-02,06:00-12:00,red,16,4,5,0\n"

AREA = '[[area]]\nname = "strip"\nlength = "300 ft"\nwidth = "72 ft"\n'
CREW = '[[crew]]\nname = "red"\npeople = 18\nareas = ["strip"]\n'
SUPPLY = "[supply]\non_hand = 80\n"
#: What must be written; other tables follow it.
LEAST = "\n" + AREA + CREW + SUPPLY

#: Two areas, two crews, trucks and rain: uncertain, and its runs take a few milliseconds each.
LITTLE = """
title = "Little field"
seed = 31
horizon = "60 day"
[[area]]
name = "strip"
length = "120 ft"
width = "72 ft"
start = "centre-out"
[[area]]
name = "pad"
length = "40 ft"
width = "96 ft"
joins = { area = "strip", end = "high" }
[[crew]]
name = "red"
people = 14
areas = ["strip", "pad"]
[[crew]]
name = "blue"
people = 14
areas = ["strip", "pad"]
second_crew = "merge"
[forklifts]
count = 2
breakdown_every = { p10 = "1 h", p90 = "9 h", scatter = "exponential" }
[supply]
on_hand = 10
spares = 0.0
[[supply.trucks]]
count = 2
haul = { p10 = "40 min", p90 = "80 min", scatter = 0.3 }
return = "40 min"
[weather]
wet_spell = "3 h"
dry_spell = "20 h"
[[milestone]]
name = "strip open"
areas = ["strip"]
[[milestone]]
name = "operational readiness"
areas = ["strip", "pad"]
ready = true
"""

#: Two like crews on one long strip; pallets and ground are all there, so that nothing but laying binds.
LONG_STRIP = """
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

#: A part of one runway is used before the whole of it is laid.
USED_EARLY = """
title = "In use early"
seed = 5
horizon = "30 day"
[[area]]
name = "runway"
length = "240 ft"
width = "48 ft"
[[crew]]
name = "red"
people = 14
areas = ["runway"]
[supply]
on_hand = 90
[[milestone]]
name = "first use"
usable = { area = "runway", length = "80 ft" }
closing = "30 min"
[[milestone]]
name = "whole"
areas = ["runway"]
ready = true
"""
RUNWAY: Tables = {"name": "runway", "length": "240 ft", "width": "48 ft"}

#: A day crew and a night crew lay a strip in a hot, wet and windy season, each on hours of its own.
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

#: Every spread a constant, no rain, no dark, nobody ever off shift: what remains can be added up by hand.
CERTAIN: Tables = {
    "top": {"starts": "2031-04-02T06:00:00", "horizon": "60 day"},
    "area": [{"name": "strip", "length": "80 ft", "width": "72 ft"}],
    "crew": [{"name": "red", "people": 12, "areas": ["strip"]}],
    "supply": {"on_hand": 100},
    "laying": {
        "pick_up": "20 s",
        "place": "40 s",
        "lock": "20 s",
        "open_pallet": "1 s",
        "key_strip": "15 min",
        "starter_key_strip": "45 min",
        "connect": "1 h",
        "move": "0 min",
        "efficiency": 0.5,
        "check": "3 min",
        "reseat": "4 min",
        "skew_found": 0.0,
        "damaged_mats": 0.0,
    },
    "forklifts": {"efficiency": 1.0, "handle": "90 s", "breakdown_every": "1000000 h", "repair": "2 h"},
    "grading": {"efficiency": 1.0, "rate": "9000 ft**2/h", "trench": "5 h"},
    "shifts.all": {"hours": ["00:00-24:00"], "lighting": True},
}

#: Nothing takes any time, around the clock and dry; a test writes what does.
NOTHING_TAKES_TIME: Tables = {
    "laying": {
        "pick_up": "0 s",
        "walk": "1000000 mph",
        "open_pallet": "0 s",
        "lock": "0 s",
        "key_strip": "0 s",
        "starter_key_strip": "0 s",
        "move": "0 min",
        "efficiency": 1,
        "check": "0 s",
        "skew_found": 0.0,
        "damaged_mats": 0.0,
    },
    "forklifts": {
        "efficiency": 1.0,
        "count": 1,
        "speed": "1000000 mph",
        "handle": "0 s",
        "breakdown_every": "1000000000 h",
        "staged_ahead": 1000,
    },
    "shifts.all": {"hours": ["00:00-24:00"]},
}


def tables_of(base: str | Tables) -> Tables:
    """Return the tables of a text, or a copy of tables; lists of tables, shifts and stops stand by addresses of their own."""
    if not isinstance(base, str):
        return deepcopy(base)
    tables: Tables = {"top": {}}
    for head, value in tomllib.loads(base).items():
        if isinstance(value, dict):
            own = [key for key, one in value.items() if _is_list(one) or (isinstance(one, dict) and head in ("shifts", "stops"))]
            further = {f"{head}.{key}": value.pop(key) for key in own}
            tables |= ({head: value} if value or not own else {}) | further
        else:
            (tables if _is_list(value) else tables["top"])[head] = value
    return tables


def _is_list(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and isinstance(value[0], dict)


def changed(base: str | Tables, **changes: Any) -> Tables:
    """Return a field's tables with changes: a table updates that of its address, a list takes its place, None takes it away.

    Two underscores stand for a dot: `changed(SHORT, crew=[…], supply={"on_hand": 3}, shifts__all={"lighting": True})`.
    """
    tables = tables_of(base)
    for name, change in changes.items():
        head = name.replace("__", ".")
        old = tables.get(head)
        tables[head] = {**old, **change} if isinstance(old, dict) and isinstance(change, dict) else change
    return {head: body for head, body in tables.items() if body is not None}


def toml(value: Any) -> str:
    """Return a value as it stands in a scenario."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {toml(one)}" for key, one in value.items()) + " }"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(toml, value)) + "]"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, str) and not value.startswith("2031-"):
        return json.dumps(value, ensure_ascii=False)
    return str(value).lower() if isinstance(value, bool) else str(value)


def written(tables: Tables) -> str:
    """Return tables as text: a table stands under its address, a list of tables under one each, `top` above them all."""
    lines = [f"{key} = {toml(value)}" for key, value in tables.get("top", {}).items()]
    for head, body in tables.items():
        if head != "top":
            for table in body if isinstance(body, list) else [body]:
                lines.append(f"[[{head}]]" if isinstance(body, list) else f"[{head}]")
                lines += [f"{key} = {toml(value)}" for key, value in table.items()]
    return "\n".join(lines) + "\n"


def make_scenario(base: str | Tables, **changes: Any) -> Scenario:
    """Return the scenario that a field with changes is read as."""
    return parse_scenario(written(changed(base, **changes)))


def strip(**changes: Any) -> Tables:
    """Return the tables of a certain little strip, laid by one crew from pallets on hand."""
    return changed(CERTAIN, **changes)


def sound(*more: str, top: str = "", area: str = AREA, crew: str = CREW, supply: str = SUPPLY) -> str:
    """Return a sound text with lines `more` at its end and `top` above its first table: what is wrong may be no TOML at all."""
    return "\n".join([top, area, crew, supply, *more])


def lines(text: str, folder: Path | None = None) -> list[str]:
    """Return every line that is said of a text, without the file's name; none where it is sound."""
    try:
        parse_scenario(text, folder=folder)
    except ScenarioError as error:
        assert all("\n" not in str(mistake) for mistake in error.mistakes)
        return [str(mistake) for mistake in error.mistakes]
    return []


def line(text: str, folder: Path | None = None) -> str:
    """Return the only line that is said of a text."""
    said = lines(text, folder)
    assert len(said) == 1, said
    return said[0]


def keys(text: str) -> list[str]:
    """Return the addresses of the mistakes in a text, in the order in which they are said."""
    return [said.split(": ")[0] for said in lines(text)]
