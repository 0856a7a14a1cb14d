"""Checks S1 and S8: quantile intervals and words of likelihood against published and recomputed values."""

import pytest
from scipy.stats import binom

from simulation.analysis.deadline import Deadline, deadline_chance
from simulation.analysis.likelihood_words import likelihood
from simulation.analysis.quantiles import estimate


@pytest.mark.parametrize(("builds", "share", "ranks"), [(100, 0.80, (72, 89)), (100, 0.90, (84, 96)), (1000, 0.80, (775, 825))])
def test_s1_the_interval_of_a_quantile_lies_between_these_ranks(builds, share, ranks):
    # S1: binomial, recomputed (R). Builds whose times are their own ranks show which ranks the interval takes.
    found = estimate([float(rank) for rank in range(1, builds + 1)], share)
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
    # S8: ICD 203 (T). Through the product's own path: so many of 1,000 builds are ready by the deadline.
    for on_time in (10 * low + 1, 5 * (low + high), 10 * high - 1):
        hours = [100.0] * on_time + [300.0] * (1000 - on_time)
        assert deadline_chance(Deadline("200 h", 200.0), hours, horizon=1000.0).likelihood == word


def test_s8_beyond_the_ends_of_the_scale_the_word_of_the_end_holds():
    assert {likelihood(p) for p in (0.0, 0.005)} == {"almost no chance"}
    assert {likelihood(p) for p in (0.995, 1.0)} == {"almost certain"}
