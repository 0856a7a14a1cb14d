"""Which pieces make up a key strip, and that their joints lie away from those of the mats."""

from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simulation.field.keystrips import count_by_length, lengths_of, pieces_across

USUAL = lengths_of((), 12.0)


@given(st.integers(1, 120))
def test_pieces_fill_every_width_and_no_joint_lies_at_one_of_the_mats(halves):
    pieces = pieces_across(6.0 * halves, USUAL, 6.0)
    *joints, end = accumulate(pieces)
    assert end == 6.0 * halves
    assert all(joint % 6.0 for joint in joints)


@given(st.integers(1, 60))
def test_no_key_strip_takes_fewer_pieces_than_its_longest_ones_would(halves):
    assert len(pieces_across(6.0 * halves, USUAL, 6.0)) >= halves / 2


def test_the_key_strip_of_72_ft_is_the_one_drawn_by_hand():
    assert pieces_across(72.0, USUAL, 6.0) == (3, 12, 12, 12, 12, 12, 9)
    assert count_by_length((18.0, 54.0), USUAL, 6.0) == {9: 4, 12: 3}


def test_lengths_that_fill_no_width_are_cut():
    assert pieces_across(18.0, (10.0,), 6.0) == (10, 10)


def test_metric_lengths_meet():
    half = 1.8 / 0.3048
    assert sum(pieces_across(12 * half, lengths_of((), 2 * half), half)) == pytest.approx(12 * half)
