"""Shares of the spread and rank correlations of inputs whose effect is known."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from SALib.analyze import rbd_fast

from simulation.stats.first_order import LEAST, first_order, least_measurable, rank_correlation, runs_to_detect, told_apart


def sample(runs, inputs, seed):
    return np.random.default_rng(seed).standard_normal((runs, inputs))


def test_luck_that_is_no_input_divides_every_share_by_one_and_its_part():
    # Four and one parts of variance from two inputs; luck has f = .5 of their variance: shares .8 / 1.5 and .2 / 1.5.
    values, luck = sample(4000, 3, 1), sample(4000, 1, 2)[:, 0]
    strong, weak, none = first_order(values, 2 * values[:, 0] - values[:, 1] + math.sqrt(2.5) * luck)
    assert strong.value == pytest.approx(0.8 / 1.5, abs=0.03)
    assert weak.value == pytest.approx(0.2 / 1.5, abs=0.03)
    assert none.value == pytest.approx(0.0, abs=0.01)
    assert strong.measurable and weak.measurable and not none.measurable
    assert strong.low < strong.value < strong.high


def test_an_effect_that_rises_and_falls_has_a_share_and_no_rank_correlation():
    values = sample(1000, 2, 3)
    outcome = np.abs(values[:, 0]) + 0.2 * values[:, 1]
    share = first_order(values, outcome)[0]
    rank = rank_correlation(values[:, 0].tolist(), outcome.tolist(), inputs=2)
    assert share.value > 0.7
    assert share.measurable
    assert abs(rank.value) < 0.1
    assert not rank.measurable


def test_a_direction_is_falsely_told_as_seldom_as_stated_even_of_an_effect_that_rises_and_falls():
    # 100 samples at 5 % have a standard deviation of 2.2 %.
    for effect in (np.abs, np.zeros_like):
        told = 0
        for seed in range(100):
            values = sample(100, 2, 3000 + seed)
            outcome = effect(values[:, 0]) + 0.2 * values[:, 1]
            told += rank_correlation(values[:, 0].tolist(), outcome.tolist()).measurable
        assert told / 100 < 0.11


def test_a_rising_effect_is_seen_by_both_whatever_its_shape():
    values = sample(400, 1, 4)
    outcome = np.exp(2 * values[:, 0])
    assert first_order(values, outcome)[0].measurable
    assert rank_correlation(values[:, 0].tolist(), outcome.tolist()).value == 1.0
    assert rank_correlation((-values[:, 0]).tolist(), outcome.tolist()).value == -1.0


def test_equal_effects_are_told_apart_as_seldom_as_stated_and_unequal_ones_nearly_always():
    for by_share, runs, samples in ((True, 300, 5), (False, 80, 25)):
        alike = larger = 0
        for seed in range(samples):
            values, luck = sample(runs, 3, 5000 + seed), sample(runs, 1, 6000 + seed)[:, 0]
            equal, far = told_apart(values, values @ [1.0, -1.0, 0.0] + luck, by_share)
            alike, larger = alike + equal, larger + far
        assert alike / samples <= 0.05 + 3 * math.sqrt(0.05 * 0.95 / samples)
        assert larger / samples > 0.8


def test_only_the_order_of_an_input_counts():
    values, luck = sample(300, 1, 5), sample(300, 1, 6)[:, 0]
    outcome = values[:, 0] + luck
    assert first_order(values, outcome) == first_order(np.exp(3 * values), outcome)


def shares_of_nothing(outcomes):
    """Return the corrected share of an input that does nothing for each row: sorted by it, the outcomes are in any order."""
    power = np.abs(np.fft.rfft(outcomes, axis=-1)) ** 2
    power[:, 1 : (outcomes.shape[1] + 1) // 2] *= 2  # all frequencies but half of the runs' number stand for two
    share, given_by_noise = power[:, 1:11].sum(axis=1) / power[:, 1:].sum(axis=1), 20 / outcomes.shape[1]
    return share - given_by_noise / (1 - given_by_noise) * (1 - share)


@pytest.mark.parametrize("runs", [120, 401])
def test_inputs_that_do_nothing_are_told_as_seldom_as_stated_where_outcomes_are_clustered_too(runs):
    # 4,000 at 5 % have a standard deviation of .35 %.
    luck = np.random.default_rng(8)
    outcomes = np.round(np.exp(1.5 * luck.standard_normal((4000, runs))), 1)
    assert 0.035 < np.mean(shares_of_nothing(outcomes) > least_measurable(runs, 1)) < 0.06
    # Of ten looked at together one is told as seldom; 400 such have a standard deviation of 1.1 %.
    together = (shares_of_nothing(outcomes) > least_measurable(runs, 10)).reshape(400, 10)
    assert together.any(axis=1).mean() < 0.085


def test_shares_are_those_of_the_library_and_told_by_the_number_of_inputs_looked_at():
    values, outcome = sample(200, 6, 9), sample(200, 1, 10)[:, 0]
    outcome = outcome + 0.5 * values[:, 0] + 0.25 * values[:, 1]
    found = first_order(values, outcome)
    problem = {"num_vars": 6, "names": list("abcdef"), "bounds": [[0.0, 1.0]] * 6}
    assert [one.value for one in found] == rbd_fast.analyze(problem, values, outcome, num_resamples=2)["S1"]
    assert [one.measurable for one in found] == [one.value > least_measurable(200, 6) for one in found]


def test_intervals_hold_the_truth_at_least_nearly_as_often_as_stated():
    # y = 2 a + b + noise: exact shares 4/6 and 1/6 of a variance of 6. Sharp bends are not there, so nothing is cut off.
    held, samples = np.zeros(2), 40
    for seed in range(samples):
        values = sample(300, 2, 1000 + seed)
        outcome = 2 * values[:, 0] + values[:, 1] + sample(300, 1, 2000 + seed)[:, 0]
        shares = first_order(values, outcome)
        held += [share.low <= exact <= share.high for share, exact in zip(shares, (4 / 6, 1 / 6), strict=True)]
    assert (held / samples >= 0.86).all(), held  # more than two standard deviations below 95 %


@pytest.mark.parametrize("share", [0.05, 0.01])
def test_the_runs_that_are_said_to_tell_a_share_do_and_one_less_does_not(share):
    runs = runs_to_detect(share, 10)
    assert least_measurable(runs, 10) <= share < least_measurable(runs - 1, 10)


def test_few_runs_and_outcomes_without_a_spread_are_refused():
    with pytest.raises(ValueError, match="at least"):
        first_order(sample(LEAST - 1, 1, 1), sample(LEAST - 1, 1, 2)[:, 0])
    with pytest.raises(ValueError, match="same throughout"):
        first_order(sample(LEAST, 1, 1), np.ones(LEAST))
    assert rank_correlation([1.0, 2.0, 3.0], [5.0, 5.0, 5.0]) is None
    assert rank_correlation([1.0], [5.0]) is None


def test_outcomes_that_differ_in_a_single_run_are_no_error():
    outcome = np.ones(LEAST)
    outcome[7] = 2.0
    (share,) = first_order(sample(LEAST, 1, 1), outcome)
    assert 0.0 <= share.low <= share.high <= 1.0


@given(st.integers(4, 30).flatmap(lambda size: st.tuples(st.permutations(range(size)), st.permutations(range(size)))))
def test_rank_correlation_lies_in_its_interval_and_turns_round_with_the_outcome(pair):
    values, outcome = pair
    rank, turned = rank_correlation(values, outcome), rank_correlation(values, [-one for one in outcome])
    assert -1.0 <= rank.low <= rank.value <= rank.high <= 1.0
    assert turned.value == pytest.approx(-rank.value)


def test_an_unfinished_run_ranks_last():
    assert rank_correlation([1.0, 2.0, 3.0, 4.0, 5.0], [10.0, 20.0, 30.0, math.inf, math.inf]).value > 0.9
