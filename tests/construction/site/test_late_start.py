"""Who is not there at the start does nothing before it comes, and what that costs is charged to it."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scenarios import strip
from small_runs import examples, run, scenarios, steps

from simulation.construction import compile_plan, simulate
from simulation.construction.plan.steps import ACTOR, BECAUSE, END, START, WORK
from simulation.construction.trace.balance import balances
from simulation.construction.trace.chain import chain_back, hours_by_cause, hours_by_third, list_causes
from simulation.construction.trace.record import columns, make_record
from simulation.scenario import Change, parse_scenario, vary

TRUCK = {"count": 2, "pallets": 12, "load": "1 h", "haul": "2 h", "return": "90 min"}


def kept(done):
    return dict(zip(columns(done.site.plan), make_record(done), strict=True))


def ready(done):
    return done.site.reached[0][END]


def first_start(done, kind):
    return min(
        step[START] for step in done.site.trace if step[ACTOR] >= 0 and done.actors[step[ACTOR]].kind == kind and step[WORK] > 0
    )


def late_text(since):
    """A supply that is on the road, ground to be graded, and somebody who comes later."""
    return strip(
        crew=[{"name": "red", "people": 12, "areas": ["strip"], **since.get("crew", {})}],
        supply={"on_hand": 0, "total": 30},
        supply__trucks=[{**TRUCK, **since.get("truck", {})}],
        grading={"done": 0.2, **since.get("grading", {})},
        forklifts={"count": 2, **since.get("forklift", {})},
    )


@pytest.mark.parametrize("actor", ["crew", "truck", "grading", "forklift"])
def test_nobody_works_before_it_is_there(actor):
    done = run(late_text({actor: {"from": "2 day"}}))
    assert first_start(done, actor) >= 48.0
    assert first_start(run(late_text({})), actor) < 10.0
    late = steps(done, "late start")
    assert {(step[START], step[END], step[WORK]) for step in late} == {(0.0, 48.0, 0.0)}
    assert {done.actors[step[ACTOR]].kind for step in late} == {actor}
    assert all(step[BECAUSE] is done.site.zero for step in late)


def test_a_crew_alone_that_comes_two_days_late_is_ready_two_days_later_and_the_chain_says_why():
    red = {"name": "red", "people": 12, "areas": ["strip"]}
    on_time, late = (run(strip(crew=[{**red, "from": since}])) for since in ("0 h", "48 h"))
    hours = [hours_by_cause(done.site.reached[0], done) for done in (on_time, late)]
    assert "late start" not in hours[0]
    assert hours[1]["late start"] == 48.0
    # The crew need not wait for the first pallets, which were carried to the laying edge in the meantime.
    assert ready(late) == pytest.approx(ready(on_time) + 48.0 - hours[0]["forklift trips"] + hours[1].get("forklift trips", 0.0))
    assert math.fsum(hours[1].values()) == pytest.approx(ready(late))


def test_one_forklift_of_three_can_come_late_while_the_others_work():
    done = run(strip(forklifts={"count": 3, "handle": "6 min", "from": ["0 h", "30 min"]}))
    first = {one: min(step[START] for step in steps(done, "forklift trips", str(one))) for one in (1, 2, 3)}
    assert first[2] >= 0.5 > max(first[1], first[3])
    assert done.site.plan.forklifts.since == (0.0, 0.5, 0.0)


def test_pallets_wait_at_the_port_for_whoever_is_there_first():
    early, late = {**TRUCK, "count": 1}, {**TRUCK, "count": 1, "from": "200 h"}
    done = run(strip(supply={"on_hand": 0, "total": 24}, supply__trucks=[early, late]))
    assert {done.actors[step[ACTOR]].name for step in steps(done, "haul")} == {"1.1"}
    assert ready(done) < 200.0


def test_a_crew_that_comes_after_the_horizon_never_lays():
    tables = strip(crew=[{"name": "red", "people": 12, "areas": ["strip"], "from": "61 day"}])
    done = run(tables)
    assert done.site.reached == [None]
    record = kept(done)
    assert record["use.crew red.on shift"] == record["use.crew red.working"] == 0.0


def test_somebody_who_is_not_there_is_not_counted_as_on_shift():
    tables = strip(
        crew=[{"name": "red", "people": 12, "areas": ["strip"], "from": "5 h"}], forklifts={"count": 3, "from": ["0 h", "3 h"]}
    )
    done = run(tables)
    record, until = kept(done), ready(done)
    assert until < 18.0
    assert record["use.crew red.on shift"] == record["day.1.crews.on shift"] == pytest.approx(until - 5.0)
    assert record["use.forklifts.on shift"] == record["day.1.forklifts.on shift"] == pytest.approx(3 * until - 3.0)


def test_those_that_are_there_at_hour_zero_leave_no_trace_of_it():
    plain, written = (run(late_text(since)) for since in ({}, {one: {"from": "0 h"} for one in ("crew", "truck", "forklift")}))
    assert [step[:2] + step[3:] for step in plain.site.trace] == [step[:2] + step[3:] for step in written.site.trace]
    assert make_record(plain) == make_record(written)


LATE = st.sampled_from(["0 h", "30 min", "7 h", "26 h", "9 day"])


@given(scenarios(), st.lists(LATE, min_size=6, max_size=6))
@examples(50)
def test_with_anybody_late_chains_reach_hour_zero_causes_sum_up_and_no_mat_is_lost(text, since):
    scenario = parse_scenario(text)
    changes = [Change(f"crew.{number}.from", since[number]) for number in range(1, len(scenario.crew) + 1)]
    changes += [Change(f"supply.trucks.{number + 1}.from", since[number]) for number in range(len(scenario.supply.trucks))]
    changes += [Change("grading.from", since[4]), Change("forklifts.from", f'["{since[5]}"]')]
    done = simulate(compile_plan(vary(scenario, changes)), 0)
    zero, *trace = done.site.trace
    for step in trace:
        assert step[START] == step[BECAUSE][END]
    for reached in done.site.reached:
        assert reached is not None
        *_, first = chain_back(reached)
        assert first is zero
        hours = hours_by_cause(reached, done)
        assert set(hours) <= set(list_causes(done.site.plan))
        assert math.fsum(hours.values()) == pytest.approx(reached[END], abs=1e-6)
        for third in hours_by_third(reached, done):
            assert math.fsum(third.values()) == pytest.approx(reached[END] / 3, abs=1e-6)
    for one in balances(done):
        assert one.accounted == one.supplied
