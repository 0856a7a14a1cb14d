"""Which plans come of the values that are varied, what are they called, and which grids are refused?"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scenarios import LONG_STRIP

from simulation.scenario import ScenarioError, parse_scenario, read_team, read_variation
from simulation.study.changes.variations import AS_WRITTEN, MOST_PLANS, variations

FIELD = parse_scenario(LONG_STRIP)


def plans_of(*vary, crews=(), **given):
    return variations(FIELD, [read_variation(text) for text in vary], [read_team(text) for text in crews], **given)


def names(plans):
    return [name for name, _ in plans]


def test_the_grid_holds_every_value_with_every_other_and_the_scenario_as_written():
    plans = plans_of("forklifts.count=4,5", "area.strip.start=centre-out", crews=["1x30", "2x15"])
    assert names(plans) == [
        AS_WRITTEN,
        "1x30, forklifts.count=4, start=centre-out",
        "1x30, forklifts.count=5, start=centre-out",
        "2x15, forklifts.count=4, start=centre-out",
        "2x15, forklifts.count=5, start=centre-out",
    ]
    assert [len(scenario.crew) for _, scenario in plans] == [2, 1, 1, 2, 2]
    assert plans[0][1] is FIELD


@given(
    st.lists(st.integers(1, 30), min_size=1, max_size=5, unique=True),
    st.lists(st.integers(6, 40), min_size=1, max_size=5, unique=True),
)
@settings(max_examples=15, deadline=None)
def test_a_grid_has_a_plan_for_each_pair_of_values_and_one_at_a_time_one_for_each_value(counts, people):
    vary = ["forklifts.count=" + ",".join(map(str, counts)), "crew.*.people=" + ",".join(map(str, people))]
    wanted = {(count, size) for count in counts for size in people} - {(6, 18)}
    if wanted:
        found = [(plan.forklifts.count, plan.crew[0].people) for _, plan in plans_of(*vary)[1:]]
        assert sorted(found) == sorted(wanted)
    alone = {(count, 18) for count in counts} | {(6, size) for size in people}
    if alone != {(6, 18)}:
        found = [(plan.forklifts.count, plan.crew[1].people) for _, plan in plans_of(*vary, one_at_a_time=True)[1:]]
        assert sorted(found) == sorted(alone - {(6, 18)})


def test_one_at_a_time_each_value_is_alone_and_the_scenarios_own_is_left_out():
    plans = plans_of("forklifts.count=5,6,7", "crew.*.people=16", one_at_a_time=True)
    assert names(plans) == [AS_WRITTEN, "forklifts.count=5", "forklifts.count=7", "people=16"]
    assert [scenario.forklifts.count for _, scenario in plans] == [6, 5, 7, 6]


def test_keys_of_one_name_are_told_apart():
    assert names(plans_of("crew.red.people=16", "crew.blue.people=17"))[1] == "red.people=16, blue.people=17"
    assert names(plans_of("crew.red.people=16"))[1] == "people=16"


def test_a_key_of_a_crew_beside_teams_is_one_of_the_new_crews():
    plans = plans_of("crew.*.second_crew=relief", crews=["3x12"])
    assert [crew.second_crew for crew in plans[1][1].crew] == ["relief"] * 3
    with pytest.raises(ScenarioError, match='there is no "red 3"'):
        plans_of('crew."red 3".second_crew=relief', crews=["2x12"])


@pytest.mark.parametrize(
    ("vary", "crews", "said"),
    [
        ([], [], "nothing is varied"),
        (["forklifts.count=2", "forklifts.count=3"], [], "varied twice"),
        (["crew.red.people=16", "crew.*.people=20"], [], "crew.red.people and crew.*.people are one and the same"),
        (["forklifts.count=2,4,2"], [], "2 is given twice"),
        (["crew.*.people=16"], ["1x20"], "leave one of them out"),
        ([], ["1x20", "1x20"], "1x20 is given twice"),
        (["forklifts.count=6"], [], "every value is the scenario's own"),
        (["laying.place=x0"], [], "multiply by more than 0"),
        (["forklifts.cuont=2"], [], "did you mean count?"),
        (["crew.rad.people=2"], [], "did you mean red?"),
        (["laying.place=2 ft"], [], "is not a duration"),
    ],
)
def test_a_grid_that_cannot_be_is_refused(vary, crews, said):
    with pytest.raises(ScenarioError) as refused:
        plans_of(*vary, crews=crews)
    assert said in str(refused.value)
    assert len(str(refused.value).splitlines()) == 1


def test_a_grid_of_too_many_plans_is_refused_with_the_runs_it_would_take():
    counts, people = ",".join(map(str, range(1, 16))), ",".join(map(str, range(10, 25)))
    with pytest.raises(ScenarioError, match=f"225 plans, 22,500 runs, are too many; .* up to {MOST_PLANS} plans"):
        plans_of(f"forklifts.count={counts}", f"crew.*.people={people}", run_count=100)
    assert len(plans_of(f"forklifts.count={counts}", f"crew.*.people={people}", one_at_a_time=True)) == 1 + 14 + 14


def test_a_change_that_is_relative_does_not_read_as_a_value():
    plans = plans_of("forklifts.count=+1", "crew.*.people=-2", "laying.place=x1.5", one_at_a_time=True)
    assert names(plans)[1:] == ["forklifts.count +1", "people -2", "place times 1.5"]


def test_the_seed_is_no_key_that_plans_differ_by():
    with pytest.raises(ScenarioError, match="seed is the same for all plans"):
        plans_of("seed=3,4")
