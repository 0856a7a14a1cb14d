"""Is it enough to write how things stand: a line for each laying edge with a single time under shift?"""

import pytest
from scenarios import SHORT
from test_reading_a_log import mistakes, told

COUNT = "date,shift,area,rows,staged,yard,pallets received\n2031-04-02,15:30,strip,9,2,5,0\n"


def test_a_count_says_how_many_rows_lie_in_all_and_teaches_no_rate():
    found = told(COUNT)
    (edge,) = found.state.edges
    assert (found.state.at, edge.laid, edge.staged, found.state.yard) == (9.5, 9, 2, 5)
    assert found.evidence.rows == ()
    assert found.state.lived[-1] == (9.5, pytest.approx(9 / 20, abs=0.02))


def test_a_count_goes_on_from_the_shifts_before_it():
    found = told("date,shift,crew,rows\n2031-04-02,06:00-12:00,red,4\n2031-04-02,15:30,,9\n")
    assert found.state.edges[0].laid == 9
    assert [(one.first, one.upto) for one in found.evidence.rows] == [(0, 4)]


def test_a_count_of_fewer_rows_than_were_laid_is_named():
    (said,) = mistakes("date,shift,crew,rows\n2031-04-02,06:00-12:00,red,4\n2031-04-02,15:30,,3\n")
    assert said.startswith("line 3, rows: 3 rows lie on strip, and shifts before have laid 4")


def test_a_yard_that_does_not_agree_is_named_with_what_it_must_be():
    (said,) = mistakes(COUNT.replace(",2,5,0", ",2,9,0"), SHORT)
    assert said.startswith("line 2, yard: 9 pallets in the yard; by what came, is laid and stands at laying edges it must be 5")
