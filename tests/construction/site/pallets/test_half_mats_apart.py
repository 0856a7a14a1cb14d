"""The order of loading: half mats first or last, on pallets of their own, whatever brings them."""

import math

import pytest
from log_of_run import log_of_run
from scenarios import LITTLE, SHORT, changed, make_scenario, strip
from small_runs import plan_of, run, steps

from simulation.construction import compile_plan, simulate
from simulation.construction.check.without_effect import without_effect
from simulation.construction.plan.steps import ACTOR, END, START
from simulation.construction.trace.balance import balances
from simulation.field import take_off
from simulation.questions.bottlenecks.ideas import list_ideas
from simulation.questions.forecast.single_run.mats import follow_mats
from simulation.questions.plan.limits import Limits
from simulation.questions.plan.usual_choices import usual_choices
from simulation.scenario import Change, SiteLog, begin_by, vary

APART = ["first", "last"]
#: 40 rows of a strip 72 ft wide, and pallets of 11 full and 2 half mats.
TRUCK = {"count": 2, "pallets": 4, "load": "20 min", "haul": "30 min", "return": "20 min"}
SHIP = {"pallets": 12, "comes": "30 h", "discharge": "6 min", "lot": 4}


def field(half_mats, supply=None, **more):
    area = [{"name": "strip", "length": "80 ft", "width": "72 ft"}]
    supply = {"on_hand": 0, "total": 24, "half_mats": half_mats} | (supply or {})
    return strip(supply=supply, **({"area": area, "supply__trucks": [TRUCK]} | more))


def loads(done, kind_of_actor):
    """Return what the pallets of each load held, in the order in which they came."""
    return [load.mats for load in done.board.arrived if done.actors[load.came[ACTOR]].kind == kind_of_actor]


def test_loads_bring_the_half_mats_first_or_last_and_every_mat_comes_either_way():
    first, last = (loads(run(field(order)), "truck") for order in APART)
    assert first[0] == ((0, 24), (0, 24), (12, 0), (12, 0))
    assert last[-1][-2:] == ((0, 24), (0, 24))
    for mats in (first, last):
        assert tuple(map(sum, zip(*(pallet for load in mats for pallet in load), strict=True))) == (24 * 11, 24 * 2)


@pytest.mark.parametrize("order", APART)
def test_a_shipment_is_packed_for_itself_and_so_is_what_trucks_bring(order):
    done = run(field(order, supply__shipments=[SHIP]))
    for who in ("truck", "shipment"):
        pallets = [pallet for load in loads(done, who) for pallet in load]
        assert pallets.index((0, 24)) == (0 if order == "first" else 11)
        assert len(pallets) == 12


def test_half_mats_that_come_last_let_nobody_lay_a_row_before_they_are_there():
    area = [{"name": "strip", "length": "80 ft", "width": "78 ft"}]  # a half mat in every row
    done = run(field("last", area=area, supply={"total": 36}))
    came = [load.came[END] for load in done.board.arrived if any(half for _, half in load.mats)]
    assert steps(done, "laying rows")[0][START] > min(came)
    assert {what for _, what, *_ in done.site.waits} >= {"full and half mats", "half mats"}
    assert done.site.reached[-1] is not None


@pytest.mark.parametrize("order", APART)
def test_a_shipment_that_never_comes_takes_its_share_of_both_kinds_and_what_lacks_is_ordered_again(order):
    plan = compile_plan(
        make_scenario(
            changed(SHORT, weather={"model": "none"}),
            supply={"on_hand": 4, "total": 12, "half_mats": order, "shipments": [SHIP | {"pallets": 8, "chance": 0.5}]},
        )
    )
    runs = [simulate(plan, number) for number in range(10, 30)]
    assert 5 <= sum(bool(done.stock.never_came) for done in runs) <= 15
    for done in runs:
        assert done.site.reached[-1] is not None
        for balance in balances(done):
            assert balance.supplied == balance.accounted
            assert min(vars(balance).values()) >= 0


@pytest.mark.parametrize("order", APART)
def test_mats_damaged_beyond_the_spares_are_ordered_again_and_the_field_is_laid(order):
    for number in range(5):
        done = simulate(plan_of(field(order, laying={"damaged_mats": 0.2}, supply={"total": 22, "resupply": "1 day"})), number)
        assert loads(done, "resupply")
        assert done.site.reached[-1] is not None
        assert all(balance.supplied == balance.accounted for balance in balances(done))


def test_what_comes_of_either_kind_in_one_run_is_what_was_unloaded():
    done = run(field("first"))
    full, half = follow_mats(done, done.site.trace)
    assert (full.come[-1][1], half.come[-1][1]) == (24 * 11, 24 * 2)
    assert half.come[1][1] == 48 > full.come[1][1] == 24


def test_take_off_and_pallets_are_the_same_however_they_are_packed():
    quantities = [
        take_off(vary(make_scenario(LITTLE), [Change("supply.half_mats", order)])) for order in ("on every pallet", *APART)
    ]
    assert quantities[0] == quantities[1] == quantities[2]


def test_what_is_still_to_come_may_be_tried_packed_apart():
    scenario = make_scenario(LITTLE)
    log = SiteLog("log.csv", log_of_run(scenario, simulate(compile_plan(scenario), 1, until=8.0), 8.0))
    tried = compile_plan(vary(begin_by(scenario, log), [Change("supply.half_mats", "last")]))
    done = simulate(tried, 0)
    assert math.isfinite(done.site.reached[-1][END])
    assert all(balance.supplied == balance.accounted for balance in balances(done))
    to_come = [pallet for load in done.board.arrived for pallet in load.mats]
    assert to_come[-1] == (2, 20)  # ten pallets are still to come, which leave room for no pallet of half mats alone
    assert tuple(map(sum, zip(*to_come, strict=True))) == (11 * len(to_come), 2 * len(to_come))


@pytest.mark.parametrize(
    ("tables", "why"),
    [
        (changed(SHORT, supply={"half_mats": "first"}), "no pallet is to come"),
        (field("last", mat={"pallet_full": 12, "pallet_half": 1}, supply={"total": 40}), "a single half mat"),
    ],
)
def test_an_order_that_changes_nothing_is_told(tables, why):
    (said,) = [str(one) for one in without_effect(make_scenario(tables)) if one.key == "supply.half_mats"]
    assert why in said


def test_the_other_order_is_tried_where_half_mats_hold_edges_up_and_where_it_is_written_so():
    area = [{"name": "strip", "length": "80 ft", "width": "78 ft"}]
    late = make_scenario(field("last", area=area, supply={"total": 36}, supply__trucks=[TRUCK | {"count": 1, "haul": "4 h"}]))
    ideas = {idea.name for idea in list_ideas(late)}
    assert {"half mats on every pallet", "half mats on pallets of their own, first"} <= ideas
    words = {option.words for choice in usual_choices(late, Limits()) for option in choice}
    assert {"half mats first", "half mats on every pallet"} <= words
    plain = make_scenario(field("on every pallet"))
    assert not any("half mats" in option.words for choice in usual_choices(plain, Limits()) for option in choice)
