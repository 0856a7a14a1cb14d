"""Ships, barges and airdrops: they come on dates of their own, or do not, and are brought off lot by lot."""

import math

import pytest
from log_of_run import log_of_run
from scenarios import LITTLE, SHORT, changed, make_scenario

from simulation.construction import compile_plan, make_record, simulate
from simulation.construction.check.after_the_horizon import after_the_horizon
from simulation.construction.plan.steps import DISCHARGE, END, KIND, KINDS, SHIPMENT, START
from simulation.construction.trace.balance import balances
from simulation.construction.trace.record import columns
from simulation.questions.slip.delays import delayable_items
from simulation.scenario import SiteLog, begin_by
from simulation.scenario.types.mistakes import LogError

NEED = 12
SURE = {"pallets": NEED, "comes": "30 h", "discharge": "6 min", "lot": 5}
DRY = {"weather": {"model": "none"}}


def shipped(*shipments, on_hand=0, tables=SHORT, **more):
    return make_scenario(tables, supply={"on_hand": on_hand, "total": NEED, "shipments": list(shipments), **more}, **DRY)


def ready(run):
    last = run.site.reached[run.site.plan.ready]
    return math.inf if last is None else last[END]


def steps(run, kind):
    return [step for step in run.site.trace if step[KIND] == kind]


def test_it_comes_on_its_date_and_each_lot_takes_its_pallets_times_the_time_of_one():
    run = simulate(compile_plan(shipped({**SURE, "put_off": "4 h"})), 0)
    assert [step[END] for step in steps(run, SHIPMENT)] == [34.0]
    port = run.site.clocks["port"]
    lots = [(step[7], port.worked(step[START], step[END])) for step in steps(run, DISCHARGE)]
    assert lots == [(5, pytest.approx(0.5)), (5, pytest.approx(0.5)), (2, pytest.approx(0.2))]
    assert ready(run) > 34.0
    for balance in balances(run):
        assert balance.supplied == balance.accounted


def test_its_hours_stand_in_the_chain_and_all_causes_sum_to_the_milestone():
    plan = compile_plan(shipped(SURE))
    run = simulate(plan, 0)
    by_cause = {}
    for name, hours in dict(zip(columns(plan), make_record(run), strict=True)).items():
        if name.startswith("cause."):
            by_cause[name.split(".", 2)[2]] = by_cause.get(name.split(".", 2)[2], 0.0) + hours
    assert by_cause[KINDS[SHIPMENT].name] == pytest.approx(30.0)
    assert by_cause[KINDS[DISCHARGE].name] > 0.4
    assert sum(by_cause.values()) == pytest.approx(ready(run))


def test_with_a_date_before_anything_could_be_laid_it_is_nearly_as_good_as_on_hand():
    always = changed(SHORT, shifts__all={"hours": ["00:00-24:00"], "lighting": True})
    stands = ready(simulate(compile_plan(shipped(on_hand=NEED, tables=always)), 0))
    comes = ready(simulate(compile_plan(shipped({**SURE, "comes": "1 s", "discharge": "1 s", "lot": 12}, tables=always)), 0))
    assert stands <= comes <= stands + 2.0  # a forklift has to unload it


def test_of_many_dates_as_many_are_missed_as_the_chance_says_and_a_better_chance_is_never_later():
    lands = {}
    for chance in (0.3, 0.6):
        plan = compile_plan(shipped({**SURE, "chance": chance, "again": "48 h"}))
        lands[chance] = [steps(simulate(plan, run), SHIPMENT)[0][END] for run in range(150)]
        missed = sum((hour - 30.0) / 48.0 for hour in lands[chance]) / 150
        sd = math.sqrt((1 - chance) / chance**2 / 150)
        assert missed == pytest.approx((1 - chance) / chance, abs=3.5 * sd)
    assert all(worse >= better for worse, better in zip(lands[0.3], lands[0.6], strict=True))


def test_what_never_comes_is_ordered_again_from_its_date_on_and_no_mat_is_lost():
    plan = compile_plan(shipped({**SURE, "pallets": 8, "chance": 0.5}, on_hand=4, resupply="2 day"))
    runs = [simulate(plan, run) for run in range(100)]
    lost = [run for run in runs if run.stock.never_came]
    assert 33 <= len(lost) <= 67
    for run in runs:
        assert math.isfinite(ready(run))
        for balance in balances(run):
            assert balance.supplied == balance.accounted
    assert all(run.stock.never_came == {0: 8} and ready(run) > 78.0 for run in lost)
    assert min(map(ready, lost)) > max(ready(run) for run in runs if not run.stock.never_came)


def test_trucks_bring_only_what_is_not_kept_for_it():
    scenario = changed(LITTLE, supply={"shipments": [{"pallets": 20, "comes": "3 day", "chance": 0.5}]}, **DRY)
    plan = compile_plan(make_scenario(scenario))
    for number in range(6):
        run = simulate(plan, number)
        by_truck = sum(len(load.luck) for load in run.board.arrived if run.actors[load.came[5]].kind == "truck")
        assert by_truck <= plan.supply.total - plan.supply.on_hand - 20


def test_lots_wait_at_the_gate_for_a_day_that_has_room():
    run = simulate(compile_plan(shipped(SURE, per_day_limit=5)), 0)
    days = [run.stock.day(load.came[END]) for load in run.board.arrived]
    assert days == [days[0], days[0] + 1, days[0] + 2]


def test_a_log_by_which_one_never_comes_takes_off_the_pallets_that_were_kept_for_it_and_no_more():
    # Of eight on its list four were left to bring; eight would be ordered again where four are short.
    scenario = shipped({**SURE, "pallets": 8, "chance": 0.5}, on_hand=8, resupply="2 day")
    plan = compile_plan(scenario)
    number = next(run for run in range(20) if simulate(plan, run).stock.never_came)
    run = simulate(plan, number, until=40.0)
    begun = compile_plan(begin_by(scenario, SiteLog("log.csv", log_of_run(scenario, run, 40.0))))
    after = simulate(begun, number)
    assert run.stock.never_came == after.stock.never_came == {0: 4}
    assert after.stock.supplied == run.stock.supplied


@pytest.mark.parametrize(
    ("comes", "said"),
    [
        ("21 day", "21 days is after the last day simulated, 20 (horizon), so no run sees it"),
        (
            {"p10": "40 day", "p90": "50 day"},
            "days on average is after the last day simulated, 20 (horizon), so no run sees it",
        ),
        ({"p10": "10 day", "p90": "60 day"}, "so only runs in which it is early see it"),
        ({"p10": "10 day", "p90": "20 day"}, ""),
    ],
)
def test_one_that_comes_after_the_last_day_simulated_is_told_by_the_whole_of_its_range(comes, said):
    scenario = shipped({**SURE, "comes": comes})
    found = [str(one) for one in after_the_horizon(scenario)]
    assert (said in found[0]) if said else not found
    (late,) = (late for late in delayable_items(scenario) if late.name == "supply")
    assert all(hour >= scenario.horizon for hour in late.since) is ("no run" in said)


def test_what_comes_late_is_called_by_the_name_of_the_shipment_where_it_bears_one():
    two = shipped({**SURE, "pallets": 6, "name": "heron"}, {**SURE, "pallets": 6})
    assert [late.called for late in delayable_items(two, ("supply.shipments.1", "supply.shipments.2"))] == [
        "shipment heron",
        "shipment 2",
    ]


def test_a_log_by_which_all_came_and_a_shipment_never_comes_is_refused():
    # Else fewer than none would be to come, and nobody would order what lacks.
    scenario = shipped({**SURE, "pallets": 8, "chance": 0.5}, on_hand=4)
    lines = "date,shift,crew,people,rows,hours worked,pallets received,under way\n2031-04-03,06:00-12:00,red,16,4,5,{},{}\n"
    came = SiteLog("log.csv", lines.format(8, "shipment 1 never comes"))
    with pytest.raises(LogError, match="12 pallets came, with those on hand, and 12 are to come in all, 8 of them on shipments"):
        compile_plan(begin_by(scenario, came))
    assert compile_plan(begin_by(scenario, SiteLog("log.csv", lines.format(0, "shipment 1 never comes")))).state.came == 4
