"""What each input moves is what was put in, its error holds the truth, and an input that does nothing is seldom said to."""

import numpy as np
import pytest

from simulation.stats.level_regression import estimate_swings
from simulation.stats.paired_difference import UNKNOWN

APART = 2 * 1.2815515655446004


def sample(luck, runs, slopes, noise):
    values = luck.normal(size=(runs, len(slopes)))
    return np.exp(values), 100.0 + values @ np.array(slopes) + luck.normal(0.0, noise, runs)


def test_the_swing_of_each_input_is_what_it_moves_from_its_p10_to_its_p90_whatever_its_shape():
    values, outcome = sample(np.random.default_rng(4), 4000, [10.0, -4.0, 0.0], 1.0)
    found = estimate_swings(values, outcome)
    assert [one.value for one in found] == pytest.approx([10.0 * APART, -4.0 * APART, 0.0], abs=0.3)
    assert [one.measurable for one in found] == [True, True, False]


def test_all_intervals_together_miss_as_seldom_as_promised():
    luck, slopes = np.random.default_rng(2), [10.0, 3.0, *[0.0] * 8]
    missed = 0
    for _ in range(300):
        found = estimate_swings(*sample(luck, 200, slopes, 30.0))
        missed += any(not one.low <= APART * slope <= one.high for one, slope in zip(found, slopes, strict=True))
    assert missed <= 0.05 * 300 + 2 * 3.8  # a standard error of 1.26 %


def test_too_few_runs_for_so_many_inputs_say_nothing():
    values, outcome = sample(np.random.default_rng(3), 12, [1.0] * 8, 1.0)
    assert estimate_swings(values, outcome) == [UNKNOWN] * 8
