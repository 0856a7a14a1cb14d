"""What a plan takes is counted, no limit is broken at any hour of any run, and one that cannot be met is said with its excess."""

import math
from collections import Counter

import pytest
from fields import bound, by_haul

from simulation.construction import compile_plan, simulate
from simulation.construction.plan.steps import ACTOR, END, KIND, KINDS, START
from simulation.questions.plan.limits import Limits, count_what_it_takes
from simulation.questions.plan.space import Space, limit_loads, read_choices
from simulation.questions.plan.study import NoPlanError, best_plan
from simulation.questions.plan.usual_choices import usual_choices
from simulation.scenario import load_scenario, parse_scenario
from simulation.study.people import list_posts
from simulation.study.run_context import RunContext

#: A step of these is somebody at work; of forklifts every step but being off work.
AT_WORK = {
    "laying rows",
    "key strips",
    "forklift trips",
    "unloading",
    "moving left-over mats",
    "haul",
    "trucks returning",
    "loading at the port",
    "grading",
}


def most_at_once(spans):
    """Return the largest sum of people over spans that overlap, each (start, end, people)."""
    moments = sorted([(end, -people) for _, end, people in spans] + [(start, people) for start, _, people in spans])
    here = most = 0
    for _, people in moments:  # who goes at a moment goes before who comes
        here += people
        most = max(most, here)
    return most


def watch(scenario, run_number):
    """Return the most people at work, and forklifts, at any moment of a run, and the most pallets that came on a local day."""
    done = simulate(compile_plan(scenario), run_number)
    crews = {crew.name: crew.people for crew in scenario.crew}
    posts = {post.what: post.people for post in list_posts(scenario)}
    people, forklifts = [], []
    for step in done.site.trace:
        if KINDS[step[KIND]].name not in AT_WORK or step[END] <= step[START]:
            continue
        actor = done.actors[step[ACTOR]]
        hands = {"crew": crews.get(actor.name, 0), "forklift": scenario.forklifts.operators, "truck": 1}.get(
            actor.kind, posts.get("graders", 0)
        )
        people.append((step[START], step[END], hands))
        if actor.kind == "forklift":
            forklifts.append((step[START], step[END], 1))
    came = Counter()
    for load in done.board.arrived:
        if done.actors[load.came[ACTOR]].kind != "resupply":
            came[math.floor((load.came[END] - done.site.plan.supply.midnight) / 24 + 1e-6)] += len(load.luck)
    return most_at_once(people), most_at_once(forklifts), max(came.values(), default=0)


@pytest.mark.parametrize(
    "limits", [Limits(people=26, forklifts=2, loads_a_day=12), Limits(people=40, forklifts=4, loads_a_day=24)]
)
def test_no_limit_is_broken_at_any_hour_of_any_run_of_any_plan(limits):
    scenario = by_haul(count=2)
    space = Space(scenario, limits, usual_choices(scenario, limits), limit_loads(scenario, limits))
    plans = [plan for picks in space.combinations() if (plan := space.plan(picks)) is not None]
    assert len(plans) > 3
    busiest = [0, 0, 0]
    for plan in plans[:: max(1, len(plans) // 8)]:
        for run_number in range(3):
            seen = watch(plan.scenario, run_number)
            assert seen[0] <= limits.people and seen[1] <= limits.forklifts and seen[2] <= limits.loads_a_day
            busiest = [max(pair) for pair in zip(busiest, seen, strict=True)]
    assert busiest[1] == limits.forklifts  # what is watched is seen at its limit, too
    assert busiest[2] > limits.loads_a_day // 2


def test_what_a_plan_takes_is_counted_by_trade_and_in_prices():
    plain = by_haul(count=3)
    limits = "[limits]\nin_crews = 10\nspend = 100.0\n"
    prices = "[limits.price]\nperson = 2.0\nforklift = 30.0\ntruck = 5.0\nunit = 'tons'\n"
    scenario = parse_scenario(f"{plain.source.text}\n{limits}{prices}")
    takes, people = count_what_it_takes(scenario), sum(crew.people for crew in scenario.crew)
    assert takes["in_crews"] == people == 12
    assert (takes["trucks"], takes["truck_drivers"]) == (3, 6)  # two sets of drivers keep a shift of a whole day
    assert takes["spend"] == 2 * takes["people"] + 30 * takes["forklifts"] + 15
    said = [str(each) for each in Limits.of(scenario).broken_by(scenario)]
    assert said[0] == "people in crews: 12 where 10 may be, 2 too many"
    assert said[1].startswith("spend in tons: ") and said[1].endswith("too many")


def test_a_limit_of_loads_that_the_scenario_does_not_state_is_put_on_every_plan():
    scenario = by_haul(count=4)
    result = best_plan(scenario, RunContext(runs=4, workers=1), Limits(loads_a_day=12))
    assert result.best.scenario.supply.per_day_limit == 12
    assert [str(change) for change in limit_loads(scenario, Limits(loads_a_day=12))] == ["supply.per_day_limit=12"]
    assert limit_loads(result.best.scenario, Limits(loads_a_day=20)) == ()


def test_where_no_plan_can_meet_the_limits_each_that_is_broken_is_said_with_its_excess():
    scenario = by_haul(count=4)
    with pytest.raises(NoPlanError, match=r"truck drivers: 6 where 2 may be, 4 too many") as error:
        choices = read_choices(scenario, ["supply.trucks.1.count=3"])
        best_plan(scenario, RunContext(runs=4, workers=1), Limits(truck_drivers=2, trucks=2), choices)
    assert "trucks: 3 where 2 may be, 1 too many" in str(error.value)


def test_limits_that_a_planner_writes_are_read_and_no_plan_breaks_them():
    scenario = load_scenario()
    assert not Limits.of(scenario).any
    assert Limits.of(scenario, people=30).any
    assert not Limits(people=10**6).broken_by(bound())
