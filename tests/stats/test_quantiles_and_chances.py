"""Order statistics and their intervals, with runs that never finished among them."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simulation.questions.forecast.milestones import mean_and_sd
from simulation.stats.chances import estimate_chance
from simulation.stats.likelihood_words import likelihood
from simulation.stats.quantiles import estimate, order_statistic

times = st.lists(st.one_of(st.floats(0.1, 1000.0), st.just(math.inf)), min_size=1, max_size=60)


@given(times, st.sampled_from([0.1, 0.5, 0.8, 0.9, 0.95]))
def test_a_quantile_is_the_smallest_time_that_enough_runs_meet(values, share):
    found = order_statistic(values, share)
    met = sum(value <= found for value in values)
    earlier = sum(value < found for value in values)
    assert found in values
    assert met >= share * len(values) - 1e-9
    assert earlier < share * len(values)


def test_p80_of_five_runs_is_the_fourth_whatever_the_last_bit_of_the_product_says():
    assert order_statistic([5.0, 4.0, 3.0, 2.0, 1.0], 0.8) == 4.0
    # 0.07 × 100 is 7.000000000000001 in binary.
    assert order_statistic(list(range(1, 101)), 0.07) == 7


def test_a_quantile_beyond_the_finished_share_lies_beyond_the_horizon():
    values = [*range(1, 86), *[math.inf] * 15]
    assert estimate(values, 0.8).value == 80
    assert estimate(values, 0.8).high == math.inf  # rank 89 of 100 never finished
    assert estimate(values, 0.9).value == math.inf


def test_few_runs_set_no_limit_and_say_so():
    assert (estimate([1.0], 0.8).low, estimate([1.0], 0.8).high) == (None, None)
    five = estimate([1.0, 2.0, 3.0, 4.0, 5.0], 0.8)
    assert five.low == 2.0
    assert five.high is None


@given(times)
def test_an_interval_holds_its_quantile(values):
    found = estimate(values, 0.8)
    assert found.low is None or found.low <= found.value
    assert found.high is None or found.value <= found.high


def test_intervals_hold_the_true_quantile_in_at_least_the_stated_share_of_samples():
    import numpy as np
    from scipy.stats import norm

    luck = np.random.default_rng(5)
    true = norm.ppf(0.8)
    held = 0
    for _ in range(400):
        found = estimate(luck.standard_normal(120).tolist(), 0.8)
        held += found.low <= true <= found.high
    # 400 samples at 95 % have a standard deviation of 1.1 %; the exact ranks cover a little more than 95 %.
    assert 0.92 <= held / 400 <= 0.995


def test_a_chance_no_run_contradicts_is_still_not_certain():
    sure = estimate_chance(100, 100)
    assert sure.probability == 1.0
    assert sure.high == 1.0
    assert sure.low == pytest.approx(0.025 ** (1 / 100))  # the closed form of the exact interval at its end
    assert estimate_chance(0, 100).high == pytest.approx(1 - 0.025 ** (1 / 100))


@pytest.mark.parametrize("wrong", [-0.01, 1.01, math.nan])
def test_what_is_no_probability_has_no_word(wrong):
    with pytest.raises(ValueError, match="is no probability"):
        likelihood(wrong)


def test_mean_and_sd_are_those_of_the_textbook():
    assert mean_and_sd([2.0, 4.0, 4.0, 4.0, 5.0, 5.0, 7.0, 9.0]) == (5.0, pytest.approx(math.sqrt(32 / 7)))
    assert mean_and_sd([3.5]) == (3.5, None)
