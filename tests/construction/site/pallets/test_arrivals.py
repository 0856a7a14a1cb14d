"""Loads whose hours are known beforehand, and pallets that hold full mats or half mats alone."""

import math
from dataclasses import replace

import pytest
from scenarios import LITTLE, SHORT, make_scenario

from simulation.construction import compile_plan, make_record, simulate
from simulation.construction.plan.plan_parts import Arrival
from simulation.construction.plan.steps import ARRIVAL, END, KIND, KINDS
from simulation.construction.trace.balance import balances
from simulation.construction.trace.record import columns


def supplied(scenario, arrivals, on_hand=0):
    plan = compile_plan(scenario)
    return replace(plan, supply=replace(plan.supply, on_hand=on_hand, total=on_hand, fleets=(), flights=(), arrivals=arrivals))


def ready(plan, run=0):
    last = simulate(plan, run).site.reached[plan.ready]
    return math.inf if last is None else last[END]


def sorted_pallets(scenario, more=0):
    """Pallets that hold enough for the field, full mats and half mats apart."""
    plan = compile_plan(scenario)
    full, half = (sum(sum(getattr(edge, kind)) for edge in plan.edges) for kind in ("full", "half"))
    return (*((12, 0),) * (math.ceil(full / 12) + more), *((0, 24),) * (math.ceil(half / 24) + more))


def test_what_came_before_the_start_is_as_good_as_on_hand_to_the_digit():
    for tables in (SHORT, LITTLE):
        scenario = make_scenario(tables, supply={"on_hand": 60})
        plan = compile_plan(scenario)
        for run in range(5):
            stands = replace(plan, supply=replace(plan.supply, on_hand=60, total=60, fleets=(), flights=()))
            came = supplied(scenario, (Arrival(-3.0, ((11, 2),) * 40), Arrival(0.0, ((11, 2),) * 20)))
            assert ready(came, run) == pytest.approx(ready(stands, run), abs=1e-9)


def test_a_field_is_laid_from_pallets_of_one_kind_each_and_no_mat_is_lost():
    scenario = make_scenario(LITTLE, laying={"damaged_mats": 0.1})
    for run in range(8):
        done = simulate(supplied(scenario, (Arrival(0.0, sorted_pallets(scenario)), Arrival(30.0, ((11, 2),)))), run)
        assert done.site.reached[done.site.plan.ready] is not None
        for balance in balances(done):
            assert balance.supplied == balance.accounted


def test_nothing_is_laid_before_the_half_mats_come_and_the_chain_says_so():
    scenario = make_scenario(SHORT)
    pallets = sorted_pallets(scenario, more=2)
    full, half = [one for one in pallets if one[0]], [one for one in pallets if one[1]]
    plan = supplied(scenario, (Arrival(1.0, tuple(full)), Arrival(100.0, tuple(half))))
    run = simulate(plan, 0)
    assert [step[END] for step in run.site.trace if step[KIND] == ARRIVAL] == [1.0, 100.0]
    assert all(step[END] > 100.0 for step in run.site.trace if KINDS[step[KIND]].name == "laying rows" and step[7] > 1)
    record = dict(zip(columns(plan), make_record(run), strict=True))
    by_cause = {}
    for name, hours in record.items():
        if name.startswith("cause."):
            by_cause[name.split(".", 2)[2]] = by_cause.get(name.split(".", 2)[2], 0.0) + hours
    assert max(by_cause, key=by_cause.get) == KINDS[ARRIVAL].name
    assert sum(by_cause.values()) == pytest.approx(run.site.reached[plan.ready][END])


def test_mats_that_never_come_are_ordered_again_when_nothing_left_serves():
    scenario = make_scenario(SHORT)
    plan = supplied(scenario, (Arrival(1.0, ((12, 0),) * 12),))
    run = simulate(plan, 0)
    assert run.stock.ordered_half > 0 and run.site.reached[plan.ready] is not None


def test_earlier_loads_make_no_run_later_by_more_than_half_an_hour():
    scenario = make_scenario(LITTLE, weather={"model": "none"})
    pallets = sorted_pallets(scenario, more=3)
    loads = [pallets[first::6] for first in range(6)]
    slow, quick = (
        supplied(scenario, tuple(Arrival(every * (n + 1), load) for n, load in enumerate(loads))) for every in (30.0, 15.0)
    )
    runs = range(15)
    assert sorted(ready(quick, run) for run in runs)[7] <= sorted(ready(slow, run) for run in runs)[7] + 0.5


def test_sorted_pallets_that_suffice_are_as_good_as_mixed_ones_and_nothing_is_ordered():
    scenario = make_scenario(LITTLE, weather={"model": "none"}, forklifts={"breakdown_every": "100000 h"})
    mixed = supplied(scenario, (), on_hand=60)
    apart = supplied(scenario, (Arrival(0.0, sorted_pallets(scenario, more=2)),))
    differ = []
    for run in range(10):
        done = simulate(apart, run)
        assert done.stock.ordered_full == done.stock.ordered_half == 0
        differ.append(done.site.reached[apart.ready][END] - ready(mixed, run))
    assert abs(sorted(differ)[5]) < 1.0


def test_where_half_mats_alone_are_short_half_mats_alone_are_the_lack_that_is_ordered_for():
    scenario = make_scenario(LITTLE, laying={"damaged_mats": 0.0})
    full, half = (tuple(one for one in sorted_pallets(scenario) if one[kind]) for kind in (0, 1))
    plan = supplied(scenario, (Arrival(0.0, (*full, *half[:-1])),))
    for run in range(6):
        done = simulate(plan, run)
        lack = done.stock.need_half - sum(pallet[1] for pallet in half[:-1])
        assert done.site.reached[plan.ready] is not None
        assert (done.stock.ordered_full, done.stock.ordered_half) == (0, lack)
