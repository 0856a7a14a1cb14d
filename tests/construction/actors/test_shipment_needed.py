"""A task may need a shipment by its name: it begins when all of it is unloaded, and never where that never comes."""

import math

import pytest
from log_of_run import log_of_run
from scenarios import SHORT, make_scenario

from simulation.construction import compile_plan, make_record, simulate
from simulation.construction.check.tasks_left import may_never_begin
from simulation.construction.plan.steps import ACTOR, END, KIND, NOT_DELIVERED, SHIPMENT, START, TASK, UNLOAD
from simulation.construction.trace.chain import hours_by_cause
from simulation.construction.trace.outrun import last_under_way
from simulation.construction.trace.record import columns
from simulation.scenario import ScenarioError, SiteLog, begin_by

SHIP = {"name": "heron", "pallets": 8, "comes": "30 h", "discharge": "6 min", "lot": 5}
GEAR = {"name": "gear", "after": [{"shipment": "heron"}], "pieces": 4, "each": "1 h"}
MILESTONES = [
    {"name": "strip open", "areas": ["strip"], "ready": True},
    {"name": "gear set", "areas": ["strip"], "tasks": ["gear"]},
]


def with_ship(*, on_hand=4, task=GEAR, milestone=MILESTONES, **ship):
    supply = {"on_hand": on_hand, "total": 12, "shipments": [SHIP | ship]}
    return make_scenario(SHORT, supply=supply, task=[task], milestone=milestone, weather={"model": "none"})


def task_steps(run):
    return [step for step in run.site.trace if step[KIND] == TASK]


def test_the_task_begins_when_the_last_lot_is_unloaded_and_the_ship_stands_in_its_chain():
    run = simulate(compile_plan(with_ship()), 0)
    unloaded = [step[END] for step in run.site.trace if step[KIND] == UNLOAD]
    assert task_steps(run)[0][START] == max(unloaded) > 30.0
    causes = hours_by_cause(run.site.reached[1], run)
    assert causes["waiting for a shipment"] == pytest.approx(30.0)
    assert math.fsum(causes.values()) == pytest.approx(run.site.reached[1][END])


def test_without_the_need_nothing_waits_and_the_laying_of_the_field_is_the_same_to_the_bit():
    free, bound = (simulate(compile_plan(with_ship(task=GEAR | more)), 0) for more in ({"after": []}, {}))
    assert task_steps(free)[0][START] == 0.0
    assert free.site.reached[0][END] == bound.site.reached[0][END]


def test_where_the_ship_never_comes_the_task_never_begins_and_that_is_what_its_milestone_waits_for():
    scenario = with_ship(chance=0.5)
    plan = compile_plan(scenario)
    runs = [simulate(plan, number) for number in range(10, 30)]
    lost = [run for run in runs if run.stock.never_came]
    assert 5 <= len(lost) <= 15
    for run in lost:
        assert not task_steps(run) and run.site.reached[0] is not None and run.site.reached[1] is None
        last = last_under_way(run)
        assert last[KIND] == NOT_DELIVERED and run.actors[last[ACTOR]].name == "gear"
        assert SHIPMENT in {step[KIND] for step in (last, last[2])}
        record = dict(zip(columns(plan), make_record(run), strict=True))
        assert math.isinf(record["milestone.gear set"]) and math.isfinite(record["milestone.strip open"])
    (said,) = map(str, may_never_begin(scenario))
    assert said.startswith("task.gear.after.1.shipment: heron never comes with a chance of 50 %, and then gear never begins")
    assert not list(may_never_begin(with_ship(chance=0.5, again="2 day")))


def test_a_ship_whose_pallets_are_there_already_still_brings_what_the_task_needs():
    run = simulate(compile_plan(with_ship(on_hand=12)), 0)
    assert run.site.reached[0][END] < task_steps(run)[0][START] == 30.0


@pytest.mark.parametrize(
    ("need", "said"),
    [
        ({"shipment": "herron"}, 'task.gear.after.1.shipment: there is no shipment "herron"; did you mean heron?'),
        ({"shipment": "heron", "load": 1}, "task.gear.after.1: names more than one of area, task, load, shipment and date"),
    ],
)
def test_an_unknown_shipment_is_refused_with_its_key_and_what_is_right(need, said):
    with pytest.raises(ScenarioError) as caught:
        with_ship(task=GEAR | {"after": [need]})
    assert str(caught.value.mistakes[0]).startswith(said)


def test_two_shipments_of_one_name_and_a_name_that_none_bears_are_refused():
    with pytest.raises(ScenarioError, match=r"2 shipments bear this name; give each its own"):
        make_scenario(SHORT, supply={"on_hand": 2, "shipments": [SHIP, SHIP]})
    with pytest.raises(ScenarioError, match=r'write name = "heron" in one of \[\[supply.shipments\]\]'):
        make_scenario(SHORT, supply={"on_hand": 12, "shipments": []}, task=[GEAR])


@pytest.mark.parametrize(("at", "begun"), [(20.0, False), (60.0, True)])
def test_a_log_says_what_the_ship_has_brought_and_the_task_waits_for_the_rest(at, begun):
    scenario = with_ship(task=GEAR | {"pieces": 40})
    run = simulate(compile_plan(scenario), 0, until=at)
    plan = compile_plan(begin_by(scenario, SiteLog("log.csv", log_of_run(scenario, run, at))))
    assert (plan.state.shipped(0) == 8) is begun
    after = simulate(plan, 0)
    assert after.site.reached[1] is not None
    assert (task_steps(after)[0][START] == at) is begun
