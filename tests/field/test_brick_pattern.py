"""How one row of mats fills the width, and where its end joints fall."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simulation.field import RowPattern, brick

widths = st.integers(1, 400)


@given(widths)
def test_the_pieces_of_every_row_fill_the_width_exactly(halves):
    for row in brick(halves):
        assert sum(row.pieces) == halves
        assert set(row.pieces) <= {1, 2}
        assert 2 * row.full + row.half == halves


@given(widths)
def test_no_end_joint_lines_up_with_one_in_the_row_before(halves):
    even, odd = brick(halves)
    assert not set(even.joints) & set(odd.joints)


@given(widths)
def test_a_row_has_one_end_joint_less_than_pieces_and_all_lie_inside_the_width(halves):
    for row in brick(halves):
        assert len(row.joints) == len(row.pieces) - 1
        assert all(0 < joint < halves for joint in row.joints)
        assert list(row.joints) == sorted(set(row.joints))


@given(widths)
def test_every_pair_of_rows_takes_exactly_two_half_mats(halves):
    assert sum(row.half for row in brick(halves)) == 2


@given(widths)
def test_no_row_could_be_laid_with_fewer_pieces_than_the_first_of_its_pair(halves):
    assert len(brick(halves)[0].pieces) == (halves + 1) // 2


@pytest.mark.parametrize(
    ("halves", "pieces", "joints"),
    [
        (1, [(1,), (1,)], [(), ()]),
        (2, [(2,), (1, 1)], [(), (1,)]),
        (5, [(2, 2, 1), (1, 2, 2)], [(2, 4), (1, 3)]),
        (12, [(2,) * 6, (1, 2, 2, 2, 2, 2, 1)], [(2, 4, 6, 8, 10), (1, 3, 5, 7, 9, 11)]),
    ],
)
def test_rows_drawn_by_hand_are_the_rows_of_the_pattern(halves, pieces, joints):
    assert [row.pieces for row in brick(halves)] == pieces
    assert [row.joints for row in brick(halves)] == joints


def test_a_row_narrower_than_a_half_mat_is_refused_with_its_width():
    with pytest.raises(ValueError, match="not 0"):
        brick(0)


def test_a_row_counts_its_full_and_half_mats():
    assert (RowPattern((1, 2, 2, 1)).full, RowPattern((1, 2, 2, 1)).half) == (2, 2)
