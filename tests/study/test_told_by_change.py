"""Is a plan of fewer runs told so that its days, its chance and its change agree with what is told of the reference?"""

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simulation.present.record_shapes import chance_record
from simulation.present.words.change_format import chance_in_words, how_often, on_time_change
from simulation.questions.compare.sentences import how_read
from simulation.questions.compare.study import compared_with
from simulation.scenario import load_scenario, shipped
from simulation.stats.chances import METHOD, METHOD_OF_CHANGE, likelihood_word
from simulation.stats.paired_difference import difference_of_chances
from simulation.study.deadline import Deadline
from simulation.study.outcomes import against, summarise_hours, summarise_outcome
from simulation.study.told_by_change import disagrees, tell_change, told_by_change

SCENARIO, DEADLINE = load_scenario(shipped("first_look")), Deadline("9 day", 216.0)


def outcome(hours, name="plan"):
    return summarise_outcome(name, SCENARIO, pd.DataFrame({"milestone.operational readiness": hours}), DEADLINE)


@pytest.fixture(scope="module")
def hours():
    return np.random.default_rng(4).normal(200.0, 30.0, 400)


def test_what_is_told_is_the_reference_and_the_paired_change(hours):
    reference, one = outcome(hours), outcome(hours[:100] + 10.0)
    told = told_by_change(one, reference, reference)
    change = tell_change(against(reference, one), told, reference)
    assert (told.by_change, change.p80.value) == (100, pytest.approx(10.0))
    assert told.p50.value == pytest.approx(reference.p50.value + change.p50.value)
    assert told.p80.value == pytest.approx(reference.p80.value + change.p80.value)
    assert told.p90.value == pytest.approx(reference.p90.value + 10.0)
    assert told.chance.probability == pytest.approx(reference.chance.probability + change.chance.value)
    assert told.p80.high - told.p80.low == pytest.approx(one.p80.high - one.p80.low)
    assert one.p80.value != pytest.approx(told.p80.value)  # its own hundred runs say something else


def test_a_chance_told_by_a_change_says_no_count_of_runs_that_were_never_run(hours):
    reference, one = outcome(hours[:60]), outcome(hours[:40] - 20.0)
    chance = told_by_change(one, reference, reference).chance
    text = on_time_change("9 day", reference.chance, chance, difference_of_chances([False] * 30 + [True] * 10, [True] * 40))
    for words in (text, how_often(chance), chance_in_words(chance)):
        assert " of 60" not in words and " of 40" not in words and f"{100 * chance.probability:.0f} %" in words
    assert f" from 40 runs instead of {100 * reference.chance.probability:.0f} %" in text
    assert " from 40 runs (95 % interval" in chance_in_words(chance)
    assert reference.chance.method == METHOD
    assert chance_record(chance)["method"] == METHOD_OF_CHANGE


def test_a_plan_of_as_many_runs_and_one_beyond_the_horizon_are_told_as_they_are(hours):
    reference, one = outcome(hours), outcome(hours + 10.0)
    assert told_by_change(one, reference, reference) is one
    never = outcome([np.inf] * 100)
    assert told_by_change(never, reference, reference).p80.value == np.inf


def test_the_chance_moves_by_as_many_of_the_paired_runs_as_the_plan_brings_before_the_deadline():
    # Of 80 runs 36 meet the deadline, of the 60 that are paired 31; the plan brings two more of them before it, and puts every
    # other by hours that would bring ten runs before it, were the change at the rank of the deadline read into all 80.
    early, late = [200.0] * 31, [217.0] * 29
    reference = outcome(early + late + [200.0] * 5 + [217.0] * 15)
    one = outcome(early + [216.0] * 2 + [216.5] * 27)
    told = told_by_change(one, outcome(early + late), reference)
    change = tell_change(against(outcome(early + late), one), told, reference)
    assert (reference.chance.count, told.chance.by_change) == (36, 60)
    assert told.chance.probability == pytest.approx(36 / 80 + 2 / 60)
    assert change.chance.value == pytest.approx(2 / 60) == pytest.approx(against(outcome(early + late), one).chance.value)
    assert told.chance.low <= one.chance.low < one.chance.high <= told.chance.high  # no less is left open than by its own runs


def test_a_chance_told_by_a_change_stays_within_0_and_100_percent(hours):
    early, none = outcome(np.sort(hours)), outcome([230.0] * 100)
    paired = outcome(np.sort(hours)[:100])  # all on time, as not all of the reference are
    assert paired.chance.probability == 1.0
    assert told_by_change(none, paired, early).chance.probability == 0.0
    assert told_by_change(outcome([190.0] * 100), outcome([230.0] * 100), early).chance.probability == 1.0


def test_a_reference_of_other_runs_than_the_paired_ones_has_one_p80_and_the_plans_follow_it(hours):
    paired, elsewhere = outcome(hours[:100], "as written"), outcome(hours[100:200], "as it is")
    found = compared_with([paired, outcome(hours[:100] - 24.0)], 0, 1, 100, current=elsewhere)
    written, other = found.plans
    assert (written.outcome.name, written.outcome.p80) == ("as written", elsewhere.p80)
    assert other.against.p80.value == pytest.approx(-24.0)
    assert other.outcome.p80.value == pytest.approx(elsewhere.p80.value - 24.0)
    assert how_read(found) == (
        "Plan 1 is read from 100 runs. Any other plan is read as plan 1 plus the change between the two, measured in 100 runs "
        "of both."
    )


def test_no_plan_is_told_to_be_ready_before_the_first_of_its_own_runs(hours):
    luck = np.random.default_rng(5)
    slow = outcome(np.sort(hours)[-60:])  # sixty runs of the reference that by chance are its slowest
    one = outcome(luck.normal(150.0, 5.0, 60))
    told = told_by_change(one, slow, outcome(hours))
    change = tell_change(against(slow, one), told, outcome(hours))
    assert told.p80.value - outcome(hours).p80.value == pytest.approx(change.p80.value)
    assert told.chance.probability - outcome(hours).chance.probability == pytest.approx(change.chance.value)
    assert change.p80.low < change.p80.value < change.p80.high < 0.0
    assert told.p80 == one.p80
    assert min(one.hours) <= told.p80.value <= max(one.hours)


@given(st.integers(0, 10**6), st.sampled_from((20, 25, 60, 100)), st.sampled_from((100, 397, 400)), st.sampled_from((0.0, 14.0)))
def test_p80_and_the_chance_each_move_by_their_own_change_of_the_paired_runs(seed, tried, runs, night):
    # They lay on the same sides of the deadline and of 80 % before, both read from hours that were moved: a plan then gained ten
    # points where two of 60 paired runs more met the deadline. Now each is the number that its change says.
    rng = np.random.default_rng(seed)
    early = rng.normal(200.0, 30.0, runs)
    changed = early[:tried] - rng.exponential(rng.choice((0.5, 5.0, 20.0)), tried) * rng.choice((-1, 1))
    work = [np.where(hours % 24 < night, hours - hours % 24 + night, hours) for hours in (early, changed)]  # none in the night
    deadline = Deadline("invented", float(np.quantile(work[0], rng.uniform(0.7, 0.9))))
    whole, paired, own = (summarise_hours("plan", SCENARIO, hours, deadline) for hours in (work[0], work[0][:tried], work[1]))
    told = told_by_change(own, paired, whole)
    if told is own:
        return
    moved = whole.chance.probability + against(paired, own).chance.value
    assert told.chance.probability == pytest.approx(min(1.0, max(0.0, moved)))
    assert told.p50.value <= told.p80.value <= told.p90.value
    assert disagrees(told) == ((told.p80.value <= deadline.hours + 1e-6) != (told.chance.probability >= 0.8 - 1e-9))
    if told.by_change:
        assert told.p80.value - whole.p80.value == pytest.approx(against(paired, own).p80.value)


def test_nor_is_80_percent_of_a_plan_told_to_be_ready_after_the_last_of_them():
    # Under a dry sky every run is ready at hour 100; the fewer runs of the reference that are paired had less rain than all have.
    wet = np.random.default_rng(2).exponential(60.0, 400)
    reference, one = outcome(100.0 + wet), outcome([100.0] * 50)
    assert np.quantile(wet[:50], 0.8) < np.quantile(wet, 0.8)
    told = told_by_change(one, reference, reference)
    assert (told.p50, told.p80, told.by_change) == (one.p50, one.p80, 0)
    # Its chance is that of all the reference's runs and the change, as everywhere; what its own runs say is within the interval.
    on_time = np.mean(100.0 + wet[:50] <= DEADLINE.hours)
    assert told.chance.probability == pytest.approx(min(1.0, reference.chance.probability + 1.0 - on_time))
    assert told.chance.high == 1.0


def test_the_chance_that_few_runs_of_a_change_say_bears_no_likelihood_word(hours):
    reference = outcome(hours)
    few, more = (told_by_change(outcome(hours[:tried] - 3.0), outcome(hours[:tried]), reference).chance for tried in (60, 100))
    assert (likelihood_word(few), likelihood_word(more)) == (None, "likely")
    assert (few.count, few.runs) == (round(few.probability * 400), 400)
