"""A site log where full and half mats are packed apart: which pallets came, were opened and are left follows from the mats."""

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st
from log_of_run import log_of_run
from scenarios import make_scenario, strip

from simulation.construction import compile_plan, simulate, tell_log
from simulation.construction.plan.packing import count_mats, pack
from simulation.construction.plan.steps import END
from simulation.construction.site_log.packed_apart import open_pallets
from simulation.construction.trace.balance import balances
from simulation.scenario import Change, LogError, SiteLog, begin_by, vary

#: 40 rows of a strip 72 ft wide: 6 full mats, then 5 and 2 half ones. Pallets of 11 full and 2 half mats have room for 24 half.
TRUCK = {"count": 2, "pallets": 4, "load": "20 min", "haul": "30 min", "return": "20 min"}
HEAD = "date,shift,crew,rows,pallets received,half mats open,full mats open,under way\n"


def field(half_mats, **more):
    area = [{"name": "strip", "length": "80 ft", "width": "72 ft"}]
    supply = {"on_hand": 0, "total": 24, "half_mats": half_mats}
    return make_scenario(strip(area=area, supply=supply, **{"supply__trucks": [TRUCK]} | more))


def told(half_mats, lines, **more):
    return tell_log(begin_by(field(half_mats, **more), SiteLog("log.csv", HEAD + lines)))


def test_the_first_load_brings_two_pallets_of_half_mats_of_which_one_is_open_after_three_rows():
    # 6 + 5 + 6 = 17 full mats are of 2 pallets of 12, and 2 half ones of a pallet of 24: 7 and 22 are open, 24 half mats left.
    read = told("first", "2031-04-02,06:00-09:00,red,3,4,,,\n")
    (edge,) = read.state.edges
    assert (edge.open_full, edge.open_half) == (7, 22)
    assert count_mats([*edge.staged_hold, *read.state.apart.yard]) == (0, 24)
    assert read.state.apart.by_port == (24, 48)
    assert any("packed apart" in line for line in read.taken)


def test_half_mats_that_come_last_are_on_the_road_by_then_and_on_the_truck_that_is_in_the_yard():
    # 22 of 24 pallets: of full mats alone. The truck in the yard has the last two, of half mats.
    at = "2031-04-02,09:00,,,,,,truck 1.1 unloading 08:55 2 pallets\n"
    read = told("last", "2031-04-02,06:00-09:00,red,1,24,,,\n" + at)
    assert read.state.trucks[0][0].hold == ((0, 24), (0, 24))
    assert (read.state.edges[0].open_full, read.state.edges[0].open_half) == (6, 0)
    assert read.state.mats_waiting == (0, 48)


def test_rows_that_took_half_mats_which_cannot_have_come_are_named():
    with pytest.raises(LogError, match=r"line 2.*12 half mats.*half mats last.*supply.half_mats"):
        told("last", "2031-04-02,06:00-09:00,red,12,16,,,\n")


def test_without_a_count_of_what_came_as_much_came_as_the_rows_took():
    # Half mats stand on the last two of 24 pallets: 12 rows take 12 of them, so 23 had come.
    text = "date,shift,crew,rows\n2031-04-02,06:00-09:00,red,12\n"
    assert tell_log(begin_by(field("last"), SiteLog("log.csv", text))).state.came == 23


@pytest.mark.parametrize("half_mats", ["first", "last"])
@pytest.mark.parametrize("stock", [True, False])
def test_a_run_goes_on_to_the_end_that_it_had(half_mats, stock):
    scenario = field(half_mats, supply__trucks=[TRUCK | {"count": 1, "haul": "90 min"}])
    whole = simulate(compile_plan(scenario), 0).site.reached[-1][END]
    for part in (0.3, 0.6, 0.9):
        at = int(3600 * part * whole) / 3600
        log = SiteLog("log.csv", log_of_run(scenario, simulate(compile_plan(scenario), 0, until=at), at, stock))
        done = simulate(compile_plan(begin_by(scenario, log)), 0)
        if stock:  # else nobody says that a truck is on the road
            assert done.site.reached[-1][END] == pytest.approx(whole, abs=0.75)
        assert all(balance.supplied == balance.accounted for balance in balances(done))


@pytest.mark.parametrize("order", ["on every pallet", "first", "last"])
def test_what_is_left_at_the_port_may_be_tried_packed_in_another_way_and_no_mat_is_lost(order):
    scenario = field("first")
    log = SiteLog("log.csv", log_of_run(scenario, simulate(compile_plan(scenario), 0, until=2.0), 2.0))
    begun = begin_by(scenario, log)
    came = compile_plan(begun).state.apart.by_port
    assert came[1] > 2 * came[0] / 11
    done = simulate(compile_plan(vary(begun, [Change("supply.half_mats", order)])), 0)
    assert all(balance.supplied == balance.accounted for balance in balances(done))
    comes = count_mats(pallet for load in done.board.arrived for pallet in load.mats)
    waited = compile_plan(begun).state.mats_waiting
    assert (comes[0] - waited[0] + came[0], comes[1] - waited[1] + came[1]) == (24 * 11, 24 * 2)


@given(st.integers(1, 20), st.integers(2, 12), st.integers(1, 300), st.integers(0, 60), st.randoms(use_true_random=False))
def test_whatever_was_opened_is_found_again_to_the_mat(full, half, pallets, here, luck):
    pool = Counter([*pack(pallets, full, half, half_first=True), *[(full, half)] * here])
    opened = Counter({pallet: luck.randint(0, count) for pallet, count in pool.items()})
    mats = count_mats(opened.elements())
    found = open_pallets(pool, mats, 2 * full + half)
    assert count_mats(found.elements()) == mats
    assert found <= pool


@given(st.integers(1, 300), st.integers(0, 400), st.integers(0, 400))
def test_pallets_that_were_opened_hold_what_was_laid_and_less_than_one_of_each_kind_more(pallets, full, half):
    pool = Counter(pack(pallets, 11, 2, half_first=False))
    found = open_pallets(pool, (full, half), 24)
    if found is None:
        assert full > 11 * pallets or half > 2 * pallets
        return
    held = count_mats(found.elements())
    assert full <= held[0] < full + 12 + 12 and half <= held[1] < half + 24 + 24
