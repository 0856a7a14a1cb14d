"""What shows only when a sound scenario is built once?"""

import math

import pytest
from scenarios import strip, written

from simulation.construction import run_once, trial_warnings
from simulation.scenario import parse_scenario


def looked_at(**changes):
    scenario = parse_scenario(written(strip(**changes)))
    hours, found = trial_warnings(scenario)
    return scenario, hours, [mistake.key for mistake in found]


def test_the_hours_are_those_of_run_0():
    scenario, hours, found = looked_at()
    assert [hours] == list(run_once(scenario).milestones.values())
    assert found == []


def test_a_horizon_that_the_job_outruns_is_told():
    _, hours, found = looked_at(top={"horizon": "2 h"})
    assert math.isinf(hours)
    assert found == ["horizon"]


@pytest.mark.parametrize("people", [40, 2000])
def test_a_crew_larger_than_a_edge_can_use_is_told_with_how_many_would_do(people):
    crew = [{"name": "red", "people": people, "areas": ["strip"]}]
    _, _, found = looked_at(crew=crew)
    assert found == ["crew.red.people"]


def test_as_many_as_are_said_to_do_are_as_fast_and_one_fewer_is_slower():
    def crew(people):
        return [{"name": "red", "people": people, "areas": ["strip"]}]

    scenario = parse_scenario(written(strip(crew=crew(60))))
    (told,) = trial_warnings(scenario)[1]
    enough = int(told.wrong.split()[0])
    hours = [trial_warnings(parse_scenario(written(strip(crew=crew(people)))))[0] for people in (60, enough, enough - 1)]
    assert hours[1] == pytest.approx(hours[0], rel=1e-9)
    assert hours[2] > hours[0] * 1.005


def test_of_several_areas_the_one_that_takes_most_people_counts():
    def told(width):
        areas = [{"name": "lane", "length": "20 ft", "width": "12 ft"}, {"name": "strip", "length": "80 ft", "width": width}]
        crew = [{"name": "red", "people": 400, "areas": ["lane", "strip"]}]
        (mistake,) = trial_warnings(parse_scenario(written(strip(area=areas, crew=crew))))[1]
        return int(mistake.wrong.split()[0])

    assert told("12 ft") < told("240 ft")


DAY, NIGHT = ({"hours": hours, "lighting": True} for hours in (["06:00-18:00"], ["18:00-06:00"]))


def kept(areas_of_green, areas_of_blue=("pad",)):
    areas = [{"name": name, "length": "300 ft", "width": "72 ft"} for name in ("strip", "pad")]
    crew = [
        {"name": "red", "people": 12, "areas": ["strip"], "shift": DAY},
        {"name": "green", "people": 12, "areas": areas_of_green, "shift": DAY},
        {"name": "blue", "people": 12, "areas": list(areas_of_blue), "shift": NIGHT},
    ]
    return {"area": areas, "crew": crew, "supply": {"on_hand": 400}, "laying": {"efficiency": 0.1}}


def test_an_area_that_stands_idle_by_day_while_a_crew_has_no_edge_is_told_with_what_it_costs():
    scenario, hours, found = looked_at(**kept(["strip"]))
    assert found == ["crew.green.areas"]
    (told,) = trial_warnings(scenario)[1]
    assert told.wrong.startswith("pad stands idle for ")
    assert told.wrong.endswith(" h in which green is on shift and has no laying edge")
    sooner = hours - looked_at(**kept(["strip", "pad"]))[1]
    assert told.right == f'add "pad": this run is then ready {sooner:,.0f} h sooner'
    assert sooner > 8


def test_nothing_is_told_of_idle_areas_where_whoever_is_free_may_lay_them():
    assert looked_at(**kept(["strip", "pad"], ["pad", "strip"]))[2] == []


def test_a_crew_that_may_not_lay_what_stands_idle_is_no_mistake_of_the_scenario():
    merges = kept(["strip"])
    merges["crew"][1]["second_crew"] = "merge"  # with red, by day; blue keeps the pad, and other hours
    assert looked_at(**merges)[2] == ["crew.red.areas"]  # who may
