"""How long does a row take, worked out by hand, and how is a crew best split?"""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scenarios import strip
from small_runs import examples, plan_of

from simulation.construction.plan.plan import AreaPlan, LayingPlan
from simulation.construction.site.edges.rowtime import RowLuck, best_split, learned, row_hours


def laying(**changes):
    stated = {
        "overhead": 3,
        "openers": 2,
        "team_size": 2,
        "ramp_row": 1.5,
        "learning": 1.0,
        "learning_reference": 50,
        "learning_floor": 0.7,
        "check_every": 10,
        "skew_found": 0.0,
        "relief_turn": 0.5,
        "pallet_pieces": 13,
    }
    return LayingPlan(**{**stated, **changes})


def area(pieces=(6, 7), walk=0.01, rows_in_work=3):
    joints = tuple(one - 1 for one in pieces)
    return AreaPlan("strip", 40, pieces, (0, 2), joints, walk, (), 0, (0,), None, False, rows_in_work)


def luck(pick_up=0.01, place=0.02, lock=0.01, open_pallet=0.001, efficiency=0.5):
    return RowLuck(pick_up, place, lock, open_pallet, efficiency)


def one_row(teams, lockers, pieces=6, **changes):
    numbers = {"open_pallet": changes.pop("open_pallet", 0.001), "lock": changes.pop("lock", 0.01)}
    room = area(rows_in_work=changes.pop("rows_in_work", 3))
    hours = row_hours(room, laying(**changes), luck(**numbers), np.array([pieces]), np.array([pieces - 1]), teams, lockers)
    return float(hours[0])


def test_few_teams_are_bound_by_carrying_and_placing():
    assert one_row(teams=1, lockers=5) == pytest.approx(6 * (0.01 + 0.01 + 0.02) / 1 / 0.5)


def test_many_teams_are_bound_by_the_rows_that_can_be_in_work_at_once():
    assert one_row(teams=100, lockers=100) == pytest.approx(6 * 0.02 / 3 / 0.5)
    assert one_row(teams=100, lockers=100, rows_in_work=1) == pytest.approx(6 * 0.02 / 0.5)


def test_few_lockers_are_bound_by_their_joints():
    assert one_row(teams=100, lockers=1, lock=0.1) == pytest.approx(5 * 0.1 / 0.5)


def test_few_openers_are_bound_by_their_pallets():
    assert one_row(teams=100, lockers=100, open_pallet=2.0) == pytest.approx(6 * 2.0 / (13 * 2) / 0.5)


def test_the_walk_grows_with_the_width_and_with_how_far_apart_pallets_are_set_down():
    narrow, wide = (
        plan_of(strip(area=[{"name": "strip", "length": "40 ft", "width": width}])).areas[0].walk for width in ("36 ft", "240 ft")
    )
    speed = 2 * 5280
    assert narrow == pytest.approx(2 * (25 + 9) / speed)
    assert wide == pytest.approx(2 * (25 + 60) / speed)
    sparse = plan_of(strip(laying={"staged_every": "100 ft"})).areas[0].walk
    assert sparse == pytest.approx(2 * (50 + 18) / speed)


@examples(120)
@given(
    st.integers(6, 60),
    st.floats(0.001, 0.1),
    st.floats(0.001, 0.1),
    st.floats(0.001, 0.1),
    st.integers(1, 4),
    st.integers(1, 3),
)
def test_no_other_split_of_a_crew_lays_a_pair_of_rows_in_less_time(people, pick_up, place, lock, rows_in_work, team_size):
    terms, numbers = laying(team_size=team_size), luck(pick_up, place, lock, 0.0)
    room = area(rows_in_work=rows_in_work)
    if people < 3 + team_size + 1:
        return
    pair = np.array([6.0, 7.0]), np.array([5.0, 6.0])
    teams, lockers = best_split(people, room, terms, numbers)
    assert teams >= 1
    assert lockers >= 1
    assert 3 + teams * team_size + lockers == people
    best = row_hours(room, terms, numbers, *pair, teams, lockers).sum()
    for other in range(1, (people - 4) // team_size + 1):
        hours = row_hours(room, terms, numbers, *pair, other, people - 3 - other * team_size).sum()
        assert best <= hours * (1 + 1e-9)


def test_one_more_person_never_slows_a_edge_and_pays_less_and_less():
    def hours(people):
        return row_hours(
            area(), laying(), luck(), np.array([6.0, 7.0]), np.array([5.0, 6.0]), *best_split(people, area(), laying(), luck())
        ).sum()

    times = [hours(people) for people in range(6, 80)]
    assert all(after <= before * (1 + 1e-9) for before, after in pairwise(times))
    # Four people more, of which two carry and one locks, and at last the laying edge itself is the limit.
    assert times[0] - times[4] > 3 * (times[20] - times[24])
    assert times[-1] == times[-20] == pytest.approx(13 * 0.02 / 3 / 0.5)


def test_the_unit_learning_curve_shortens_every_doubling_by_the_same_rate():
    terms = laying(learning=0.9, learning_reference=10, learning_floor=0.01)
    assert [learned(terms, row) for row in (1, 10)] == [1.0, 1.0]
    assert [learned(terms, row) for row in (20, 40, 80)] == pytest.approx([0.9, 0.81, 0.729])
    assert learned(laying(learning=0.9, learning_reference=10, learning_floor=0.85), 40) == 0.85


@pytest.mark.parametrize(("width", "rows"), [(24, 1.0), (36, 1.5), (72, 3.0), (240, 10.0)])
def test_a_wide_edge_has_room_for_more_rows_in_work_than_a_narrow_one(width, rows):
    plan = plan_of(strip(area=[{"name": "strip", "length": "80 ft", "width": f"{width} ft"}]))
    assert plan.areas[0].rows_in_work == pytest.approx(rows)
