"""The constants of selection are the published ones."""

import numpy as np
import pytest
from selection_constants import comparison_constant, kim_nelson_constants

from simulation.stats.selection.allocation import budget_shares


@pytest.mark.parametrize(
    ("plans", "first", "eta", "squared"), [(5, 10, 0.6350, 11.429), (5, 20, 0.2372, 9.0151), (2, 20, 0.1371, 5.2112)]
)
def test_kim_and_nelson_s_constants_are_those_of_their_formula(plans, first, eta, squared):
    # Kim & Nelson 2001, alpha 5 %, c = 1 (recomputed).
    found = kim_nelson_constants(plans, first)
    assert (found.eta, found.squared) == (pytest.approx(eta, abs=5e-5), pytest.approx(squared, abs=6e-4))


@pytest.mark.parametrize(("others", "constant"), [(1, 1.645), (2, 1.916), (3, 2.062), (4, 2.160), (5, 2.234)])
def test_the_constants_of_one_sided_comparisons_are_dunnett_s(others, constant):
    assert comparison_constant(others) == pytest.approx(constant, abs=6e-4)  # infinite degrees of freedom (recomputed)


def test_with_many_others_the_constant_is_that_of_the_largest_of_correlated_scores():
    luck = np.random.default_rng(1)
    largest = ((luck.normal(size=(40_000, 40)) - luck.normal(size=(40_000, 1))) / np.sqrt(2.0)).max(axis=1)
    assert (largest <= comparison_constant(40)).mean() == pytest.approx(0.95, abs=0.0033)  # three standard errors


def test_a_budget_goes_where_ocba_sends_it():
    # Chen et al. 2000: means 1, 2, 3 and deviations 1, 1, 3 share 100 runs (recomputed).
    shares = [100 * share for share in budget_shares([1.0, 2.0, 3.0], [1.0, 1.0, 3.0])]
    assert shares == pytest.approx([27.78, 22.22, 50.00], abs=5e-3)


@pytest.mark.parametrize(("plans", "first"), [(1, 20), (5, 1)])
def test_what_cannot_be_compared_has_no_constants(plans, first):
    with pytest.raises(ValueError, match="must be 2 at least"):
        kim_nelson_constants(plans, first)
