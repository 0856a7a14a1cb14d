"""How rows fill two lanes beside a guide rail, and the mats that this takes."""

from hypothesis import given, settings
from hypothesis import strategies as st

from simulation.field import brick, lanes, make_rows
from simulation.scenario.tables.ground import Mat

MAT = Mat()
widths = st.integers(1, 60)


@given(widths, widths)
def test_the_pieces_of_every_row_fill_both_lanes_exactly_and_none_crosses_the_rail(left, right):
    for row in lanes(left, right):
        edges = [sum(row.pieces[:count]) for count in range(len(row.pieces) + 1)]
        assert left in edges
        assert edges[-1] == left + right
        assert set(row.pieces) <= {1, 2}


@given(widths, widths)
def test_no_end_joint_lines_up_with_one_in_the_row_before_in_either_lane(left, right):
    even, odd = lanes(left, right)
    assert not set(even.joints) & set(odd.joints)


@given(widths, widths)
def test_every_pair_of_rows_takes_two_half_mats_in_each_lane(left, right):
    assert sum(row.half for row in lanes(left, right)) == 4


@given(widths, widths)
def test_the_rail_is_no_end_joint_and_takes_no_locking_bar(left, right):
    apart = [len(row.joints) for side in (left, right) for row in brick(side)]
    assert sum(len(row.joints) for row in lanes(left, right)) == sum(apart)
    assert all(left not in row.joints for row in lanes(left, right))


@given(st.integers(1, 60), widths, widths, st.sampled_from(["left", "right"]))
def test_mats_of_a_railed_area_cover_it(area_of, rows, left, right, edge):
    offset = left if edge == "left" else right
    drawing = make_rows(area_of(rows, left + right, guide_rail=True, rail={"offset": f"{6 * offset} ft", "edge": edge}), MAT)
    assert drawing.rail == left
    assert drawing.full * 12 + drawing.half * 6 == rows * (left + right) * 6


@given(st.integers(1, 50), widths, widths, st.integers(2, 6))
@settings(max_examples=40, deadline=None)
def test_a_railed_area_n_times_as_long_takes_n_times_the_mats_and_joints(area_of, pairs, left, right, times):
    rail = {"guide_rail": True, "rail": {"offset": f"{6 * left} ft"}}
    once, longer = (make_rows(area_of(2 * pairs * n, left + right, **rail), MAT) for n in (1, times))
    assert (longer.full, longer.half, longer.joints) == (times * once.full, times * once.half, times * once.joints)
