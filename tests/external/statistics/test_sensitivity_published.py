"""Check S7: first-order indices of the Ishigami function, by RBD-FAST and by Sobol'."""

import numpy as np
import pytest
from SALib.analyze import sobol as sobol_analysis
from SALib.sample import sobol as sobol_sample

from simulation.stats.first_order import first_order, rank_correlation

# S7: Ishigami & Homma 1990, with a = 7 and b = .1; indices recomputed (R): V = a²/8 + bπ⁴/5 + b²π⁸/18 + 1/2.
PUBLISHED = (0.3139, 0.4424, 0.0)
A, B = 7.0, 0.1


def ishigami(x):
    return np.sin(x[:, 0]) + A * np.sin(x[:, 1]) ** 2 + B * x[:, 2] ** 4 * np.sin(x[:, 0])


def test_s7_the_published_indices_are_those_of_the_formula():
    variance = A**2 / 8 + B * np.pi**4 / 5 + B**2 * np.pi**8 / 18 + 0.5
    exact = ((1 + B * np.pi**4 / 5) ** 2 / 2 / variance, A**2 / 8 / variance, 0.0)
    assert exact == pytest.approx(PUBLISHED, abs=5e-5)


def test_s7_rbd_fast_finds_the_published_indices_of_a_random_sample():
    # 10,000 runs; the standard deviation of an index is then about .006 (halves of the sample), so .02 is three of them.
    x = np.random.default_rng(20310402).uniform(-np.pi, np.pi, (10_000, 3))
    found = first_order(x, ishigami(x))
    for share, exact in zip(found, PUBLISHED, strict=True):
        assert share.value == pytest.approx(exact, abs=0.02)
        assert share.high - share.low < 0.06
    assert [share.measurable for share in found] == [True, True, False]


def test_s7_sobol_finds_the_same_from_a_design_of_its_own():
    # By the library, from runs that only a design of its own can give: RBD-FAST, from any runs, agrees with it.
    problem = {"num_vars": 3, "names": ["a", "b", "c"], "bounds": [[-np.pi, np.pi]] * 3}
    design = sobol_sample.sample(problem, 4096, calc_second_order=False, seed=1)
    found = sobol_analysis.analyze(problem, ishigami(design), calc_second_order=False, num_resamples=10, seed=1)
    x = np.random.default_rng(7).uniform(-np.pi, np.pi, (10_000, 3))
    for index, share, exact in zip(found["S1"], first_order(x, ishigami(x)), PUBLISHED, strict=True):
        assert index == pytest.approx(exact, abs=0.01)
        assert share.value == pytest.approx(index, abs=0.02)


def test_s7_rank_correlation_misses_the_second_input_which_rises_and_falls():
    x = np.random.default_rng(20310402).uniform(-np.pi, np.pi, (10_000, 3))
    ranks = [rank_correlation(x[:, place], ishigami(x), 3) for place in range(3)]
    assert [rank.measurable for rank in ranks] == [True, False, False]
