"""Checks S1, S8 and S9: quantile intervals, words of likelihood and sums of quantiles against published and recomputed values."""

import math

import pytest
from reduced_fields import SIGMAS, finishing_times
from scipy.stats import binom, gamma

from simulation.stats.likelihood_words import likelihood
from simulation.stats.quantiles import estimate, order_statistic
from simulation.study.deadline import Deadline, deadline_chance


@pytest.mark.parametrize(("runs", "share", "ranks"), [(100, 0.80, (72, 89)), (100, 0.90, (84, 96)), (1000, 0.80, (775, 825))])
def test_s1_the_interval_of_a_quantile_lies_between_these_ranks(runs, share, ranks):
    # S1: binomial, recomputed (R). Runs whose times are their own ranks show which ranks the interval takes.
    found = estimate([float(rank) for rank in range(1, runs + 1)], share)
    assert (found.low, found.high) == ranks


def test_s1_the_ranks_hold_95_percent_like_those_of_hahn_and_meeker():
    # Hahn & Meeker give 85, 97 for n = 100, q = .9 (T): another pair of ranks that holds as well. B(u − 1) − B(l − 1) ≥ .95.
    found = estimate([float(rank) for rank in range(1, 101)], 0.9)
    for low, high in ((found.low, found.high), (85, 97)):
        assert binom.cdf(high - 1, 100, 0.9) - binom.cdf(low - 1, 100, 0.9) >= 0.95


@pytest.mark.parametrize(
    ("low", "high", "word"),
    [
        (1, 5, "almost no chance"),
        (5, 20, "very unlikely"),
        (20, 45, "unlikely"),
        (45, 55, "roughly even chance"),
        (55, 80, "likely"),
        (80, 95, "very likely"),
        (95, 99, "almost certain"),
    ],
)
def test_s8_words_of_likelihood_are_those_of_icd_203(low, high, word):
    # S8: ICD 203 (T). Through the product's own path: so many of 1,000 runs are ready by the deadline.
    for on_time in (10 * low + 1, 5 * (low + high), 10 * high - 1):
        hours = [100.0] * on_time + [300.0] * (1000 - on_time)
        assert deadline_chance(Deadline("200 h", 200.0), hours, horizon=1000.0).likelihood == word


def test_s8_beyond_the_ends_of_the_scale_the_word_of_the_end_holds():
    assert {likelihood(p) for p in (0.0, 0.005)} == {"almost no chance"}
    assert {likelihood(p) for p in (0.995, 1.0)} == {"almost certain"}


def gamma_rows(rows, runs):
    """Return hours of runs of so many rows, each a gamma of shape 2 and scale 2.5 h, their exact law and the error of a P80."""
    hours = finishing_times(runs, rows=rows, place='{ mean = "5 h", scatter = "erlang-2" }')
    law = gamma(2 * rows, scale=2.5)
    return hours.tolist(), law, math.sqrt(0.16 / runs) / law.pdf(law.ppf(0.8))


@pytest.mark.slow
def test_s9_the_p80_of_twenty_activities_in_a_row_is_far_below_the_sum_of_their_p80s():
    # S9: percentiles do not add. Twenty activities of Gamma(4, 2.5 h) one after the other are done by 218.5 h with a chance of
    # 80 %; whoever adds their own P80s promises 275.8 h, which nearly every job keeps. Recomputed (R). An activity is two rows
    # here, since a row's scatter offers a gamma of shape 2: 2 rows are one activity, 40 the job of twenty.
    # Standard errors reached: .54 h of the job's P80, .11 h of an activity's.
    job, law_of_job, error_of_job = gamma_rows(40, 4000)
    one, law_of_one, error_of_one = gamma_rows(2, 6000)
    assert law_of_job.ppf(0.8) == pytest.approx(218.5, abs=0.05)
    assert 20 * law_of_one.ppf(0.8) == pytest.approx(275.8, abs=0.05)
    assert error_of_job < 0.0025 * 218.5
    assert error_of_one < 0.01 * 13.79
    assert abs(order_statistic(job, 0.8) - law_of_job.ppf(0.8)) < SIGMAS * error_of_job
    assert abs(order_statistic(one, 0.8) - law_of_one.ppf(0.8)) < SIGMAS * error_of_one
    # The exact chance to keep the sum is .9989, and with an activity's P80 4 errors too low or too high .9969 or .9997.
    promised = 20 * order_statistic(one, 0.8)
    assert sum(hours <= promised for hours in job) / len(job) > 0.99
