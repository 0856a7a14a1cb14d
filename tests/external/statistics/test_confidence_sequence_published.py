"""Check S5: the beta-binomial confidence sequence at its recomputed values."""

import pytest

from simulation.stats.confidence_sequence import sequence_interval


@pytest.mark.parametrize(
    ("count", "runs", "low", "high"), [(90, 100, 0.7890, 0.9658), (430, 500, 0.8063, 0.9042), (840, 1000, 0.7999, 0.8753)]
)
def test_s5_the_sequence_with_a_beta_8_2_prior_at_ln_20(count, runs, low, high):
    # S5: recomputed (R). An asked chance of 0.8 makes the prior beta(8, 2), an error of 0.05 makes the limit ln 20.
    assert sequence_interval(count, runs, asked=0.8, error=0.05) == pytest.approx((low, high), abs=5e-5)
