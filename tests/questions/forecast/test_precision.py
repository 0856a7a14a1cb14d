"""Does a run end when it is precise enough, at the same run however it was interrupted, and say so when it is not?"""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scenarios import SHORT, changed, written

from simulation.questions.forecast.precision import FLOOR, MOST_RUNS_ADDED, STEP, Precision, reached, read_precision
from simulation.questions.forecast.study import forecast
from simulation.replicate import Runs, Workshop
from simulation.scenario import ScenarioError, parse_scenario
from simulation.stats.quantiles import estimate
from simulation.study.run_context import RunContext

#: The short strip on a site that nobody named, where the hours at work vary more.
QUICK = written(changed(SHORT, top={"seed": 5}, site=None, laying={"efficiency": {"low": 0.5, "mode": 0.67, "high": 0.85}}))


#: What the undisturbed forecast is asked for; it is met after two looks or three.
ASKED = Precision(0.034)


@pytest.fixture(scope="module")
def undisturbed():
    return forecast(parse_scenario(QUICK), RunContext(workers=1), precision=ASKED)


def test_it_looks_first_after_the_floor_then_after_every_step_and_last_at_the_most():
    assert list(itertools.islice(Precision(1.0).looks(), 3)) == [FLOOR, FLOOR + STEP, FLOOR + 2 * STEP]
    assert list(Precision(1.0).looks())[-1] == MOST_RUNS_ADDED
    assert list(Precision(1.0, most=750).looks()) == [400, 600, 750]
    assert list(Precision(1.0, most=90).looks()) == [90]


@given(st.lists(st.floats(1.0, 500.0), min_size=100, max_size=300), st.sampled_from([0.5, 0.8, 0.9]))
@settings(max_examples=40)
def test_the_farther_end_of_the_corrected_interval_counts(hours, share):
    found = reached(Precision(1.0, share), hours)
    whole = estimate(hours, share, 0.96)  # 1 - 0.8 (1 - 0.95)
    if whole.low is None or whole.high is None:
        assert found.side == math.inf
    else:
        assert found.side == max(whole.high - whole.value, whole.value - whole.low)
    assert found.met == (found.side <= 1.0)


def test_runs_beyond_the_horizon_never_make_it_precise():
    hours = [10.0] * 300 + [math.inf] * 100
    assert reached(Precision(1.0, 0.8), hours).side == math.inf
    assert reached(Precision(1.0, 0.5), hours).met


def normal_sample_until(within, luck):
    """Return a normal sample that ended when its P80 was known to `within`."""
    hours = luck.normal(100.0, 10.0, 6000).tolist()
    return next(hours[:look] for look in Precision(within, most=6000).looks() if reached(Precision(within), hours[:look]).met)


def test_it_takes_as_many_runs_as_theory_says_and_few_more():
    # The upper end, the farther one, lies within 0.8 when 10 (z(0.8 + 2.054 sqrt(0.16 / n)) - z(0.8)) = 0.8: n = 1441 (R).
    # What chance moves of either end, and the step up to the next look, come on top.
    luck = np.random.default_rng(8)
    needed = [len(normal_sample_until(0.8, luck)) for _ in range(60)]
    assert 1441 < np.mean(needed) < 1.3 * 1441


def test_the_interval_that_ended_the_run_holds_the_quantile_as_often_as_promised():
    luck, true = np.random.default_rng(3), 100.0 + 10.0 * 0.8416212
    ends = [estimate(normal_sample_until(1.0, luck), 0.8, 0.96) for _ in range(800)]
    covered = sum(one.low <= true <= one.high for one in ends) / len(ends)
    assert 0.93 < covered < 0.97  # 95 % with a standard error of 0.8 %


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"within": "1"}, '"1" is no time'),
        ({"within": "0 h"}, '"0 h" is no time'),
        ({"within": "-1 h"}, "is no time"),
        ({"within": "2 ft"}, "is no time"),
        ({"within": "1 h", "of": "p0"}, "of:"),
        ({"within": "1 h", "of": "80"}, "of:"),
        ({"within": "1 h", "of": "p100"}, "of:"),
        ({"within": "1 h", "confidence": 1.0}, "confidence:"),
        ({"within": "1 h", "confidence": 95}, "confidence:"),
    ],
)
def test_what_cannot_be_read_is_named_with_what_would_be_right(given, said):
    with pytest.raises(ScenarioError, match="precision: ") as refused:
        read_precision(**given)
    assert said in str(refused.value)


def test_a_precision_is_read_in_any_unit_of_time():
    assert read_precision("30 min", "P90", 0.9, 5000) == Precision(0.5, 0.9, 0.9, 5000)


def test_a_forecast_adds_runs_until_the_interval_is_narrow_enough_and_no_more(undisturbed):
    found = undisturbed.precision
    assert found.met
    assert found.runs == undisturbed.run_count == undisturbed.asked
    assert FLOOR < found.runs < MOST_RUNS_ADDED
    before = undisturbed.runs.head(found.runs - STEP)
    ready = before["milestone.operational readiness"]
    assert not reached(found.asked, before["laying hours"].where(ready < math.inf, math.inf).tolist()).met


def test_it_stops_at_the_most_and_says_that_it_is_not_met():
    answer = forecast(parse_scenario(QUICK), RunContext(workers=1), precision=Precision(1e-6, most=500))
    assert (answer.run_count, answer.precision.met) == (500, False)


def test_a_run_with_runs_to_spare_stops_where_an_undisturbed_one_does(undisturbed, tmp_path):
    scenario = parse_scenario(QUICK)
    with Workshop(tmp_path, workers=1) as workshop:
        Runs(scenario, workshop).reach(undisturbed.run_count + 100)
    resumed = forecast(scenario, RunContext(workers=1, folder=tmp_path), precision=ASKED)
    assert resumed.runs.equals(undisturbed.runs)


def test_hypercubes_are_counted_whole():
    answer = forecast(parse_scenario(QUICK), RunContext(sampling="lhs", workers=1), precision=Precision(0.5, most=1000))
    assert answer.run_count % 100 == 0
    with pytest.raises(ValueError, match="multiple of 100"):
        forecast(parse_scenario(QUICK), RunContext(runs=150, sampling="lhs"))
    with pytest.raises(ValueError, match="sampling"):
        forecast(parse_scenario(QUICK), RunContext(runs=100, sampling="sobol"))
