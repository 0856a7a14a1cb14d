"""The luck of the moment: factors of mean 1 whose spread is the stated one and whose luck outlives a change of spread."""

import math
from itertools import islice

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simulation.chance import Streams, draw_factors, factors

MANY = 40_000
SPREADS = [0.05, 0.3, 0.8, 1.5]
scatters = st.one_of(st.floats(0.001, 3), st.sampled_from(["exponential", "erlang-2"]))


def drawn(scatter, count, run_number=0):
    return factors(scatter, Streams(20310402, run_number).stream("place", "runway"), count)


@pytest.mark.parametrize("cv", SPREADS)
def test_factors_have_mean_one_and_the_stated_coefficient_of_variation(cv):
    # Within 4 standard errors; that of the cv from the lognormal's fourth moment, with w = 1 + cv².
    values = drawn(cv, MANY)
    w = 1 + cv * cv
    kurtosis = w**4 + 2 * w**3 + 3 * w**2 - 3
    assert abs(values.mean() - 1) < 4 * cv / math.sqrt(MANY)
    assert abs(values.std() - cv) < 4 * cv / 2 * math.sqrt((kurtosis - 1) / MANY)


@pytest.mark.parametrize("cv", SPREADS)
def test_logarithms_of_factors_are_normal_with_the_stated_spread(cv):
    logs = np.log(drawn(cv, MANY))
    variance = math.log1p(cv * cv)
    sd = math.sqrt(variance)
    assert abs(logs.mean() + variance / 2) < 4 * sd / math.sqrt(MANY)
    assert abs(logs.std() / sd - 1) < 4 / math.sqrt(2 * MANY)
    beyond = (np.abs(logs + variance / 2) > 1.959964 * sd).mean()
    assert abs(beyond - 0.05) < 4 * math.sqrt(0.05 * 0.95 / MANY)


@pytest.mark.parametrize(
    ("name", "cv", "kurtosis", "over_one"),
    [
        ("exponential", 1.0, 9.0, math.exp(-1)),
        ("erlang-2", math.sqrt(0.5), 6.0, 3 * math.exp(-2)),  # P(Gamma(2, 1/2) > 1) = e⁻² (1 + 2)
    ],
)
def test_named_scatters_have_their_textbook_moments(name, cv, kurtosis, over_one):
    values = drawn(name, MANY)
    assert abs(values.mean() - 1) < 4 * cv / math.sqrt(MANY)
    assert abs(values.std() - cv) < 4 * cv / 2 * math.sqrt((kurtosis - 1) / MANY)
    assert abs((values > 1).mean() - over_one) < 4 * math.sqrt(over_one * (1 - over_one) / MANY)


@given(st.floats(0.01, 3), st.floats(0.01, 3))
def test_a_changed_spread_leaves_the_luck_of_each_step_as_it_was(one, other):
    scores = []
    for cv in (one, other):
        variance = math.log1p(cv * cv)
        scores.append((np.log(drawn(cv, 200)) + variance / 2) / math.sqrt(variance))
    assert np.allclose(scores[0], scores[1], atol=1e-9)
    assert np.array_equal(np.argsort(drawn(one, 200)), np.argsort(drawn(other, 200)))


@given(scatters, st.integers(1, 200), st.integers(0, 200))
def test_a_longer_block_of_factors_begins_with_the_shorter_one(scatter, count, more):
    assert drawn(scatter, count + more)[:count].tolist() == drawn(scatter, count).tolist()


@given(scatters, st.integers(1, 400))
def test_factors_taken_one_by_one_are_those_of_one_block(scatter, count):
    luck = Streams(20310402, 0)
    assert list(islice(draw_factors(scatter, luck, "place", "runway"), count)) == drawn(scatter, count).tolist()


@given(scatters)
def test_no_factor_is_below_zero_and_none_is_missing(scatter):
    values = drawn(scatter, 500)
    assert np.isfinite(values).all()
    assert (values > 0).all()


def test_without_scatter_every_factor_is_one_and_no_stream_is_made(monkeypatch):
    def no_stream(*_):
        raise AssertionError("a stream was made")

    monkeypatch.setattr(Streams, "stream", no_stream)
    assert list(islice(draw_factors(0.0, Streams(1, 0), "place", "runway"), 300)) == [1.0] * 300


def test_a_scatter_of_zero_drawn_as_a_block_is_all_ones():
    assert drawn(0.0, 100).tolist() == [1.0] * 100
