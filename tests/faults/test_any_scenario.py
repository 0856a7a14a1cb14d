"""Whatever stands in a scenario, it is read as a sound one or refused with its mistakes, and soon."""

import json
import time
import tomllib
from datetime import datetime

import pytest
from every_key_scenario import ENDINGS, FOLDER
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from simulation.construction import find_warnings
from simulation.scenario import ScenarioError, parse_scenario

RAW = {ending: tomllib.loads(text) for ending, text in ENDINGS.items()}
#: Values as TOML would write them.
HOSTILE = [
    '""',
    '" "',
    '"never"',
    '"0"',
    '"0 ft"',
    '"-1 h"',
    '"1e-300 ft"',
    '"1e-9 h"',
    '"9.9e11 min"',
    '"1e13 ft"',
    '"1e308 mph"',
    '"nan h"',
    '"1e999 lb"',
    '"\\u202e"',
    '"a\\nb"',
    f'"{"x" * 5000}"',
    "0",
    "-1",
    "1",
    "1000000",
    "9223372036854775808",
    "1" + "0" * 30,
    "1e308",
    "1e-300",
    "nan",
    "inf",
    "-inf",
    "true",
    "[]",
    "{}",
    "[[]]",
    "[1, 1, 1]",
    "2031-01-01",
    "2031-01-01T00:00:00Z",
    "[" + '"x",' * 500 + "]",
    "{mean = inf}",
    '{p10 = "1 s", p90 = "1e11 h"}',
    "{low = 0, mode = 0, high = 0}",
    '{data = "../x"}',
    f"{{{'k' * 300} = 1}}",
]


def places(raw, place=()):
    """Every place in what a TOML file holds."""
    if place:
        yield place
    inner = raw.items() if isinstance(raw, dict) else enumerate(raw) if isinstance(raw, list) else ()
    for step, one in inner:
        yield from places(one, (*place, step))


def as_toml(value, changes, place=()):
    """What stands at a place as TOML, with the changes of places in it."""
    if place in changes:
        return changes[place]
    if isinstance(value, dict):
        return "{" + ", ".join(f"{json.dumps(key)} = {as_toml(one, changes, (*place, key))}" for key, one in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(as_toml(one, changes, (*place, number)) for number, one in enumerate(value)) + "]"
    return value.isoformat() if isinstance(value, datetime) else json.dumps(value)


@st.composite
def wrong_scenarios(draw):
    """A sound scenario in which up to three values are hostile ones."""
    raw = RAW[draw(st.sampled_from(sorted(RAW)))]
    where = draw(st.lists(st.sampled_from(list(places(raw))), min_size=1, max_size=3))
    changes = {place: draw(st.sampled_from(HOSTILE)) for place in where}
    return "\n".join(f"{json.dumps(key)} = {as_toml(value, changes, (key,))}" for key, value in raw.items())


def answered(text):
    """Hold that a text gets its answer."""
    began = time.process_time()
    try:
        found = find_warnings(parse_scenario(text, folder=FOLDER))
    except ScenarioError as refused:
        found = refused.mistakes
        assert found
    assert time.process_time() - began < 5
    for one in found:
        line = str(one)
        assert "\n" not in line
        assert line.isprintable()
        assert len(line) < 1_000


QUICK = settings(deadline=None, suppress_health_check=list(HealthCheck), database=None)


@given(wrong_scenarios())
@settings(QUICK, max_examples=60, derandomize=True)
def test_a_scenario_with_hostile_values_is_sound_or_refused(text):
    answered(text)


@pytest.mark.slow
@given(wrong_scenarios())
@settings(QUICK, max_examples=20_000)
def test_many_scenarios_with_hostile_values_are_sound_or_refused(text):
    answered(text)
