"""The binomial intervals are computed from special functions; the statistics library gives the same ones."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binomtest, quantile_test

from simulation.stats.chances import estimate_chance
from simulation.stats.quantiles import estimate

# No tail here is exactly the chance of a rank: there either rank is right, and the last bit decides.
confidences = st.sampled_from([0.83, 0.91, 0.95, 0.99])
shares = st.sampled_from([0.1, 0.5, 0.8, 0.9, 0.95])


@given(runs=st.integers(1, 900), share=shares, confidence=confidences)
@settings(deadline=None, max_examples=150)
def test_a_quantile_has_the_interval_of_the_quantile_test(runs, share, confidence):
    values = [float(number) for number in range(runs)]
    theirs = quantile_test(values, q=0, p=share).confidence_interval(confidence)
    mine = estimate(values, share, confidence)
    assert (mine.low, mine.high) == tuple(None if math.isnan(end) else end for end in (theirs.low, theirs.high))


@given(runs=st.integers(1, 900), part=st.floats(0, 1), confidence=confidences)
@settings(deadline=None, max_examples=150)
def test_a_chance_has_the_exact_interval_of_the_binomial_test(runs, part, confidence):
    count = round(part * runs)
    theirs = binomtest(count, runs).proportion_ci(confidence, method="exact")
    mine = estimate_chance(count, runs, confidence)
    assert (mine.low, mine.high) == pytest.approx((theirs.low, theirs.high), abs=1e-9)
