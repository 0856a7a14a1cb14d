"""Damage takes the mats around a point, and rows with it are reached from the key strip on either side."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scenarios import make_scenario

from simulation.field import make_edges, make_rows
from simulation.field.damage import find_openings, mats_nearest, mats_over


def laid(**area):
    crew, supply = {"name": "red", "people": 18, "areas": ["strip"]}, {"on_hand": 80}
    tables = {"area": [{"name": "strip", "length": "300 ft", "width": "72 ft", **area}], "crew": [crew], "supply": supply}
    scenario = make_scenario(tables)
    rows = make_rows(scenario.area[0], scenario.mat)
    return rows, make_edges(scenario.area[0], rows)


@given(count=st.integers(1, 60), station=st.floats(30, 270), across=st.floats(0, 72))
def test_the_nearest_mats_are_as_many_as_asked_and_none_left_out_is_nearer(count, station, across):
    rows, _ = laid(end_ramps=True)
    taken = mats_nearest(rows, 6.0, station, across, count)
    everything = mats_nearest(rows, 6.0, station, across, 200)

    def away(mat):
        return math.hypot((mat.row + 0.5) * 2 - station, (mat.left + mat.right) / 2 - across)

    assert len(set(taken)) == count
    assert not {mat.row for mat in taken} & rows.ramps
    assert max(map(away, taken)) <= min((away(mat) for mat in everything if mat not in taken), default=math.inf) + 1e-9


def test_a_crater_takes_every_mat_that_it_reaches_under_and_no_other():
    rows, _ = laid()
    # Rows are 2 ft deep: a circle of 5 ft around the middle of row 50 reaches into rows 49 to 51, beside the joint at 36 ft.
    taken = mats_over(rows, 6.0, 101.0, 36.0, 5.0)
    assert {mat.row for mat in taken} == {49, 50, 51}
    assert sorted((mat.row, mat.left) for mat in taken) == [(49, 30.0), (50, 24.0), (50, 36.0), (51, 30.0)]
    assert {mat.row for mat in mats_over(rows, 6.0, 101.0, 36.0, 2.0)} == {50}


def test_a_strip_is_opened_against_its_assembly_from_the_key_strip_that_was_set_later():
    rows, edges = laid()
    assert rows.key_strips == (5, 55, 105)
    against, along = find_openings(edges, rows, [75, 76])
    assert (against.before, against.rows, against.along) == (105, tuple(range(104, 74, -1)), False)
    assert (along.before, along.rows, along.along) == (55, tuple(range(55, 77)), True)


def test_from_the_high_end_the_directions_are_the_other_way_round():
    rows, edges = laid(**{"from": "high"})
    assert rows.key_strips == (45, 95, 145)
    against, along = find_openings(edges, rows, [75])
    assert (against.before, against.rows) == (45, tuple(range(45, 76)))
    assert (along.before, along.rows) == (95, tuple(range(94, 74, -1)))


def test_a_key_strip_between_damaged_rows_is_drawn_as_well():
    rows, edges = laid()
    against, along = find_openings(edges, rows, [50, 60])
    assert [len(way.strips) for way in (against, along)] == [2, 2]
    assert (against.rows, along.rows) == (tuple(range(104, 49, -1)), tuple(range(5, 61)))


@pytest.mark.parametrize(("damaged", "directions"), [([2], [False]), ([120], [True]), ([75], [False, True])])
def test_where_no_key_strip_lies_on_a_side_there_is_no_way_from_it(damaged, directions):
    rows, edges = laid()
    assert [way.along for way in find_openings(edges, rows, damaged)] == directions


def test_rows_on_both_sides_of_the_starter_key_strip_cannot_be_opened():
    rows, edges = laid(start="centre-out")
    assert find_openings(edges, rows, [rows.starter - 1, rows.starter]) == ()
    assert len(find_openings(edges, rows, [rows.starter + 1])) == 1
