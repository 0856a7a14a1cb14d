"""Are plans told apart where they differ, under the same luck, and only there?"""

import math

import numpy as np
import pandas as pd
import pytest
from scenarios import LITTLE, LONG_STRIP

from simulation.questions.compare.study import Verdict, compare, compared_with
from simulation.scenario import parse_scenario, read_team, read_variation
from simulation.study.changes.variations import AS_WRITTEN, variations
from simulation.study.outcomes import summarise_outcome
from simulation.study.people import count_people, person_hours
from simulation.study.run_context import RunContext


@pytest.fixture(scope="module")
def strip():
    return parse_scenario(LONG_STRIP)


def test_no_difference_is_measured_of_a_forklift_that_is_not_needed(strip):
    plans = variations(strip, [read_variation("forklifts.count=7")])
    other = compare(plans, RunContext(runs=60, workers=1, deadline="3 day")).plans[1]
    assert other.verdict is Verdict.NO_MATTER
    assert abs(other.against.p80.value) < 0.5
    assert other.outcome.people == count_people(strip).total + 2  # around the clock it takes two operators


def test_effort_is_mats_over_people_and_hours(strip):
    (only,) = compare([(AS_WRITTEN, strip)], RunContext(runs=30, workers=1)).plans
    mats = 300 * 6 + 300  # of two rows one holds 6 full mats, the other 5 and 2 half ones
    assert only.mats == 150 * 6 + 150 * 7
    assert only.mats < mats
    assert only.mats_per_person_hour == pytest.approx(only.mats / person_hours(strip, only.outcome.p50.value))
    assert only.outcome.crew_days == pytest.approx(2 * only.outcome.p50.value / 24)


def test_a_numbered_block_is_named_by_what_it_is():
    lorries = parse_scenario(LITTLE)
    plans = variations(lorries, [read_variation("supply.trucks.1.count=3"), read_variation("forklifts.count=7")])
    assert [name for name, _ in plans[1:]] == ["trucks.1.count=3, forklifts.count=7"]


def test_the_reference_may_be_any_plan(strip, tmp_path):
    plans = variations(strip, [read_variation("crew.*.people=12,24")])
    context = RunContext(runs=40, workers=1, folder=tmp_path)
    forward, backward = compare(plans, context), compare(plans, context, reference=2)
    assert backward.plans[2].verdict is Verdict.REFERENCE
    assert backward.plans[0].against.mean.value == pytest.approx(-forward.plans[2].against.mean.value)
    with pytest.raises(ValueError, match="reference"):
        compare(plans, RunContext(runs=40), reference=3)


def test_a_plan_beyond_the_horizon_is_said_to_be(strip):
    plans = variations(strip, [read_variation("horizon=1 day")])
    whole, other = compare(plans, RunContext(runs=10, workers=1)).plans
    assert other.verdict is Verdict.BEYOND
    assert other.mats_per_person_hour is None
    late = sum(hours > 24.0 for hours in whole.outcome.hours)
    assert late > 2
    assert (other.outcome.p80.value, other.person_hours, other.unfinished) == (math.inf, math.inf, late)
    backward = compare(plans, RunContext(runs=10, workers=1), reference=1)
    assert backward.plans[0].verdict is Verdict.WITHIN
    assert backward.earliest == 0
    assert backward.as_early == ()


def test_runs_that_are_kept_answer_again(strip, tmp_path):
    plans = variations(strip, [read_variation("forklifts.count=5")])
    asked = []
    first = compare(plans, RunContext(runs=20, workers=1, folder=tmp_path, tell=asked.append))
    again = compare(plans, RunContext(runs=20, workers=1, folder=tmp_path, tell=asked.append))
    todo, kept = asked
    assert todo.startswith("to do: 40 runs, ")
    assert kept.startswith("20 runs of this study are kept in ")
    assert [one.outcome.hours for one in first.plans] == [one.outcome.hours for one in again.plans]


def test_the_earliest_plan_is_named_with_those_that_are_as_early(strip):
    plans = variations(strip, [read_variation("crew.*.people=10"), read_variation("forklifts.count=7,8")], one_at_a_time=True)
    found = compare(plans, RunContext(runs=60, workers=1), reference=1)
    assert [one.verdict for one in found.plans[:2]] == [Verdict.EARLIER, Verdict.REFERENCE]
    assert found.plans[found.earliest].outcome.p80.value == min(one.outcome.p80.value for one in found.plans)
    assert {0, 2, 3} <= {found.earliest, *found.as_early}  # the seventh forklift finds nothing to do
    assert 1 not in found.as_early


def test_plans_are_as_early_by_an_interval_within_the_margin_never_because_runs_are_few(strip):
    def outcome(hours):
        return summarise_outcome("a plan", strip, pd.DataFrame({"milestone.operational readiness": hours}))

    luck = np.random.default_rng(1)
    base = luck.normal(200.0, 30.0, 400)
    few = compared_with([outcome(base[:25]), outcome(base[:25] + luck.normal(0.0, 20.0, 25))], 0, 1, 25)
    assert few.plans[1].verdict is Verdict.TOO_CLOSE
    assert few.as_early == ()
    many = compared_with([outcome(base), outcome(base + 0.1), outcome(base + 20.0)], 0, 1, 400)
    assert many.margin == 12.0  # half of a day around the clock
    assert many.as_early == (1,)


def test_where_no_plan_is_measurably_earlier_the_reference_is_the_earliest(strip):
    found = compare(variations(strip, [read_variation("crew.*.people=10")]), RunContext(runs=30, workers=1))
    assert (found.earliest, found.as_early) == (0, ())


def test_crews_of_a_team_are_compared_head_for_head(strip):
    teams = [read_team("1x36"), read_team("2x18")]
    _, one, two = compare(
        variations(strip, [read_variation("area.strip.start=centre-out")], teams), RunContext(runs=30, workers=1)
    ).plans
    assert one.outcome.people == two.outcome.people == count_people(strip).total
    assert two.verdict is Verdict.EARLIER
    assert two.outcome.p80.value < one.outcome.p80.value


def test_after_a_stop_plans_are_compared_over_the_runs_that_all_have(strip, tmp_path):
    plans = variations(strip, [read_variation("crew.*.people=12,24")])
    told = []

    def stop(done, expected):
        told.append((done, expected))
        if done > 350:  # in the third round, which takes up what is not decided
            raise KeyboardInterrupt

    found = compare(plans, RunContext(runs=200, workers=1, folder=tmp_path, progress=stop))
    assert found.stopped == "stopped early"
    assert (found.asked, found.run_count) == (200, found.fewest)
    assert found.fewest in (50, 100)
    whole = compare(plans, RunContext(runs=200, workers=1, folder=tmp_path))
    assert (whole.stopped, whole.run_count) == ("", 200)
    shared = found.run_count
    assert [one.outcome.hours[:shared] for one in whole.plans] == [one.outcome.hours[:shared] for one in found.plans]


def test_a_plan_that_is_clearly_later_gets_no_more_runs_and_the_first_and_the_reference_get_all(strip, tmp_path):
    plans = variations(strip, [read_variation("crew.*.people=8,24,36")])
    context = RunContext(runs=200, workers=1, folder=tmp_path)
    found = compare(plans, context)
    assert found.looks == (50, 100, 200)
    paired = {row.outcome.name: min(row.runs, row.outcome.by_change or row.runs) for row in found.plans}
    assert paired[AS_WRITTEN] == paired[found.plans[found.earliest].outcome.name] == 200
    assert paired["people=8"] == found.fewest == 50
    for row in found.plans:  # one plan has one P80: that of the reference and the change
        change = 0.0 if row.verdict is Verdict.REFERENCE else row.against.p80.value
        assert row.outcome.p80.value == pytest.approx(found.plans[0].outcome.p80.value + change)
    # What every plan in as many runs says is no different.
    whole = compare(plans, context, screened=False)
    assert [row.verdict for row in whole.plans] == [row.verdict for row in found.plans]
    assert whole.earliest == found.earliest


def test_with_few_runs_no_difference_counts_as_measured(strip):
    found = compare(variations(strip, [read_variation("crew.*.people=8")]), RunContext(runs=19, workers=1))
    assert not found.plans[1].against.p80.measurable
    assert found.plans[1].verdict is Verdict.TOO_CLOSE
    assert found.as_early == ()
