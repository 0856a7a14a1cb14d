"""Do sums of our own say what the library of special functions says?"""

import pytest
from scipy.special import betaincinv
from scipy.stats import binom

from simulation.stats.binomial import MOST, at_most, least_chance


@pytest.mark.parametrize("runs", [1, 2, 30, 400, MOST])
@pytest.mark.parametrize("chance", [0.001, 0.1, 0.5, 0.8, 0.999])
def test_chances_of_counts_are_those_of_the_binomial_distribution(runs, chance):
    assert at_most(runs, chance) == pytest.approx(binom.cdf(range(runs + 1), runs, chance), rel=1e-9, abs=1e-13)


@pytest.mark.parametrize("runs", [1, 2, 30, 400, MOST])
@pytest.mark.parametrize("share", [0.0, 0.03, 0.5, 0.97, 1.0])
@pytest.mark.parametrize("tail", [0.025, 0.5, 0.975])
def test_the_chance_behind_a_count_is_that_of_clopper_and_pearson(runs, share, tail):
    count = max(1, round(share * runs))
    assert least_chance(count, runs, tail) == pytest.approx(betaincinv(count, runs - count + 1, tail), rel=1e-11)
