"""The dates around a quantile: a mean of all from P70 to P90, whose change is told by few runs, and not too often."""

import math

import numpy as np
import pytest

from simulation.stats.around_quantile import difference_around_quantile
from simulation.stats.group_sequential import FIRST, Effect, judge_effect, look_confidences, planned_looks
from simulation.stats.paired_difference import difference_of_quantiles

LOOKS = planned_looks(400)
SHIFT, NIGHT, MARGIN = 11.0, 13.0, 5.5


def by_shifts(hours):
    """Return when so many hours of work are done: a shift, then a night of 13 hours."""
    return np.floor(hours / SHIFT) * (SHIFT + NIGHT) + hours % SHIFT


def on_shift(hours):
    """Return the hours of work that are done by then."""
    return np.floor(hours / (SHIFT + NIGHT)) * SHIFT + np.minimum(hours % (SHIFT + NIGHT), SHIFT)


def plans(luck, later, apart):
    """Return two plans' hours, worked by shifts: the second so many hours of work later, its runs otherwise as likely."""
    work = luck.gamma(20.0, 6.5, 400)
    return (by_shifts(work + luck.normal(0.0, apart, 400) + by) for by in (20.0, 20.0 + later))


def look(first, second, confidences):
    """Yield what each look says of two plans, until one decides."""
    for runs, confidence in zip(LOOKS, confidences, strict=True):
        change = difference_around_quantile(first[:runs], second[:runs], 0.8, confidence, on_shift)
        effect = judge_effect(change, MARGIN, runs, runs == LOOKS[-1], FIRST)
        yield runs, change, effect
        if effect is not Effect.OPEN:
            return


def decide(luck, later, apart, count, confidences=None):
    """Return how often each is said, how often an interval of any look missed, and the mean runs."""
    confidences = confidences or look_confidences(LOOKS)
    said, missed, runs = [], 0, 0
    for _ in range(count):
        looks = list(look(*plans(luck, later, apart), confidences))
        missed += any(not change.low <= later <= change.high for _, change, _ in looks)
        said.append(looks[-1][2])
        runs += looks[-1][0]
    return {effect: said.count(effect) / count for effect in Effect}, missed / count, runs / count


def test_the_mean_from_p70_to_p90_is_that_of_these_values_in_order():
    values = list(range(1, 11))
    change = difference_around_quantile([0.0] * 10, values, 0.8)
    assert change.value == pytest.approx((8 + 9) / 2)  # the eighth and the ninth of ten
    assert difference_around_quantile([0.0] * 5, [1, 2, 3, 4, 5], 0.8).value == pytest.approx((0.1 * 4 + 0.1 * 5) / 0.2)


def test_its_error_is_that_of_the_mean_of_many_samples():
    luck, runs = np.random.default_rng(4), 200
    changes = [
        difference_around_quantile(*(hours[:runs] for hours in plans(luck, 2.0, 6.0)), 0.8, 0.95, on_shift) for _ in range(300)
    ]
    told = np.mean([change.high - change.low for change in changes]) / 2.0 / 1.96
    assert told == pytest.approx(np.std([change.value for change in changes]), rel=0.15)


def test_plans_of_the_same_hours_differ_by_nothing_and_those_of_one_run_have_no_interval():
    same = difference_around_quantile([3.0, 4.0, 9.0], [3.0, 4.0, 9.0], 0.8)
    assert (same.value, same.low, same.high) == (0.0, 0.0, 0.0)
    assert difference_around_quantile([3.0], [4.0], 0.8).low is None


def test_where_a_run_around_the_quantile_is_never_ready_the_quantile_itself_is_compared():
    first = [float(hour) for hour in range(20)]
    second = [*first[:17], math.inf, math.inf, math.inf]
    assert difference_around_quantile(first, second, 0.8) == difference_of_quantiles(first, second, 0.8)
    last_two = [*first[:18], math.inf, math.inf]  # beyond P90
    assert difference_around_quantile(first, last_two, 0.8).value == 0.0


@pytest.mark.parametrize(("later", "apart"), [(0.0, 10.0), (MARGIN, 6.0), (SHIFT, 6.0)])
def test_over_all_looks_intervals_hold_as_often_as_promised_and_what_matters_is_not_denied(later, apart):
    # 400 repetitions: a standard error of 1.1 % at 5 %, which three of allow.
    said, missed, _ = decide(np.random.default_rng(11), later, apart, 400)
    assert missed <= 0.05 + 0.033
    if later:
        assert said[Effect.NO_MATTER] <= 0.025 + 0.023
    else:
        assert said[Effect.MEASURABLE] <= 0.05 + 0.033


def test_who_looks_at_an_ordinary_interval_each_time_is_misled_too_often():
    _, missed, _ = decide(np.random.default_rng(11), 0.0, 20.0, 400, (0.95,) * len(LOOKS))
    assert missed > 0.05 + 0.033


def test_a_change_of_minutes_is_known_not_to_matter_at_the_first_look_and_one_of_a_shift_to_be_there():
    said, _, runs = decide(np.random.default_rng(12), 0.3, 0.5, 60)
    assert said[Effect.NO_MATTER] + said[Effect.MEASURABLE] == 1.0 and runs == FIRST
    said, _, runs = decide(np.random.default_rng(12), SHIFT, 2.0, 60)
    assert said[Effect.MEASURABLE] == 1.0 and runs <= 80
