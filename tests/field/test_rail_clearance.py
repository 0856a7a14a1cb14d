"""How near joints of mats and rail come, by brute force beside the program, and what is said where it is too near."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simulation.field import make_rows, take_off_rail
from simulation.field.clearance import clearance, mat_joints, rail_joints
from simulation.scenario.tables.ground import Mat

MAT = Mat()
inches = st.integers(0, 40).map(lambda n: n / 40 / 12)


def railed(area_of, rows=900, rail=None, **more):
    return area_of(rows, 12, guide_rail=True, rail=rail or {}, **more)


def of_rail(area_of, rows=900, width=0.125, rail=None, **more):
    area = railed(area_of, rows, rail, **more)
    return take_off_rail(area, make_rows(area, MAT), MAT, width)


@given(st.integers(6, 300), inches, inches, inches, st.sampled_from(["low", "high"]))
@settings(max_examples=40, deadline=None)
def test_the_least_clearance_is_the_least_of_all_distances_between_joints(area_of, rows, width, seal, creep, end):
    area = railed(area_of, rows, **{"from": end})
    drawing = make_rows(area, MAT)
    got = clearance("all", area, drawing, width, seal, creep / 10)
    strips = [5 + 50 * n for n in range(math.ceil((rows - 5) / 50))]
    # Row by row: a key strip lies before rows 5, 55, … counted from where laying begins, whichever end that is.
    mats, at = [], 0.0
    for row in range(rows):
        if row in strips:
            at += width
            mats.append(at)
        at += 2.0 + creep / 10
        mats.append(at)
    ends = [9.0 + n * (10.0 + seal) for n in range(rows) if 9.0 + n * (10.0 + seal) < at - 1e-9]
    assert got.least == pytest.approx(min(abs(a - b) for a in ends for b in mats), abs=1e-6)
    near = [one for one in ends if min(abs(one - b) for b in mats) < 0.25 - 1e-9]
    assert got.used_up == (pytest.approx(near[0]) if near else None)


@given(st.integers(1, 400))
def test_without_any_shift_every_joint_of_the_rail_lies_in_the_middle_of_a_row(rows):
    mats = set(mat_joints(rows, 2.0, (), 0.0, 0.0))
    assert all(joint + 1 in mats for joint in range(9, 2 * rows, 10) if joint < 2 * rows)


def test_a_rail_as_long_as_the_mats_lie_takes_sections_that_reach_to_their_end(area_of):
    rail = of_rail(area_of, 100, rail={"creep": "0.1 in"})
    assert rail.laid == pytest.approx(200 + 100 * 0.1 / 12 + 2 * 0.125)
    covered = 9 + 10 * (rail.sections - 2) + rail.seals / 96 + rail.last_section
    assert covered == pytest.approx(rail.laid)
    assert 0 < rail.last_section <= 10


def test_what_uses_the_clearance_up_is_told_with_the_section_that_gives_it_back(area_of):
    # Rows ahead by s: a section shorter by 24 in − s brings the joints back to the middle; the rail ahead by s: one shorter by s.
    rail = of_rail(area_of)
    (line,) = rail.warnings
    found = rail.budget[-1]
    assert found.shift > 0
    assert "re-seating" in line
    short = 10 - (2 - found.shift)
    assert f"short section of {int(short)} ft {12 * (short % 1):.1f} in" in line
    ahead = of_rail(area_of, width=0.0, rail={"creep": "0 in"})
    (line,) = ahead.warnings
    assert ahead.budget[-1].shift < 0
    assert "the rail has run 9.1 in ahead of the rows; put in a short section of 9 ft 2.9 in" in line


def test_a_short_section_of_that_length_gives_the_whole_clearance_back(area_of):
    area = railed(area_of, rail={"creep": "0 in"})
    drawing = make_rows(area, MAT)
    ends = rail_joints(area.rail, 1800.0, 1 / 96)
    mats = mat_joints(drawing.count, 2.0, (), 0.0, 0.0)
    found = clearance("seals", area, drawing, seal=1 / 96)
    first = ends.index(found.used_up)
    moved = ends[first] + found.shift  # the section before this joint made shorter by as much as the rail is ahead
    assert min(abs(moved - one) for one in mats) == pytest.approx(1.0)


def test_creep_that_is_just_as_much_as_the_seals_leaves_the_clearance_whole(area_of):
    rail = of_rail(area_of, width=0.0, rail={"creep": "0.025 in"})  # five rows of it are the eighth of a section's seal
    assert 12 * rail.budget[-1].least == pytest.approx(12, abs=0.2)
    assert rail.warnings == ()


def test_the_luck_of_rows_grows_with_the_root_of_their_number(area_of):
    short, long = (of_rail(area_of, rows, rail={"creep": {"mean": "0.02 in", "scatter": 0.5}}) for rows in (100, 400))
    assert 12 * short.sides.scatter == pytest.approx(0.02 * 0.5 * math.sqrt(200))
    assert long.sides.scatter == pytest.approx(2 * short.sides.scatter)


def test_an_area_without_a_rail_has_none(area_of):
    area = area_of(100, 12)
    assert take_off_rail(area, make_rows(area, MAT), MAT, 0.1) is None
