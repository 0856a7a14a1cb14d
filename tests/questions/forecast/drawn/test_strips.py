"""The strips of areas and tasks: who is on the ground when, as the runs say, and readable whatever the tasks are called."""

import math
from functools import cache

import pytest
from drawn_fields import FIELD, READY, drawn_forecast
from words_on_pictures import assert_readable, drawn, text_of

from simulation.present.words import wording
from simulation.questions.forecast.drawn.figures import forecast_pictures
from simulation.questions.forecast.drawn.strips import describe_strips, draw_strips, strips_of
from simulation.questions.forecast.study import forecast
from simulation.questions.forecast.tasks import tasks_table
from simulation.scenario import parse_scenario
from simulation.stats.quantiles import order_statistic
from simulation.study.run_context import RunContext

FEW = RunContext(runs=10, workers=1)
TASKS = """
[[gang]]
name = "riggers"
people = 4
[[task]]
name = "anchors"
after = [{ area = "runway" }]
gang = "riggers"
team = 2
pieces = 20
each = { p10 = "20 min", p90 = "60 min" }
[[task]]
name = "lights"
after = [{ task = "anchors" }]
gang = "riggers"
each = "9 h"
"""
WITH = READY.replace("ready", 'tasks = ["lights"]\nready')
MANY = "".join(
    f'[[task]]\nname = "check of lighting and markings of stretch {number} of the runway"\neach = "{5 + 9 * number} h"\n'
    for number in range(20)
)
NEVER = '[[task]]\nname = "much too late"\nfrom = "300 day"\neach = "3 h"\n'


@cache
def asked(more=""):
    horizon = FIELD if not more else FIELD.replace("40 day", "12 day")
    return forecast(parse_scenario(horizon + TASKS + more + WITH), FEW)


def test_begin_and_end_of_a_strip_are_quantiles_of_the_runs_and_stand_on_it_and_in_the_table():
    found = asked()
    assert [one.name for one in found.areas] == ["runway", "apron"]
    assert [(one.name, one.whose) for one in found.tasks] == [("anchors", "gang riggers"), ("lights", "gang riggers")]
    hours = found.runs["area.apron.begins"].tolist()
    assert found.areas[1].begins[1].value == order_statistic(hours, 0.5)
    words = text_of(drawn(draw_strips, strips_of(found)))
    table = {row[0]: row for row in tasks_table(found.areas, found.tasks, found.run_count).rows}
    for one in (*found.areas, *found.tasks):
        begin, end = (wording.days(bands[1].value) for bands in (one.begins, one.ends))
        assert f"{one.name}, day {begin} to {end}, {one.whose}" in words
        assert (table[one.name][2], table[one.name][5]) == (begin, end)
        assert f"{one.name}, day {begin} to {end}" in describe_strips(strips_of(found))


def test_the_first_to_begin_stands_on_top():
    begins = [one.begins[1].value for one in strips_of(asked()).shown]
    assert begins == sorted(begins) and len(begins) == 4


@pytest.mark.parametrize("more", ["", MANY, NEVER])
def test_no_word_is_small_or_stands_over_another_or_outside(more):
    assert_readable(drawn(draw_strips, strips_of(asked(more))))


def test_what_half_of_the_runs_never_begin_is_said_and_not_drawn():
    strips = strips_of(asked(NEVER))
    assert strips.never == ["much too late"]
    assert "never begin: much too late" in text_of(drawn(draw_strips, strips))
    assert all(math.isfinite(one.begins[1].value) for one in strips.shown)


def test_only_a_field_with_tasks_has_strips():
    assert "strips" in [one.name for one in forecast_pictures(asked())]
    assert "strips" not in [one.name for one in forecast_pictures(drawn_forecast())]
    assert not drawn_forecast().areas
