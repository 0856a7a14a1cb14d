"""Use against work: from an opening on, flying windows close an area to laying, and nothing else changes."""

import math

import pytest
from scenarios import make_scenario

from simulation.construction import compile_plan, simulate
from simulation.construction.check.closed_to_laying import closed_to_laying
from simulation.construction.plan.steps import EDGE, END, KIND, ROW, START
from simulation.construction.trace.chain import hours_by_cause
from simulation.scenario import parse_scenario
from simulation.scenario.types.mistakes import ScenarioError

FIELD = """
title = "In use early"
seed = 5
horizon = "20 day"
[[area]]
name = "runway"
length = "240 ft"
width = "48 ft"
[[area]]
name = "apron"
length = "40 ft"
width = "48 ft"
[[crew]]
name = "red"
people = 14
areas = ["runway", "apron"]
[supply]
on_hand = 90
[[milestone]]
name = "first use"
usable = { area = "runway", length = "80 ft" }
closing = "30 min"
[[milestone]]
name = "whole"
areas = ["runway", "apron"]
ready = true
"""
FLYING = {"from": "first use", "clear_before": "30 min", "clear_after": "15 min"}


def run_with(windows=None, number=0, **changes):
    flying = {} if windows is None else {"flying": {**FLYING, "windows": windows}}
    return simulate(compile_plan(make_scenario(FIELD, **flying, **changes)), number)


def ends(run):
    return [None if step is None else step[END] for step in run.site.reached]


def hours_of_day(moment):
    return (moment + 6.0) % 24.0  # the start is at 06:00


@pytest.mark.parametrize("windows", [[], ["19:00-05:00"], ["12:31-12:44"]])
def test_windows_that_close_no_hour_of_work_change_nothing_to_the_bit(windows):
    """The last lies in the midday break, with half an hour before and a quarter after it."""
    changes = {"flying": {**FLYING, "windows": windows, "clear_before": "15 min"}}
    for number in range(3):
        other = simulate(compile_plan(make_scenario(FIELD, **changes)), number)
        assert other.site.trace == run_with(None, number).site.trace


def test_nobody_lays_in_a_window_or_while_people_clear_once_the_field_is_open():
    run, plain = run_with(["08:00-11:00"]), run_with(None)
    opened, whole = ends(run)
    assert opened == ends(plain)[0]
    assert whole > ends(plain)[1]
    clock = run.site.clocks["laying between flights"]
    rows = [step for step in run.site.trace if step[KIND] == ROW and run.site.plan.edges[step[EDGE]].area == 0]
    late = [step for step in rows if step[START] >= opened]
    assert late
    for step in late:
        assert not 7.5 + 1e-9 < hours_of_day(step[END]) <= 11.25
    assert clock.worked(25.5, 29.25) == 0.0  # 07:30 to 11:15 on the second day
    charged = hours_by_cause(run.site.reached[1], run)
    assert math.fsum(charged.values()) == pytest.approx(whole)
    assert charged["closed for flying"] > 0.0


def test_other_areas_are_laid_while_one_is_flown_from():
    crews = [{"name": "red", "people": 14, "areas": ["runway"]}, {"name": "blue", "people": 14, "areas": ["apron"]}]
    apron = {edge for edge, plan in enumerate(run_with(None).site.plan.edges) if plan.area == 1}

    def laid(run):
        return [step[START : END + 1] for step in run.site.trace if step[KIND] == ROW and step[EDGE] in apron]

    assert laid(run_with(["00:00-24:00"], crew=crews)) == laid(run_with(None, crew=crews)) != []


def test_a_field_closed_all_day_is_laid_no_further():
    run = run_with(["00:00-24:00"])
    opened, whole = ends(run)
    assert whole is None
    rows = [step for step in run.site.trace if step[KIND] == ROW and run.site.plan.edges[step[EDGE]].area == 0]
    assert all(step[START] < opened or step[END] > run.site.plan.horizon for step in rows)


def test_a_crew_with_hours_of_its_own_clears_the_area_too():
    shift = {"hours": ["14:00-22:00"], "lighting": True}
    crews = [
        {"name": name, "people": 14, "areas": ["runway", "apron"], **own}
        for name, own in (("red", {}), ("blue", {"shift": shift}))
    ]
    run = run_with(["15:00-17:00"], crew=crews)
    opened = ends(run)[0]
    rows = [step for step in run.site.trace if step[KIND] == ROW and run.site.plan.edges[step[EDGE]].area == 0]
    late = [step for step in rows if step[START] >= opened]
    assert late and all(not 14.5 + 1e-9 < hours_of_day(step[END]) <= 17.25 for step in late)


@pytest.mark.parametrize(
    ("flying", "said"),
    [
        ('windows = ["06:00-10:00"]', "flying.windows: is written, but nothing says from when on the field is flown from; "),
        ('from = "first us"', 'flying.from: there is no milestone "first us"; did you mean first use?'),
        ('from = "first use"\narea = "aprn"', 'flying.area: there is no area "aprn"; did you mean apron?'),
    ],
)
def test_flying_that_could_not_be_is_refused(flying, said):
    with pytest.raises(ScenarioError) as error:
        parse_scenario(f"{FIELD}[flying]\n{flying}\n")
    assert str(error.value.mistakes[0]).startswith(said)


def test_windows_that_leave_no_hour_for_laying_are_warned_of():
    closed = make_scenario(FIELD, flying={**FLYING, "windows": ["05:00-19:00"]})
    assert [str(one) for one in closed_to_laying(closed)] == [
        "flying.windows: close every hour of the crews, so from first use on no row of runway is laid; "
        "write shorter windows, or hours for the crews between them"
    ]
    assert not list(closed_to_laying(make_scenario(FIELD, flying={**FLYING, "windows": ["08:00-11:00"]})))
