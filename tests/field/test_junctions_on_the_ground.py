"""Where areas touch, how many connectors that takes, what gap is left, and areas that lie on each other."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simulation.field import find_junctions, overlaps, place_areas, take_off
from simulation.scenario import ScenarioError, load_scenario

RUNWAY = {"name": "runway", "length": "600 ft", "width": "72 ft"}


def taxiway(rows=60, station="300 ft", **more):
    joins = {"area": "runway", "station": station, "side": "left"}
    return {"name": "taxiway", "length": f"{2 * rows} ft", "width": "36 ft", "joins": joins, **more}


def parallel(apart, **more):
    return {"name": "parallel", "length": "600 ft", "width": "72 ft", "beside": {"area": "runway", "apart": apart, **more}}


def test_a_parallel_area_lies_as_far_away_as_is_written_on_the_side_that_is_written(field_of):
    for side, sign in (("left", 1), ("right", -1)):
        one = place_areas(field_of(RUNWAY, parallel("120 ft", side=side, shift="50 ft")))["parallel"]
        assert (one.origin, one.along) == ((50, sign * (36 + 120 + 36)), (1, 0))


@given(st.integers(1, 120), st.integers(0, 48))
@settings(max_examples=40, deadline=None)
def test_the_gap_is_what_whole_rows_leave_of_the_distance_between_two_strips(field_of, rows, inches):
    scenario = field_of(RUNWAY, parallel(f"{24 * rows + inches} in"), taxiway(rows, meets="parallel"))
    near, far = find_junctions(scenario)
    assert (near.gap, near.connectors) == (0, 3)
    assert 12 * far.gap == pytest.approx(inches, abs=1e-6)
    assert bool(far.warning) == (inches > 2)
    assert far.connectors == (3 if inches <= 2 else 0)
    assert abs(far.move) <= 1 + 1e-9
    fitting = field_of(RUNWAY, parallel(f"{24 * rows + inches + 12 * far.move} in"), taxiway(rows, meets="parallel"))
    assert (12 * find_junctions(fitting)[1].gap) % 24 == pytest.approx(0, abs=1e-5)


def test_a_gap_of_more_than_a_row_says_how_many_rows_are_left_out(field_of):
    far = find_junctions(field_of(RUNWAY, parallel("125 ft"), taxiway(60, meets="parallel")))[1]
    assert "lay 2 more rows, or set runway and parallel 124 ft or 126 ft apart instead of 125 ft" in far.warning


def test_a_far_end_that_comes_past_the_area_it_should_meet_is_told(field_of):
    far = find_junctions(field_of(RUNWAY, parallel("120 ft", shift="400 ft"), taxiway(60, meets="parallel")))[1]
    assert (far.contact, far.connectors) == (0, 0)
    assert "comes past parallel" in far.warning


def test_an_end_that_reaches_past_its_neighbour_is_told_with_how_much_of_it_meets_nothing(field_of):
    (one,) = find_junctions(field_of(RUNWAY, taxiway(station="0 ft")))
    assert (one.contact, one.connectors) == (18, 2)
    assert one.warning.startswith("18 ft of taxiway reach past runway")


def test_the_shipped_field_has_two_whole_junctions(field_of):
    got = [(one.area, one.other, one.contact, one.connectors, one.warning) for one in find_junctions(load_scenario())]
    assert got == [("taxiway", "runway", 36, 3, ""), ("apron", "taxiway", 36, 3, "")]


@given(st.integers(1, 200))
@settings(max_examples=30, deadline=None)
def test_areas_that_lie_on_each_other_are_refused_in_one_line_and_others_are_not(field_of, rows):
    scenario = field_of(RUNWAY, parallel("120 ft"), taxiway(rows))
    found = overlaps(scenario)
    assert len(found) == (rows > 60)
    if found:
        with pytest.raises(
            ScenarioError, match=rf"area.taxiway: lies on the same ground as parallel, 36 × {min(2 * rows - 120, 72)} ft"
        ):
            take_off(scenario)


def test_areas_tied_to_none_keep_clear_of_what_is_tied_to_the_one_before(field_of):
    scenario = field_of(RUNWAY, taxiway(200), {"name": "pad", "length": "100 ft", "width": "60 ft"})
    assert overlaps(scenario) == []
    pad = place_areas(scenario)["pad"]
    assert pad.origin == (0, 36 + 400 + 200 + 30)
