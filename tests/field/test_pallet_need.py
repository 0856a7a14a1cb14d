"""How many pallets cover a need for full and half mats separately, with and without spares."""

from fractions import Fraction

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from simulation.field import pallets_for
from simulation.scenario.tables.ground import Mat

MAT = Mat()
needs = st.tuples(st.integers(0, 50_000), st.integers(0, 10_000))
mixes = st.tuples(st.integers(1, 30), st.integers(1, 30))


def mat(full, half):
    return Mat.model_validate({"pallet_full": full, "pallet_half": half})


@given(needs, mixes)
def test_pallets_cover_both_kinds_and_one_less_would_not(need, mix):
    got = pallets_for(*need, mat(*mix))
    assert all(got.pallets * on >= wanted for on, wanted in zip(mix, need, strict=True))
    assert got.pallets == 0 or any((got.pallets - 1) * on < wanted for on, wanted in zip(mix, need, strict=True))
    assert (got.surplus_full, got.surplus_half) == tuple(got.pallets * on - wanted for on, wanted in zip(mix, need, strict=True))


@given(needs, st.integers(0, 100))
@example((100, 0), 10)  # 110 mats are 10 pallets, though 100 × 1.1 is a little more than 110 to a computer
def test_spares_are_a_share_of_the_mats_of_each_kind(need, percent):
    spares = Fraction(percent, 100)
    got = pallets_for(*need, MAT, percent / 100)
    assert got.pallets == max(-(-wanted * (1 + spares) // on) for wanted, on in zip(need, (11, 2), strict=True))


@given(needs, mixes, st.floats(0, 1), st.floats(0, 1))
def test_more_spares_never_take_fewer_pallets(need, mix, one, more):
    assert pallets_for(*need, mat(*mix), min(one, more)).pallets <= pallets_for(*need, mat(*mix), max(one, more)).pallets


@given(needs, mixes)
def test_the_kind_that_governs_is_the_one_that_asks_for_more_pallets(need, mix):
    full, half = need
    assume(full * mix[1] != half * mix[0])
    alone = pallets_for(full, 0, mat(*mix)).pallets, pallets_for(0, half, mat(*mix)).pallets
    assume(alone[0] != alone[1])
    assert pallets_for(full, half, mat(*mix)).governed_by == ("full mats" if alone[0] > alone[1] else "half mats")


def test_half_mats_govern_where_there_are_many_of_them():
    got = pallets_for(100, 50, MAT)
    assert (got.pallets, got.governed_by, got.surplus_full, got.surplus_half) == (25, "half mats", 175, 0)


def test_nothing_needed_takes_no_pallet():
    assert pallets_for(0, 0, MAT).pallets == 0


@pytest.mark.parametrize("need", [(5, 0), (0, 5)])
def test_a_kind_of_mat_that_no_pallet_holds_cannot_be_covered(need):
    empty = mat(0, 2) if need[0] else mat(11, 0)
    with pytest.raises(ValueError, match="holds none"):
        pallets_for(*need, empty)


def test_a_pallet_may_lack_a_kind_of_mat_that_is_not_needed():
    assert pallets_for(22, 0, mat(11, 0)).pallets == 2
