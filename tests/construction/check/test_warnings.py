"""What should a planner look at again, although it is legal?"""

from datetime import datetime

import pytest
from scenarios import strip, written
from small_runs import run, steps

from simulation.construction import find_warnings
from simulation.construction.plan.steps import ACTOR
from simulation.scenario import parse_scenario


def keys(**changes):
    tables = strip(site={"latitude": 10, "longitude": 0}, weather={"wet_spell": "3 h", "dry_spell": "48 h"})
    tables["shifts.all"] = {"hours": ["06:00-18:00"], "lighting": True}
    tables["laying"] |= {"efficiency": {"low": 0.4, "mode": 0.5, "high": 0.6}, "open_pallet": "2 min"}
    for key, change in changes.items():
        old = tables.get(key)
        tables[key] = {**old, **change} if isinstance(old, dict) and isinstance(change, dict) else change
    for key in [key for key, table in tables.items() if table is None]:
        del tables[key]
    return [mistake.key for mistake in find_warnings(parse_scenario(written(tables)))]


def test_a_scenario_that_thinks_of_everything_is_not_warned_about():
    assert keys() == []


def test_a_supply_that_covers_the_field_but_not_its_spares_is_warned_about():
    assert keys(supply={"on_hand": 20, "total": 20}) == ["supply.total"]


def test_dark_nights_and_rain_that_are_not_considered_are_warned_about():
    tables = {"site": None, "shifts.all": {"lighting": False}, "weather": None}
    assert keys(**tables) == ["site", "weather"]


def test_lights_need_no_place_on_the_globe():
    assert keys(site=None) == []


def test_an_efficiency_that_is_certain_is_warned_about():
    assert keys(laying={"efficiency": 0.5}) == ["laying.efficiency"]


def test_readiness_that_leaves_an_area_out_is_warned_about():
    areas = [{"name": name, "length": "20 ft", "width": "72 ft"} for name in ("strip", "pad")]
    crew = [{"name": "red", "people": 12, "areas": ["strip", "pad"]}]
    milestone = [{"name": "open", "areas": ["strip"], "ready": True}]
    assert keys(area=areas, crew=crew, milestone=milestone) == ["milestone.open.areas"]


def test_a_lone_crew_with_two_edges_is_warned_about():
    area = [{"name": "strip", "length": "80 ft", "width": "72 ft", "start": "centre-out"}]
    assert keys(area=area) == ["area.strip.start"]
    crew = [{"name": name, "people": 12, "areas": ["strip"]} for name in ("red", "blue")]
    assert keys(area=area, crew=crew) == []


def test_a_crew_that_lays_around_the_clock_is_warned_about():
    assert keys(**{"shifts.all": {"hours": ["00:00-24:00"]}}) == ["shifts"]


def test_crews_and_forklifts_that_never_meet_are_warned_about():
    assert keys(**{"shifts.laying": {"hours": ["19:00-23:00"], "lighting": True}}) == ["shifts"]


def test_a_crew_at_work_while_no_forklift_is_on_shift_is_warned_about_with_the_hours():
    tables = {"shifts.forklift": {"hours": ["05:00-24:00"], "lighting": True}}
    for hours, told in (
        ('"19:00-24:00", "00:30-05:00"', "from 00:30 to 05:00"),
        ('"21:00-06:00"', "from 00:00 to 05:00"),
        ('"05:00-17:00"', ""),
        ('"04:30-13:00"', ""),
    ):
        shift = {"hours": [one.strip('" ') for one in hours.split(", ")], "lighting": True}
        scenario = parse_scenario(written(strip(**{**tables, "shifts.laying": shift})))
        found = [one.wrong for one in find_warnings(scenario) if "no forklift" in one.wrong]
        assert [one.startswith(told) for one in found] == ([True] if told else [])


def test_all_hours_without_a_forklift_stand_in_one_warning_that_asks_for_no_second_set_of_operators():
    crew = {"hours": ["17:00-24:00", "01:00-04:00"], "lighting": True}
    tables = {"shifts.forklift": {"hours": ["06:00-18:00"]}, "shifts.laying": crew}
    (found,) = [one for one in find_warnings(parse_scenario(written(strip(**tables)))) if "no forklift" in one.wrong]
    assert found.wrong.startswith("from 01:00 to 04:00 and from 18:00 to 24:00 no forklift")
    assert found.right.endswith("two sets are counted by themselves")


def test_flights_that_land_after_the_horizon_are_warned_about():
    flights = [{"pallets": 1, "every": "3000 day"}]
    # Between landings 3,000 days are questioned as well.
    assert keys(supply={"on_hand": 1, "total": 40}, **{"supply.flights": flights}) == ["supply.flights.1.every", "supply.flights"]


def test_hours_on_shift_that_are_dark_are_warned_about_unless_there_are_lights():
    night = {"hours": ["20:00-24:00"]}
    assert keys(**{"shifts.all": {**night, "lighting": False}}) == ["shifts.all"]
    assert keys(**{"shifts.all": {**night, "lighting": True}}) == []
    assert keys(**{"shifts.all": {"lighting": False}}) == []  # at the equator a day from six to six is light


def test_each_shift_of_its_own_is_warned_about_once():
    day, night = {"hours": ["06:00-18:00"]}, {"hours": ["12:00-24:00"], "lighting": False}
    assert keys(**{"shifts.all": day, "shifts.haul": night, "shifts.grading": night}) == ["shifts.haul"]


def test_an_hour_zero_that_nobody_wrote_is_warned_about_where_daylight_follows_from_it():
    assert keys(top=None) == ["starts"]
    assert keys(top=None, site=None) == []


DAY, NIGHT = {"hours": ["06:00-18:00"], "lighting": True}, {"hours": ["19:00-05:00"], "lighting": True}


def crews(*shifts, **more):
    names = ("red", "blue")
    return [
        {
            "name": name,
            "people": 12,
            "areas": ["strip"],
            **({"shift": shift} if shift else {}),
            **(more if name == "blue" else {}),
        }
        for name, shift in zip(names, shifts, strict=False)
    ]


WITHIN = {"hours": ["08:00-16:00"], "lighting": True}
ALWAYS = {"shifts.forklift": {"hours": ["00:00-24:00"], "lighting": True}}


def test_a_crew_whose_hours_another_keeps_as_well_is_warned_about_and_would_not_lay():
    assert keys(crew=crews(DAY, WITHIN)) == ["crew.blue.second_crew"]
    assert keys(crew=crews(DAY, WITHIN, second_crew="relief")) == []
    area = [{"name": "strip", "length": "80 ft", "width": "72 ft", "start": "centre-out"}]
    assert keys(crew=crews(DAY, WITHIN), area=area) == []
    assert keys(crew=crews(None, None)) == []  # in the same hours it is a spare crew
    done = run(strip(crew=crews(DAY, WITHIN)))
    assert {done.actors[step[ACTOR]].name for step in steps(done, "laying rows")} == {"red"}


def test_a_night_crew_lays_where_the_day_crew_has_gone_home_and_is_not_warned_about():
    assert keys(crew=crews(None, NIGHT), **ALWAYS) == []
    assert keys(crew=crews(NIGHT, DAY), **ALWAYS) == []
    done = run(strip(crew=crews(DAY, NIGHT), laying={"efficiency": 0.1}))
    assert {done.actors[step[ACTOR]].name for step in steps(done, "laying rows")} == {"red", "blue"}


def test_a_crew_that_comes_later_keeps_no_edge_from_one_that_is_there_before():
    late = crews(DAY, WITHIN)
    late[0]["from"] = "5 day"
    assert keys(crew=late) == []


def test_shifts_of_crews_are_looked_at_for_darkness_and_length_as_those_of_all():
    dark = {**NIGHT, "lighting": False}
    assert keys(crew=crews(None, dark, second_crew="relief"), **ALWAYS) == ["crew.blue.shift"]
    long = {**DAY, "hours": ["05:00-20:00"]}
    assert keys(crew=crews(None, long, second_crew="relief"), **ALWAYS) == ["crew.blue.shift"]
    assert keys(crew=crews({"hours": ["18:30-23:00"], "lighting": True})) == ["shifts"]  # forklifts are gone at six


def test_a_shift_that_nobody_keeps_is_not_warned_about():
    assert keys(crew=crews(DAY), **{"shifts.laying": {"hours": ["20:00-24:00"], "lighting": False}}) == []


def test_darkness_without_a_place_is_warned_about_unless_every_crew_has_lights():
    unlit = {"hours": ["06:00-18:00"], "lighting": False}
    assert keys(site=None, crew=crews(unlit)) == ["site"]
    assert keys(site=None, crew=crews(DAY)) == []


def test_an_hour_zero_on_a_day_of_rest_is_told_of_whose_shift_it_is():
    for day, told in (("Tuesday", []), ("Wednesday", ["crew.red.shift.rest_on"])):  # 2031-04-02 is a Wednesday
        assert keys(top={"starts": datetime(2031, 4, 2, 6)}, crew=crews({**DAY, "rest_on": [day]})) == told


def test_a_crew_that_is_there_from_early_to_late_is_warned_about_though_it_rests_between():
    early_and_late = {"hours": ["05:00-12:00", "14:00-20:00"], "lighting": True}  # 13 hours of work, 15 of being there
    assert keys(crew=crews(early_and_late), **ALWAYS) == ["crew.red.shift"]
    assert keys(crew=crews({"hours": ["05:00-12:00", "13:00-19:00"], "lighting": True}), **ALWAYS) == []


@pytest.mark.parametrize("key", ["lock", "pick_up"])
def test_work_on_every_mat_that_takes_no_time_is_warned_about(key):
    said = f"laying.{key}: takes no time, and every mat asks for it; write what it takes, or leave it out"
    tables = strip()
    tables["laying"] |= {key: "0 s"}
    assert said in [str(warning) for warning in find_warnings(parse_scenario(written(tables)))]
    tables["laying"] |= {key: "5 s"}
    assert said not in [str(warning) for warning in find_warnings(parse_scenario(written(tables)))]
