"""What happens when pallets run short, and when they only just suffice?"""

import pytest
from scenarios import strip
from small_runs import in_every_random_field, random_run, run, steps

from simulation.construction.plan.steps import END, NUMBER, START
from simulation.construction.trace.record import columns, make_record


def test_damage_beyond_the_spares_is_ordered_at_once_counted_and_laid():
    done = run(strip(laying={"damaged_mats": 0.2}, supply={"on_hand": 21, "total": 21, "spares": 0.0, "resupply": "30 h"}))
    stock = done.stock
    assert done.site.reached[0] is not None
    assert stock.ordered_full + stock.ordered_half > 0
    assert stock.supplied > 21
    record = dict(zip(columns(done.site.plan), make_record(done), strict=True))
    assert record["short.full mats"] == stock.ordered_full
    assert record["short.half mats"] == stock.ordered_half
    assert record["rejected.mats"] == stock.rejected_full + stock.rejected_half
    assert 11 * stock.supplied >= 220 + stock.rejected_full > 231  # what 21 pallets hold
    assert 2 * stock.supplied >= 40 + stock.rejected_half


def test_damage_that_the_spares_cover_makes_nobody_order_anything():
    done = run(strip(laying={"damaged_mats": 0.02}, supply={"on_hand": 26, "total": 26, "spares": 0.03}))
    assert done.stock.rejected_full + done.stock.rejected_half > 0
    assert (done.stock.ordered_full, done.stock.ordered_half) == (0, 0)
    assert steps(done, "resupply") == []


@in_every_random_field
def test_without_damage_pallets_that_cover_the_field_never_run_short(text):
    if "damaged_mats = 0.0\n" in text:
        done = random_run(text)
        assert (done.stock.ordered_full, done.stock.ordered_half) == (0, 0)


def test_an_exact_supply_over_different_widths_is_made_to_do_by_moving_what_is_left_over():
    areas = [
        {"name": "strip", "length": "26 ft", "width": "30 ft"},
        {"name": "pad", "length": "30 ft", "width": "78 ft"},
        {"name": "spur", "length": "14 ft", "width": "18 ft"},
    ]
    crew = [{"name": "red", "people": 12, "areas": ["strip", "pad", "spur"]}]
    # 13 + 15 + 7 half mats: 18 pallets hold 36. Each area by itself would take 7, 9 and 4 of them.
    done = run(strip(area=areas, crew=crew, supply={"on_hand": 18, "total": 18, "spares": 0.0}))
    assert done.site.reached[0] is not None
    assert steps(done, "moving left-over mats")
    assert (done.stock.ordered_full, done.stock.ordered_half) == (0, 0)
    assert len(steps(done, "forklift trips")) == 18


def test_the_two_edges_of_an_area_share_the_pallets_of_their_own_pool():
    # Two edges of 9 rows, a half mat each: nine pallets hold all 18, five at one edge and four at the other hold none to spare.
    area = [{"name": "strip", "length": "36 ft", "width": "30 ft", "start": "centre-out"}]
    done = run(strip(area=area, supply={"on_hand": 9, "total": 9, "spares": 0.0, "pools": "areas"}))
    assert done.site.reached[0] is not None
    assert (done.stock.ordered_full, done.stock.ordered_half) == (0, 0)


def test_areas_with_pools_of_their_own_leave_each_other_their_left_over_mats():
    areas = [{"name": name, "length": "18 ft", "width": "30 ft"} for name in ("strip", "pad")]
    crew = [{"name": "red", "people": 12, "areas": ["strip", "pad"]}]
    done = run(strip(area=areas, crew=crew, supply={"on_hand": 10, "total": 10, "spares": 0.0, "pools": "areas"}))
    assert done.site.reached[0] is not None
    assert steps(done, "moving left-over mats") == []
    assert (done.stock.ordered_full, done.stock.ordered_half) == (0, 0)


def test_a_shortage_is_ordered_once_and_not_again_while_it_is_on_its_way():
    done = run(strip(laying={"damaged_mats": 0.3}, supply={"on_hand": 21, "total": 21, "spares": 0.5, "resupply": "100 h"}))
    orders = steps(done, "resupply")
    assert len(orders) <= 2  # half the field's mats come with the first order
    assert done.site.reached[0][START] > orders[0][END]


def test_what_is_ordered_again_covers_what_the_damage_seen_so_far_says_is_missing():
    # A tenth of the mats is damaged, three in a hundred are spare: the first order brings about what all rows ahead will lack.
    area = [{"name": "strip", "length": "400 ft", "width": "72 ft"}]
    supply = {"on_hand": 103, "total": 103, "spares": 0.03, "resupply": "100 h"}
    orders, lacking = [], 0
    for run_number in range(8):
        done = run(strip(area=area, laying={"damaged_mats": 0.1}, supply=supply), run_number)
        orders.append([step[NUMBER] for step in steps(done, "resupply")])
        lacking += done.stock.rejected_full / 11
        assert done.site.reached[0] is not None
    assert sum(map(len, orders)) <= 2 * len(orders)
    assert sum(one[0] for one in orders) > 0.6 * (lacking - 0.03 * 100 * len(orders))


@pytest.mark.parametrize(
    ("starts", "hour", "day"), [("06:00", 0.0, 0), ("06:00", 17.9, 0), ("06:00", 18.0, 1), ("00:00", 47.9, 1)]
)
def test_a_day_at_the_gate_ends_at_local_midnight(starts, hour, day):
    done = run(strip(top={"starts": f"2031-04-02T{starts}:00"}))
    assert done.stock.day(hour) == day
