"""At which laying edges an area is laid, in which order its rows come, and which laying edge sets which key strip."""

from collections import Counter
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from simulation.field import make_edges, make_rows
from simulation.scenario.tables.ground import Mat

MAT = Mat()
STARTS = [{}, {"from": "high"}, {"start": "centre-out"}]
cases = st.tuples(st.integers(2, 1500), st.integers(1, 200), st.sampled_from(STARTS))


def laid(area_of, case):
    rows, apart, start = case
    area = area_of(rows, 12, key_strips_every=f"{2 * apart} ft", **start)
    drawing = make_rows(area, MAT)
    return drawing, make_edges(area, drawing)


@given(cases)
def test_each_row_is_laid_once_by_one_edge(area_of, case):
    drawing, edges = laid(area_of, case)
    assert sorted(row for edge in edges for row in edge.rows) == list(range(drawing.count))


@given(cases)
def test_a_edge_lays_row_after_row_in_its_direction(area_of, case):
    _, edges = laid(area_of, case)
    for edge in edges:
        step = 1 if edge.upward else -1
        assert all(after - before == step for before, after in pairwise(edge.rows))


@given(cases)
def test_each_key_strip_is_met_by_exactly_one_edge_between_the_two_rows_it_parts(area_of, case):
    drawing, edges = laid(area_of, case)
    # A strip set before the n-th row of a laying edge stands between that row and the one the laying edge laid before it.
    met = Counter(max(edge.rows[place], edge.rows[place - 1]) for edge in edges for place in edge.key_strips)
    assert met == Counter(drawing.key_strips)
    assert all(0 < place < len(edge.rows) for edge in edges for place in edge.key_strips)


@given(st.integers(2, 1500))
@settings(max_examples=40)
def test_two_edges_lay_away_from_each_other_from_the_starter(area_of, rows):
    drawing, (low, high) = laid(area_of, (rows, 50, STARTS[2]))
    assert (low.upward, high.upward) == (False, True)
    assert (low.rows[0], high.rows[0]) == (drawing.starter - 1, drawing.starter)
    assert (low.rows[-1], high.rows[-1]) == (0, rows - 1)
    assert abs(len(low.rows) - len(high.rows)) <= 1


def test_the_starter_is_never_set_again_by_a_edge(area_of):
    _, edges = laid(area_of, (110, 50, STARTS[2]))  # the second key strip would fall on the starter
    assert [sorted(edge.key_strips) for edge in edges] == [[50], [50]]


def test_a_one_end_area_has_one_edge_from_the_end_it_begins_at(area_of):
    for start, first, last in (({}, 0, 99), ({"from": "high"}, 99, 0)):
        _, (edge,) = laid(area_of, (100, 50, start))
        assert (edge.area, edge.rows[0], edge.rows[-1]) == ("strip", first, last)
        assert edge.key_strips == {5, 55}  # after five rows, then every 50, whichever end it begins at
