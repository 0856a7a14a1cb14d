"""Where each area lies on the ground, where the yard is, and how far a forklift drives between them."""

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simulation.field import distance, place_areas, yard_point
from simulation.scenario import load_scenario


def corners(placed):
    half = placed.width / 2
    return {placed.point(station, offset) for station in (0.0, placed.length) for offset in (-half, half)}


def box(placed):
    xs, ys = zip(*corners(placed), strict=True)
    return min(xs), max(xs), min(ys), max(ys)


def seen_from(other, point):
    """Return station and offset to the right of a point, in the measure of an area."""
    dx, dy = point[0] - other.origin[0], point[1] - other.origin[1]
    ax, ay = other.along
    return dx * ax + dy * ay, dx * ay - dy * ax


def test_the_shipped_field_lies_where_a_drawing_by_hand_puts_it():
    placed = place_areas(load_scenario())
    assert corners(placed["runway"]) == {(0, 36), (0, -36), (3000, 36), (3000, -36)}
    assert corners(placed["taxiway"]) == {(582, -36), (618, -36), (582, -276), (618, -276)}
    assert corners(placed["apron"]) == {(470, -276), (770, -276), (470, -516), (770, -516)}


def test_the_shipped_yard_lies_beside_the_middle_of_the_runway():
    scenario = load_scenario()
    assert yard_point(scenario, place_areas(scenario)) == (1500, -250)


sides = st.tuples(st.sampled_from(["left", "right"]), st.integers(0, 200), st.sampled_from(["low", "mid", "high"]))
ends = st.tuples(st.sampled_from(["low end", "high end"]), st.just(0), st.sampled_from(["low", "mid", "high"]))


def joining(junction, other, length, along_rows):
    where, station, at = junction
    own = {"low": 0, "mid": 2 * along_rows, "high": length}[at]
    place = {"end": where.split()[0]} if where.endswith("end") else {"side": where, "station": f"{station} ft"}
    return {"area": other, "at": f"{own} ft", **place}


@given(st.tuples(st.integers(1, 20), st.integers(1, 20), st.integers(1, 20)), sides | ends, sides | ends)
def test_an_area_touches_the_one_it_joins_at_the_stated_station_and_lies_outside_it(field_of, halves, first, second):
    widths = [f"{6 * one} ft" for one in halves]
    scenario = field_of(
        {"name": "runway", "length": "200 ft", "width": widths[0]},
        {"name": "taxiway", "length": "240 ft", "width": widths[1], "joins": joining(first, "runway", 240, 55)},
        {"name": "apron", "length": "300 ft", "width": widths[2], "joins": joining(second, "taxiway", 300, 21)},
    )
    placed = place_areas(scenario)
    for area in scenario.area[1:]:
        own, other = placed[area.name], placed[area.joins.area]
        at, centre = (seen_from(other, own.point(station)) for station in (area.joins.at, area.length / 2))
        seen = [seen_from(other, corner) for corner in corners(own)]
        stations, offsets = zip(*seen, strict=True)
        if area.joins.end is None:  # touches a long side of the other, and its junction is at the stated station of it
            right = area.joins.side == "right"
            edge = other.width / 2
            nearest = min(offsets) if right else -max(offsets)
            assert nearest == pytest.approx(edge, abs=1e-9)
            assert at[0] == pytest.approx(area.joins.station, abs=1e-9)
            assert (centre[1] > 0) == right
        else:  # touches an end edge of the other, in the middle of it
            high = area.joins.end == "high"
            nearest, edge = (min(stations), other.length) if high else (-max(stations), 0.0)
            assert nearest == pytest.approx(edge, abs=1e-9)
            assert at[1] == pytest.approx(0.0, abs=1e-9)


@given(st.integers(1, 20), sides, st.booleans())
@settings(max_examples=40)
def test_an_end_that_meets_a_side_leads_away_at_a_right_angle_and_a_side_that_meets_it_runs_along(
    field_of, halves, junction, long_side
):
    where, station, at = junction
    scenario = field_of(
        {"name": "runway", "length": "200 ft", "width": "72 ft"},
        {
            "name": "taxiway",
            "length": "240 ft",
            "width": f"{6 * halves} ft",
            "joins": joining((where, station, "mid" if long_side else ("low" if at == "mid" else at)), "runway", 240, 55),
        },
    )
    runway, taxiway = place_areas(scenario).values()
    across = runway.along[0] * taxiway.along[0] + runway.along[1] * taxiway.along[1]
    assert abs(across) == (1.0 if long_side else 0.0)


def test_an_area_joined_by_its_high_end_is_travelled_towards_the_other(field_of):
    joins = {"area": "runway", "station": "100 ft", "side": "left", "at": "240 ft"}
    scenario = field_of(
        {"name": "runway", "length": "200 ft", "width": "72 ft"},
        {"name": "taxiway", "length": "240 ft", "width": "36 ft", "joins": joins},
    )
    taxiway = place_areas(scenario)["taxiway"]
    assert (taxiway.origin, taxiway.along) == ((100, 276), (0, -1))
    assert taxiway.point(240.0) == (100, 36)


def test_an_area_may_stand_in_the_file_before_the_one_it_joins(field_of):
    runway = {"name": "runway", "length": "200 ft", "width": "72 ft"}
    taxiway = {"name": "taxiway", "length": "240 ft", "width": "36 ft", "joins": {"area": "runway", "station": "100 ft"}}
    assert place_areas(field_of(taxiway, runway)) == place_areas(field_of(runway, taxiway))


@given(st.lists(st.integers(1, 100), min_size=2, max_size=4))
@settings(max_examples=40)
def test_areas_that_join_nothing_lie_side_by_side_200_ft_apart(field_of, halves):
    scenario = field_of(*({"length": "200 ft", "width": f"{6 * one} ft"} for one in halves))
    boxes = [box(one) for one in place_areas(scenario).values()]
    assert all(one[:2] == (0, 200) for one in boxes)
    for lower, upper in pairwise(boxes):
        assert upper[2] - lower[3] == pytest.approx(200.0)


def test_the_yard_lies_250_ft_beside_the_middle_of_the_first_area_unless_the_scenario_says_where(field_of):
    areas = [
        {"name": "runway", "length": "600 ft", "width": "72 ft"},
        {"name": "taxiway", "length": "240 ft", "width": "36 ft", "joins": {"area": "runway", "station": "100 ft"}},
    ]
    scenario = field_of(*areas)
    assert yard_point(scenario, place_areas(scenario)) == (300, -250)
    there = {"area": "taxiway", "station": "200 ft", "offset": "-80 ft"}  # left of a taxiway that leads south lies east
    scenario = field_of(*areas, supply={"on_hand": 1, "yard": there})
    assert yard_point(scenario, place_areas(scenario)) == (180, -236)


points = st.tuples(st.floats(-5000, 5000), st.floats(-5000, 5000))


@given(points, points, points)
def test_no_detour_is_shorter_and_the_way_back_is_as_long(a, b, c):
    assert distance(a, b) == distance(b, a) >= 0
    assert distance(a, a) == 0
    assert distance(a, c) <= distance(a, b) + distance(b, c) + 1e-9


def test_a_forklift_keeps_to_lanes_along_and_across_the_areas():
    assert distance((0, 0), (300, -400)) == 700
