"""Moments as countries write them, and what tells them apart: over all of a file, or not at all."""

from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simulation.scenario.types.texts.csv_form import FormError
from simulation.scenario.types.texts.written_times import moment_of, order_of, parsed

moments = st.datetimes(datetime(1900, 1, 1), datetime(2100, 1, 1)).map(lambda one: one.replace(second=0, microsecond=0))
WAYS = {
    "%Y-%m-%dT%H:%M": "year first",
    "%Y/%m/%d %H:%M": "year first",
    "%Y%m%d%H%M": "year first",
    "%d.%m.%Y %H:%M": "day first",
    "%d/%m/%Y %H:%M": "day first",
    "%d-%m-%Y %H:%M:%S": "day first",
    "%m/%d/%Y %H:%M": "month first",
    "%m/%d/%Y %I:%M %p": "month first",
}


@given(st.lists(moments, min_size=1, max_size=20), st.sampled_from(sorted(WAYS)))
def test_moments_come_back_as_they_were_written(many, way):
    written = [parsed(one.strftime(way)) for one in [*many, datetime(2028, 1, 31, 5)]]  # the last has a day above 12
    order = order_of(written)
    assert order == WAYS[way]
    assert [moment_of(one, order) for one in written][:-1] == many


@pytest.mark.parametrize(
    ("cells", "order"),
    [
        (["01/02/2028", "13/02/2028"], "day first"),
        (["01/02/2028", "02/13/2028"], "month first"),
        (["01.02.2028", "02.03.2028"], "day first"),
        (["01.02.2028", "02.13.2028"], "month first"),
    ],
)
def test_one_day_above_12_tells_for_the_whole_file_and_dots_where_there_is_none(cells, order):
    assert order_of(map(parsed, cells)) == order


@pytest.mark.parametrize(
    ("cells", "said"),
    [(["01/02/2028", "02/03/2028"], "no date has a day above 12"), (["13/02/2028", "02/13/2028"], "some dates")],
)
def test_what_stays_ambiguous_is_refused(cells, said):
    with pytest.raises(FormError, match=said):
        order_of(map(parsed, cells))


def test_zones_are_taken_off_and_midnight_may_end_a_day():
    assert moment_of(parsed("2028-01-01T14:00+02:00"), "year first").replace(tzinfo=None) == datetime(2028, 1, 1, 12)
    assert moment_of(parsed("2028-01-01 14:00 -0330"), "year first").replace(tzinfo=None) == datetime(2028, 1, 1, 17, 30)
    assert moment_of(parsed("31.12.2028 24:00"), "day first") == datetime(2029, 1, 1)
    assert moment_of(parsed("30.02.2028"), "day first") is None


@pytest.mark.parametrize("cell", ["", "someday", "2028-13", "1.2.28", "2028-01-01 25:00", "2028-01-01 24:30", "12:00"])
def test_what_is_no_moment_is_none(cell):
    assert parsed(cell) is None
