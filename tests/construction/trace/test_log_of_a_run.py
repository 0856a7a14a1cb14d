"""Does the log of a run, read back, say exactly how its field stood, and does a run that begins there come to a like end?"""

from dataclasses import replace
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from log_of_run import log_of_run
from scenarios import LITTLE, make_scenario, written
from small_runs import examples, opened_early, random_fields, random_run, run, scenarios
from state_of_run import state_of_run

from simulation.construction import compile_plan, simulate
from simulation.construction.plan.steps import END, KIND, MAKE_END
from simulation.construction.trace.balance import balances
from simulation.construction.trace.chain import PAST, hours_by_third
from simulation.scenario import ScenarioError, SiteLog, begin_by, parse_scenario


def left_at(scenario, run_number, at):
    """Return the state of a run that is left at a moment, and the scenario that its log begins."""
    run = simulate(compile_plan(scenario), run_number, until=at)
    return state_of_run(run, at), begin_by(scenario, SiteLog("log.csv", log_of_run(scenario, run, at)))


def says_how_it_stood(text, whole, part):
    """Hold the log of a run that is left after a part of its time to how its field stood, and return its plan."""
    scenario = parse_scenario(text)
    over = max((step[END] for step in whole.site.reached if step is not None), default=scenario.horizon)
    at = max(1, int(3600 * part * min(over, scenario.horizon * 0.99))) / 3600
    state, begun = left_at(scenario, 0, at)
    plan = compile_plan(begun)
    assert counts_of(plan.state) == state, part
    return plan


def comes_to_its_end(plan, whole, part):
    if any(step is None for step in whole.site.reached):
        return
    done = simulate(plan, 0)
    assert all(step is not None for step in done.site.reached), part
    for mats in balances(done):
        assert mats.accounted == mats.supplied, part


def counts_of(state):
    """Return a state without what each pallet holds: nobody counts that, it follows from the mats."""
    edges = tuple(replace(edge, staged_hold=()) for edge in state.edges)
    trucks = tuple(tuple(replace(truck, hold=()) for truck in fleet) for fleet in state.trucks)
    return replace(state, edges=edges, trucks=trucks, apart=None)


def test_the_log_of_a_run_says_exactly_how_its_field_stood_and_a_run_from_there_loses_no_mat_and_comes_to_its_end():
    # Every third random field is left after a part of its time: spread evenly, in no order.
    for number, text in enumerate(random_fields()[::3]):
        part = 0.01 + 0.98 * (0.618 * number % 1.0)
        plan = says_how_it_stood(text, random_run(text), part)
        if part > 0.1:
            comes_to_its_end(plan, random_run(text), part)


def test_a_temporary_end_that_stands_is_part_of_how_a_field_stands():
    stood = 0
    for number, text in enumerate(random_fields()[:24:2]):
        early = written(opened_early(text, Random(number)))
        whole = run(early)
        made = [step[END] for step in whole.site.trace if step[KIND] == MAKE_END]
        for at in made[-1:]:
            part = (at + 0.001) / max(step[END] for step in whole.site.reached if step is not None)
            plan = says_how_it_stood(early, whole, min(part, 1.0))
            stood += sum(edge.end_stands for edge in plan.state.edges)
            comes_to_its_end(plan, whole, part)
    assert stood > 3


@pytest.mark.slow
@given(scenarios(), st.floats(0.01, 0.99))
@examples(200)
def test_the_same_holds_in_two_hundred_fields(text, part):
    try:
        whole = run(text)
    except ScenarioError:
        return
    plan = says_how_it_stood(text, whole, part)
    if part > 0.1:
        comes_to_its_end(plan, whole, part)


@pytest.mark.parametrize("part", [0.3, 0.7])
def test_a_run_goes_on_with_the_luck_it_had(part):
    # Rows keep their own draws, so what comes out differs by little more than the row and the trip that were under way.
    scenario = make_scenario(LITTLE)
    for number in range(3):
        whole = simulate(compile_plan(scenario), number).site.reached[-1][END]
        at = int(3600 * part * whole) / 3600
        _, begun = left_at(scenario, number, at)
        assert simulate(compile_plan(begun), number).site.reached[-1][END] == pytest.approx(whole, abs=16.0)


def test_what_is_laid_stays_laid_and_no_step_begins_before_the_moment():
    _, begun = left_at(make_scenario(LITTLE), 1, 20.0)
    done = simulate(compile_plan(begun), 1)
    assert all(step[0] >= 20.0 for step in done.site.trace[1:])
    assert done.site.trace[0][:2] == (0.0, 20.0)


def test_with_everything_laid_every_run_is_the_truth():
    scenario = make_scenario(LITTLE)
    whole = simulate(compile_plan(scenario), 3)
    truth = whole.site.reached[-1][END]
    _, begun = left_at(scenario, 3, int(3600 * truth + 3600) / 3600)
    plan = compile_plan(begun)
    ends = {round(simulate(plan, number).site.reached[-1][END], 3) for number in range(5)}
    assert ends == {round(truth, 3)}


def test_an_empty_log_is_the_start_to_the_digit():
    scenario = parse_scenario(LITTLE)
    begun = begin_by(scenario, SiteLog("log.csv", "date,shift,crew,area,side,rows\n"))
    one, other = (simulate(compile_plan(plan), 5) for plan in (scenario, begun))
    assert [step[:2] for step in one.site.trace] == [step[:2] for step in other.site.trace]


def test_the_past_is_one_cause_and_thirds_are_of_what_is_left():
    _, begun = left_at(make_scenario(LITTLE), 1, 20.0)
    plan = compile_plan(begun)
    done = simulate(plan, 1)
    last = done.site.reached[plan.ready]
    early, middle, late = hours_by_third(last, done)
    left = last[END] - 20.0
    assert early[PAST] <= 20.0 and PAST not in middle and PAST not in late
    assert sum(early.values()) == pytest.approx(20.0 + left / 3)
    assert sum(middle.values()) == pytest.approx(left / 3)
    assert sum(late.values()) == pytest.approx(left / 3)
