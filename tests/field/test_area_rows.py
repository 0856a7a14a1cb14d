"""The rows of an area: how many, of which pattern, which lie in end ramps, where its key strips stand."""

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from simulation.field import make_rows
from simulation.scenario.tables.ground import Mat

MAT = Mat()
counts, widths = st.integers(1, 1500), st.integers(1, 60)


@given(counts, widths)
def test_totals_of_an_area_are_those_of_its_rows_one_by_one(area_of, rows, halves):
    area = make_rows(area_of(rows, halves), MAT)
    patterns = [area.pattern(row) for row in range(area.count)]
    assert area.count == rows
    assert area.full == sum(pattern.full for pattern in patterns)
    assert area.half == sum(pattern.half for pattern in patterns)
    assert area.joints == sum(len(pattern.pieces) - 1 for pattern in patterns)
    assert area.rows_with(0) + area.rows_with(1) == rows
    assert area.full * 12 + area.half * 6 == rows * halves * 6


@given(counts, widths)
@settings(max_examples=40)
def test_rows_that_follow_each_other_have_no_end_joint_in_line(area_of, rows, halves):
    area = make_rows(area_of(rows, halves), MAT)
    for row in range(1, min(area.count, 6)):
        assert not set(area.pattern(row).joints) & set(area.pattern(row - 1).joints)


@given(st.integers(1, 100), widths, st.integers(1, 8))
def test_an_area_n_times_as_long_takes_n_times_the_mats_and_joints(area_of, pairs, halves, times):
    once, longer = (make_rows(area_of(2 * pairs * n, halves), MAT) for n in (1, times))
    assert (longer.full, longer.half, longer.joints) == (times * once.full, times * once.half, times * once.joints)


@given(counts, st.integers(1, 200))
def test_key_strips_follow_the_first_five_rows_and_then_stand_at_their_spacing(area_of, rows, apart):
    strips = make_rows(area_of(rows, 12, key_strips_every=f"{2 * apart} ft"), MAT).key_strips
    assert list(strips) == list(range(5, rows, apart))


@given(counts, st.integers(1, 200))
def test_an_area_laid_from_its_high_end_has_the_key_strips_of_one_laid_from_its_low_end_mirrored(area_of, rows, apart):
    low = make_rows(area_of(rows, 12, key_strips_every=f"{2 * apart} ft"), MAT).key_strips
    high = make_rows(area_of(rows, 12, key_strips_every=f"{2 * apart} ft", **{"from": "high"}), MAT).key_strips
    assert list(high) == sorted(rows - strip for strip in low)


@given(st.integers(2, 1500), st.integers(1, 200))
def test_a_centre_out_area_has_one_starter_in_its_middle_and_no_other_strip_on_it(area_of, rows, apart):
    area = make_rows(area_of(rows, 12, start="centre-out", key_strips_every=f"{2 * apart} ft"), MAT)
    assert area.starter is not None
    assert abs(area.starter - rows / 2) <= 0.5
    assert area.starter not in area.key_strips
    assert set(area.key_strips) | {area.starter} == set(range(5, rows, apart)) | {area.starter}


def test_a_key_strip_that_would_fall_on_the_starter_is_left_to_it(area_of):
    area = make_rows(area_of(110, 12, start="centre-out"), MAT)  # 110 rows: the middle is row 55, where the second strip falls
    assert area.starter == 55
    assert area.key_strips == (5, 105)


def test_a_one_end_area_has_no_starter_key_strip(area_of):
    assert make_rows(area_of(110, 12), MAT).starter is None


@given(st.integers(20, 1500))
@settings(max_examples=40)
def test_the_first_and_last_five_rows_lie_in_end_ramps_where_there_are_any(area_of, rows):
    with_ramps = make_rows(area_of(rows, 12, end_ramps=True), MAT)
    assert sorted(with_ramps.ramps) == [0, 1, 2, 3, 4, rows - 5, rows - 4, rows - 3, rows - 2, rows - 1]
    assert make_rows(area_of(rows, 12), MAT).ramps == frozenset()


@given(counts, st.floats(0, 1))
def test_the_row_at_a_station_covers_it(area_of, rows, share):
    area = make_rows(area_of(rows, 12), MAT)
    station = share * 2 * rows
    row = area.row_at(station)
    assert 0 <= row < rows
    assert 2 * row - 1e-6 <= station <= 2 * (row + 1) + 1e-6


def test_a_station_between_two_rows_belongs_to_the_higher_and_the_far_end_to_the_last(area_of):
    area = make_rows(area_of(100, 12), MAT)
    assert [area.row_at(station) for station in (0.0, 1.99, 2.0, 3.0, 198.0, 200.0)] == [0, 0, 1, 1, 99, 99]


@pytest.mark.parametrize(("station", "rows"), [(0, 0), (0.5, 1), (2, 1), (3, 2), (4, 2), (5, 3), (199, 100), (200, 100)])
def test_rows_to_a_station_are_as_many_as_cover_everything_up_to_it(area_of, station, rows):
    assert make_rows(area_of(100, 12), MAT).rows_to(float(station)) == rows


@given(counts, st.floats(0, 1))
def test_rows_to_a_station_reach_it_and_one_row_less_would_not(area_of, rows, share):
    station = share * 2 * rows
    assume(abs(station / 2 - round(station / 2)) > 1e-6)
    assert make_rows(area_of(rows, 12), MAT).rows_to(station) == math.ceil(station / 2)


def test_another_mat_gives_other_rows(area_of):
    mat = Mat.model_validate({"row_depth": "4 ft", "full": "6 ft", "half": "3 ft"})
    area = make_rows(area_of(100, 12), mat)  # 200 × 72 ft
    assert (area.count, area.depth, area.patterns[0].full) == (50, 4.0, 12)
    assert area.key_strips == (5, 30)


def zones(*several):
    return [{"from": f"{start} ft", "to": f"{to} ft", "every": f"{every} ft"} for start, to, every in several]


def test_key_strips_of_a_zone_stand_closer_from_its_beginning_on(area_of):
    """Counted by hand: the first after five rows; 210 ft is the last that the first zone reaches; the second begins at 500 ft."""
    written = zones((0, 200, 50), (500, 800, 100))
    strips = make_rows(area_of(600, 12, key_strips_every="300 ft", key_strip_zones=written), MAT).key_strips
    assert [2 * row for row in strips] == [10, 60, 110, 160, 210, 500, 600, 700, 800, 1100]


def test_zones_with_the_distance_of_the_rest_change_nothing(area_of):
    one = make_rows(area_of(600, 12, start="centre-out"), MAT)
    assert make_rows(area_of(600, 12, start="centre-out", key_strip_zones=zones((130, 500, 100))), MAT) == one


@given(
    st.integers(20, 1500),
    st.integers(1, 150),
    st.lists(st.tuples(st.integers(0, 500), st.integers(1, 500), st.integers(1, 150)), max_size=3),
)
def test_in_no_zone_do_key_strips_stand_farther_apart_than_it_says(area_of, rows, apart, several):
    end, written = 0, []
    for ahead, long, every in several:
        start, end = end + ahead, end + ahead + long
        if start < min(end, rows):
            written.append((2 * start, 2 * min(end, rows), 2 * every))

    def strips_of(zones_of_it, **more):
        return make_rows(area_of(rows, 12, key_strips_every=f"{2 * apart} ft", key_strip_zones=zones(*zones_of_it), **more), MAT)

    strips, here = strips_of(written).key_strips, [(0, apart)] * rows
    for start, to, every in written:
        here[start // 2 :] = [(start // 2, every // 2)] * ((to - start) // 2) + [(to // 2, apart)] * (rows - to // 2)
    for one, other in pairwise(strips):
        assert all(other - max(one, begins) <= every for begins, every in here[one:other])
    mirrored = [(2 * rows - to, 2 * rows - start, every) for start, to, every in written]
    high = strips_of(mirrored, **{"from": "high"}).key_strips
    assert list(high) == sorted(rows - strip for strip in strips)
