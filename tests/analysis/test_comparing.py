"""Are plans told apart where they differ, under the same luck, and only there?"""

import pytest

from simulation.analysis.comparing import AS_WRITTEN, Verdict, compare, variations
from simulation.scenario import ScenarioError, parse_scenario, read_team, read_variation

#: Two like crews on one long strip; pallets and ground are all there, so that nothing but laying binds.
STRIP = """
title = "Long strip"
seed = 3
[[area]]
name = "strip"
length = "600 ft"
width = "72 ft"
start = "one-end"
key_strips_every = "0 ft"
[[crew]]
name = "red"
people = 18
areas = ["strip"]
[[crew]]
name = "blue"
people = 18
areas = ["strip"]
[forklifts]
count = 6
[supply]
on_hand = 170
[shifts.all]
hours = ["00:00-24:00"]
"""


@pytest.fixture(scope="module")
def strip():
    return parse_scenario(STRIP.replace('key_strips_every = "0 ft"\n', ""))


def test_the_grid_holds_every_value_with_every_other_and_the_scenario_as_written(strip):
    plans = variations(strip, [read_variation("forklifts.count=4,5"), read_variation("crew.*.people=16,20")], [read_team("1x30")])
    assert [name for name, _ in plans] == [
        AS_WRITTEN,
        "count=4, people=16, 1x30",
        "count=4, people=20, 1x30",
        "count=5, people=16, 1x30",
        "count=5, people=20, 1x30",
    ]


def test_one_at_a_time_each_value_is_alone_and_the_scenarios_own_is_left_out(strip):
    changes = [read_variation("forklifts.count=5,6,7"), read_variation("crew.*.people=16")]
    plans = variations(strip, changes, one_at_a_time=True)
    assert [name for name, _ in plans] == [AS_WRITTEN, "count=5", "count=7", "people=16"]
    assert [scenario.forklifts.count for _, scenario in plans] == [6, 5, 7, 6]


def test_keys_of_one_name_are_told_apart(strip):
    plans = variations(strip, [read_variation("crew.red.people=16"), read_variation("crew.blue.people=17")])
    assert plans[1][0] == "red.people=16, blue.people=17"


@pytest.mark.parametrize(
    ("vary", "said"),
    [
        ([], "nothing is varied"),
        (["forklifts.count=2", "forklifts.count=3"], "varied twice"),
        (
            ["forklifts.count=" + ",".join(map(str, range(1, 16))), "crew.*.people=" + ",".join(map(str, range(10, 26)))],
            "too many",
        ),
        (["forklifts.cuont=2"], "did you mean count?"),
    ],
)
def test_a_grid_that_cannot_be_is_refused(strip, vary, said):
    with pytest.raises(ScenarioError) as refused:
        variations(strip, [read_variation(text) for text in vary])
    assert said in str(refused.value)


def test_l1_a_start_from_the_centre_takes_about_half_the_time_of_one_end(strip):
    # NAVEDTRA 14251 ch. 11 (T): two crews from the centre need about one half of the time; accepted 0.47 to 0.60.
    plans = variations(strip, [read_variation("area.strip.start=centre-out")])
    one_end, centre = compare(plans, 40, workers=1).plans
    laying = [one.outcome.p50.value - 8.0 for one in (one_end, centre)]  # without the closing work, the same for both
    assert one_end.verdict is Verdict.REFERENCE
    assert centre.verdict is Verdict.EARLIER
    assert centre.against.p80.high < 0
    assert 0.47 < laying[1] / laying[0] < 0.60


def test_nothing_is_told_of_a_forklift_that_is_not_needed(strip):
    plans = variations(strip, [read_variation("forklifts.count=7")])
    other = compare(plans, 60, workers=1, deadline="3 day").plans[1]
    assert other.verdict is Verdict.UNTOLD
    assert abs(other.against.p80.value) < 0.5
    assert other.outcome.people == strip.people_on_site + 1


def test_effort_is_mats_over_people_and_hours(strip):
    (only,) = compare([(AS_WRITTEN, strip)], 30, workers=1).plans
    mats = 300 * 6 + 300  # of two rows one holds 6 full mats, the other 5 and 2 half ones
    assert only.mats == 150 * 6 + 150 * 7
    assert only.mats < mats
    assert only.mats_per_person_hour == pytest.approx(only.mats / (strip.people_on_site * only.shift_hours))
    assert only.outcome.crew_days == pytest.approx(2 * only.outcome.p50.value / 24)


def test_the_reference_may_be_any_plan(strip):
    plans = variations(strip, [read_variation("crew.*.people=12,24")])
    forward, backward = compare(plans, 40, workers=1), compare(plans, 40, workers=1, reference=2)
    assert backward.plans[2].verdict is Verdict.REFERENCE
    assert backward.plans[0].against.mean.value == pytest.approx(-forward.plans[2].against.mean.value)
    with pytest.raises(ValueError, match="reference"):
        compare(plans, 40, reference=3)


def test_a_plan_beyond_the_horizon_is_said_to_be(strip):
    plans = variations(strip, [read_variation("horizon=1 day")])
    other = compare(plans, 10, workers=1).plans[1]
    assert other.verdict is Verdict.BEYOND
    assert other.mats_per_person_hour is None


def test_builds_that_are_kept_answer_again(strip, tmp_path):
    plans = variations(strip, [read_variation("forklifts.count=5")])
    asked = []
    first = compare(plans, 20, workers=1, folder=tmp_path, announce=lambda builds, _: asked.append(builds))
    again = compare(plans, 20, workers=1, folder=tmp_path, announce=lambda builds, _: asked.append(builds))
    assert asked == [40, 0]
    assert [one.outcome.hours for one in first.plans] == [one.outcome.hours for one in again.plans]
