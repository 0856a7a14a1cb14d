"""Full and half mats on pallets of their own: as many pallets and mats as where both share every pallet, and none overfull."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simulation.construction.plan.packing import pack


@given(st.integers(0, 400), st.integers(1, 30), st.integers(1, 30), st.booleans())
def test_every_mat_comes_on_as_many_pallets_and_no_pallet_holds_more_than_before(pallets, full, half, half_first):
    packed = pack(pallets, full, half, half_first)
    assert len(packed) == pallets
    assert sum(mats[0] for mats in packed) == pallets * full
    assert sum(mats[1] for mats in packed) == pallets * half
    assert {2 * mats[0] + mats[1] for mats in packed} <= {2 * full + half}
    assert sum(mats[0] > 0 and mats[1] > half % 2 for mats in packed) <= 1


@pytest.mark.parametrize("half_first", [True, False])
def test_twelve_full_mats_or_24_half_ones_have_room_where_11_and_2_had(half_first):
    packed = pack(12, 11, 2, half_first)
    assert packed == ([(0, 24), *[(12, 0)] * 11] if half_first else [*[(12, 0)] * 11, (0, 24)])


def test_an_odd_place_on_a_pallet_of_full_mats_holds_a_half_one():
    assert pack(8, 4, 3, half_first=True) == [(0, 11), (2, 7), *[(5, 1)] * 6]
