"""How deep end ramps go and how much ground they take, beside sums by hand and by slices."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simulation.field import take_off_ramps
from simulation.scenario.tables.ground import Mat

MAT = Mat()


def ramps(area_of, **ramp):
    return take_off_ramps(area_of(100, 12, end_ramps=True, ramp=ramp), MAT)


@given(st.integers(1, 89))
@settings(max_examples=40, deadline=None)
def test_the_slope_that_a_drop_gives_is_the_slope_that_gives_the_drop(area_of, degrees):
    by_slope = ramps(area_of, slope=f"{degrees} degree")
    by_drop = ramps(area_of, drop=f"{by_slope.drop} ft")
    assert by_drop.slope == pytest.approx(degrees)
    assert by_drop.excavation == pytest.approx(by_slope.excavation)


@given(st.integers(5, 60), st.integers(1, 5))
@settings(max_examples=40, deadline=None)
def test_volumes_are_those_summed_slice_by_slice(area_of, degrees, buried):
    got = ramps(area_of, slope=f"{degrees} degree", buried=buried)
    angle, parts = math.radians(degrees), 20_000
    run, tangent = 10 * math.cos(angle), math.tan(angle)
    slices = [(part + 0.5) / parts * run for part in range(parts)]
    under = sum(at * tangent for at in slices) * run / parts
    over = sum(at * tangent for at in slices if at > (5 - buried) / 5 * run) * run / parts
    step = 2 * 10 * math.sin(angle)
    assert got.excavation * 27 == pytest.approx(2 * (under + step) * 74, rel=1e-3)
    assert got.backfill * 27 == pytest.approx(2 * ((over + step) * 72 + (under + step) * 2), rel=1e-3)


def test_loose_and_compacted_ground_balance(area_of):
    got = ramps(area_of, swell=0.3, shrinkage=0.2)
    assert got.spoil == pytest.approx(1.3 * got.excavation)
    assert got.backfill_taken * 0.8 == pytest.approx(got.backfill)
    assert got.left_over == pytest.approx(1.3 * (got.excavation - got.backfill_taken))


def test_more_rows_in_the_trench_go_deeper_at_the_same_slope(area_of):
    four, six = (ramps(area_of, rows=rows, slope="15 degree") for rows in (4, 6))
    assert six.drop == pytest.approx(1.5 * four.drop)


def test_an_area_without_end_ramps_takes_no_trench(area_of):
    assert take_off_ramps(area_of(100, 12), MAT) is None
