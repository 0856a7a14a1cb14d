"""What luck does a row have, whoever lays it?"""

import numpy as np
import pytest
from scenarios import strip
from small_runs import plan_of

from simulation.chance import Streams, draw_levels
from simulation.construction import simulate
from simulation.construction.site.edges.area_draws import AreaLuck


def luck_of(tables, run_number=0, area=0):
    plan = plan_of(tables)
    streams = Streams(plan.seed, run_number)
    return AreaLuck(plan, plan.areas[area], draw_levels(plan.levels, streams), streams)


def strip_of(rows, width="72 ft", **more):
    return [{"name": "strip", "length": f"{2 * rows} ft", "width": width, **more}]


@pytest.mark.parametrize("share", [0.01, 0.1, 0.4])
def test_as_many_mats_are_rejected_as_their_share_says(share):
    lucks = [
        luck_of(strip(area=strip_of(2000), laying={"damaged_mats": share}, supply={"on_hand": 2000}), one) for one in range(5)
    ]
    pieces = 5 * 2000 * 6.5
    rejected = sum(sum(map(sum, luck.rejected.values())) for luck in lucks)
    assert rejected == pytest.approx(pieces * share, abs=4 * (pieces * share * (1 - share)) ** 0.5)


def test_the_mats_rejected_of_a_row_are_binomial():
    luck = luck_of(strip(area=strip_of(20000), laying={"damaged_mats": 0.2}, supply={"on_hand": 20000}))
    counts = np.bincount([sum(luck.rejected.get(row, (0, 0))) for row in range(0, 20000, 2)], minlength=7)  # six full mats
    expected = [10000 * chance for chance in (0.262144, 0.393216, 0.24576, 0.08192, 0.01536, 0.001536)]
    for count, mean in zip(counts[:6], expected, strict=True):
        assert count == pytest.approx(mean, abs=4 * mean**0.5 + 1)


@pytest.mark.parametrize(
    ("width", "kinds"),
    [
        ("72 ft", {0: (6, 0), 1: (5, 2)}),
        ("30 ft", {0: (2, 1), 1: (2, 1)}),
        ("12 ft", {0: (1, 0), 1: (0, 2)}),
        ("6 ft", {0: (0, 1), 1: (0, 1)}),
    ],
)
@pytest.mark.parametrize("start", ["one-end", "centre-out"])
@pytest.mark.parametrize("rows", [2, 3, 40])
def test_a_row_rejects_no_kind_of_mat_that_it_does_not_have(width, kinds, start, rows):
    for run_number in range(30):
        luck = luck_of(
            strip(area=strip_of(rows, width, start=start), laying={"damaged_mats": 0.3}, supply={"on_hand": 100}), run_number
        )
        for row, (full, half) in luck.rejected.items():
            has_full, has_half = kinds[row % 2]
            assert not (full and not has_full), row
            assert not (half and not has_half), row


def test_a_larger_share_of_damage_rejects_what_a_smaller_one_did_and_more():
    few, many = (
        luck_of(strip(area=strip_of(400), laying={"damaged_mats": share}, supply={"on_hand": 600})).rejected
        for share in (0.02, 0.1)
    )
    assert set(few) < set(many)
    assert all(sum(many[row]) >= sum(mats) for row, mats in few.items())


@pytest.mark.parametrize("start", ["low", "high"])
def test_a_row_takes_as_long_from_whichever_end_its_edge_comes(start):
    tables = strip(area=strip_of(40), laying={"place": {"mean": "40 s", "scatter": 0.5}})
    from_low = simulate(plan_of(tables), 7)
    tables["area"] = strip_of(40, **{"from": start})
    done = simulate(plan_of(tables), 7)
    hours = done.site.areas[0].luck.row_hours(done.site.plan.edges[0], 12)
    reference = from_low.site.areas[0].luck.row_hours(from_low.site.plan.edges[0], 12)
    assert len(set(hours)) > 30  # lockers bind a few
    assert hours == (reference if start == "low" else reference[::-1])


def test_both_edges_of_a_centre_out_area_have_between_them_the_rows_of_a_one_end_area():
    tables = strip(area=strip_of(40), laying={"place": {"mean": "40 s", "scatter": 0.5}})
    one = simulate(plan_of(tables), 7)
    tables["area"] = strip_of(40, start="centre-out")
    two = simulate(plan_of(tables), 7)
    low, high = (two.site.areas[0].luck.row_hours(edge, 12) for edge in two.site.plan.edges)
    assert low[::-1] + high == one.site.areas[0].luck.row_hours(one.site.plan.edges[0], 12)


def test_a_row_inside_an_end_ramp_takes_the_stated_multiple():
    plain, ramps = (
        luck_of(strip(area=strip_of(40, end_ramps=end_ramps), laying={"ramp_row": 1.5})) for end_ramps in (False, True)
    )
    edge = plan_of(strip(area=strip_of(40))).edges[0]
    ratio = np.divide(ramps.row_hours(edge, 12), plain.row_hours(edge, 12))
    assert ratio.tolist() == pytest.approx([1.5] * 5 + [1.0] * 30 + [1.5] * 5)


def test_a_row_with_rejected_mats_takes_longer_by_carrying_them():
    sound, damaged = (luck_of(strip(area=strip_of(40), laying={"damaged_mats": share})) for share in (0.0, 0.1))
    edge = plan_of(strip(area=strip_of(40))).edges[0]
    hours = zip(sound.row_hours(edge, 12), damaged.row_hours(edge, 12), strict=True)
    for row, (before, after) in enumerate(hours):
        pieces = 6 + row % 2
        more = sum(damaged.rejected.get(row, (0, 0)))
        assert after == pytest.approx(before * (pieces + more) / pieces)
