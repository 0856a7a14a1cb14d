"""Which clearance, ramp or gap should a planner look at again, although it is legal?"""

import pytest
from scenarios import strip, written

from simulation.construction import find_warnings
from simulation.scenario import load_scenario, parse_scenario, shipped

AREA = {"name": "strip", "length": "1200 ft", "width": "72 ft"}


def said(**area):
    """Return what is warned of in a long strip, key by key."""
    tables = strip(area=[{**AREA, **area}], supply={"on_hand": 2000})
    found = {one.key: str(one) for one in find_warnings(parse_scenario(written(tables)))}
    return {key: text for key, text in found.items() if key.startswith("area.")}


def test_a_rail_whose_clearance_lasts_to_the_end_is_not_warned_of():
    assert said(guide_rail=True, length="200 ft") == {}


@pytest.mark.parametrize(("remedy", "words"), [("short section", "a short section"), ("re-seating", "re-seating")])
def test_seals_that_use_the_clearance_up_are_warned_of_with_their_station_and_remedy(remedy, words):
    found = said(guide_rail=True, key_strips_every="2000 ft", rail={"creep": "0 in", "remedy": remedy})
    assert list(found) == ["area.strip.rail"]
    # The first joint lies 12 in from those of the mats and may lie 3 in; the one key strip sets the rows 1.5 in ahead. So
    # 84 seals of 1/8 in use up exactly what there is, and the joint after the next one lies too near.
    station = 9 + 85 * (10 + 1 / 96)
    assert f"between joints of rail and mats is used up from {station:,.0f} ft on" in found["area.strip.rail"]
    assert found["area.strip.rail"].endswith(f"; the remedy written for it is {words}")


def test_a_side_that_runs_ahead_is_warned_of():
    found = said(guide_rail=True, rail={"creep": "0 in", "seal": "0 in", "clearance": "0.01 in", "uneven": "0.01 in"})
    assert "from 602 ft on one side lies more than 3 in ahead of the other" in found["area.strip.rail"]


@pytest.mark.parametrize(
    ("ramp", "words"),
    [
        ({}, ""),
        ({"slope": "15 degree"}, "31.1 in deep at 15.0 degrees, not 18 to 24 in deep"),
        ({"slope": "10 degree"}, "20.8 in deep at 10.0 degrees, and practice has 15 to 30 degrees"),
        ({"drop": "30 in"}, "30.0 in deep at 14.5 degrees, not 18 to 24 in deep"),
        ({"drop": "20 in", "rows": 3, "buried": 2}, ""),
    ],
)
def test_a_ramp_is_warned_of_only_where_its_planner_wrote_what_rule_or_practice_has_not(ramp, words):
    found = said(end_ramps=True, **({"ramp": ramp} if ramp else {}))
    assert len(found) == bool(words)
    assert words in "".join(found.values())
    assert all(key == f"area.strip.ramp.{next(iter(ramp))}" for key in found)


@pytest.mark.parametrize(("apart", "words"), [("240 ft", ""), ("240.1 ft", ""), ("241 ft", "12 in"), ("240.25 ft", "3 in")])
def test_a_gap_above_two_inches_is_warned_of_with_how_far_to_move(apart, words):
    text = shipped("railed_strip").read_text(encoding="utf-8").replace('apart = "240 ft"', f'apart = "{apart}"')
    found = {one.key: str(one) for one in find_warnings(parse_scenario(text))}
    gap = found.get("area.taxiway.meets", "")
    assert bool(gap) == bool(words)
    if words:
        assert f"a gap of {words} is left before parallel strip, more than 2 in" in gap
        assert f"set the two that it joins {words} " in gap


def test_the_shipped_examples_are_warned_of_only_where_one_shows_it():
    keys = {name: [one.key for one in find_warnings(load_scenario(shipped(name)))] for name in ("relief_strip", "railed_strip")}
    assert keys == {"relief_strip": [], "railed_strip": ["area.strip.rail", "area.strip.ramp.slope"]}


def test_a_junction_that_reaches_past_the_other_area_is_warned_of():
    text = shipped("relief_strip").read_text(encoding="utf-8")
    found = {
        one.key: str(one) for one in find_warnings(parse_scenario(text.replace('station = "600 ft"', 'station = "2990 ft"')))
    }
    assert "8 ft of taxiway reach past runway at their junction and meet nothing" in found["area.taxiway.joins"]
    assert "area.taxiway.joins" not in {one.key for one in find_warnings(parse_scenario(text))}
