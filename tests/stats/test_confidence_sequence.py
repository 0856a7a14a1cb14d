"""The confidence sequence: what it must be for any runs, and how often it is wrong when it is looked at all the time."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import betaln
from scipy.stats import beta as beta_law

from simulation.stats.chances import estimate_chance
from simulation.stats.confidence_sequence import evidence_against, sequence_interval

ASKED = st.floats(0.02, 0.98)
ERRORS = st.floats(1e-6, 0.5)


@st.composite
def seen(draw, most=3000):
    runs = draw(st.integers(1, most))
    return draw(st.integers(0, runs)), runs


@given(seen(), ASKED, ERRORS)
def test_the_interval_holds_the_share_that_was_seen_and_stays_a_chance(one, asked, error):
    low, high = sequence_interval(*one, asked, error)
    assert 0.0 <= low <= one[0] / one[1] <= high <= 1.0


@given(seen(most=200), ASKED, ERRORS)
def test_it_narrows_when_four_times_as_many_runs_say_the_same(one, asked, error):
    low, high = sequence_interval(*one, asked, error)
    nearer_low, nearer_high = sequence_interval(4 * one[0], 4 * one[1], asked, error)
    assert nearer_high - nearer_low < high - low


@given(seen(), ASKED, ERRORS)
def test_it_is_the_same_for_being_late_as_for_being_on_time(one, asked, error):
    low, high = sequence_interval(*one, asked, error)
    late = sequence_interval(one[1] - one[0], one[1], 1.0 - asked, error)
    assert (1.0 - late[1], 1.0 - late[0]) == pytest.approx((low, high), abs=1e-9)


@given(seen(), ASKED, ERRORS, st.floats(0.01, 0.99))
def test_a_smaller_error_gives_a_wider_interval_around_the_other(one, asked, error, part):
    low, high = sequence_interval(*one, asked, error)
    wider_low, wider_high = sequence_interval(*one, asked, part * error)
    assert wider_low <= low
    assert high <= wider_high


@given(seen(), ASKED, ERRORS)
def test_it_keeps_what_brute_force_keeps(one, asked, error):
    count, runs = one
    chances = (np.arange(20_000) + 0.5) / 20_000
    prior = 10 * asked, 10 * (1 - asked)
    log_ratio = betaln(prior[0] + count, prior[1] + runs - count) - betaln(*prior)
    kept = chances[log_ratio - count * np.log(chances) - (runs - count) * np.log1p(-chances) <= math.log(1 / error)]
    low, high = sequence_interval(count, runs, asked, error)
    assert ((kept > low - 1e-9) & (kept < high + 1e-9)).all()
    # The grid may miss an interval that is narrower than its step; where it does not, both end within one step.
    assert len(kept) == 0 or (kept[0] - low < 1e-4 and high - kept[-1] < 1e-4)


def test_without_runs_every_chance_is_kept():
    assert sequence_interval(0, 0, 0.8, 0.05) == (0.0, 1.0)


def test_evidence_is_the_likelihood_under_the_prior_over_that_under_the_chance():
    # Three runs, on time, late, on time: the prior's mean of p (1 − p) p, by numerical integration, over the doubted one.
    chances = (np.arange(100_000) + 0.5) / 100_000
    under_prior = np.mean(chances**2 * (1 - chances) * beta_law(8, 2).pdf(chances))
    assert evidence_against(0.6, 2, 3, 0.8) == pytest.approx(math.log(under_prior / (0.6**2 * 0.4)), abs=1e-6)


def test_looked_at_after_every_run_it_is_wrong_no_more_often_than_it_says_but_an_ordinary_interval_is():
    runs, runs, error = 4000, 1000, 0.05
    on_time = np.random.default_rng(20310402).random((runs, runs)) < 0.8
    counts, done = on_time.cumsum(axis=1), np.arange(1, runs + 1)
    log_ratio = betaln(8 + counts, 2 + done - counts) - betaln(8, 2) - counts * math.log(0.8) - (done - counts) * math.log(0.2)
    wrong = (log_ratio > math.log(1 / error)).any(axis=1)
    # The matrix is the product's own sequence: held to it here and there.
    for run, run in ((0, 0), (17, 499), (3999, 999), (int(wrong.argmax()), int((log_ratio[wrong.argmax()] > 3.0).argmax()))):
        found = evidence_against(0.8, int(counts[run, run]), run + 1, 0.8)
        assert found == pytest.approx(log_ratio[run, run], abs=1e-9)
    standard_error = math.sqrt(error * (1 - error) / runs)
    assert wrong.mean() <= error + 2 * standard_error
    assert wrong.mean() > 0.005  # it is not right because it never decides anything
    looks = range(49, runs, 50)
    ordinary = np.zeros(runs, dtype=bool)
    for look in looks:
        found = counts[:, look]
        ends = {int(one): estimate_chance(int(one), look + 1) for one in set(found.tolist())}
        ordinary |= np.array([not ends[one].low <= 0.8 <= ends[one].high for one in found.tolist()])
    assert ordinary.mean() > 2 * error
