"""A quantile read of all runs around it is that of Harrell and Davis, comes to the plain one, and tells plans apart sooner."""

import math

import numpy as np
import pytest
from scipy.stats.mstats import hdquantiles

from simulation.stats.paired_difference import Difference, difference_of_quantiles
from simulation.stats.quantiles import order_statistics
from simulation.stats.selection.by_intervals import select_by_intervals
from simulation.stats.selection.smooth_quantile import difference_of_smooth_quantiles, smooth_quantiles

LOOKS = (25, 50, 100, 200, 400, 800, 1600)
#: Half a shift of a day that has twelve hours of work.
MATTERS = 6.0


@pytest.mark.parametrize(("count", "share"), [(25, 0.8), (100, 0.8), (7, 0.5)])
def test_it_is_that_of_another_program(count, share):
    values = np.random.default_rng(count).gamma(3.0, 2.0, (4, count))
    expected = [float(hdquantiles(row, prob=[share])[0]) for row in values]
    assert smooth_quantiles(values, share).tolist() == pytest.approx(expected, rel=1e-9)


def test_of_many_runs_it_is_the_plain_one():
    values = np.random.default_rng(2).normal(100.0, 20.0, 200_000)
    assert float(smooth_quantiles(values, 0.8)) == pytest.approx(float(order_statistics(values, 0.8)), abs=0.02)


def laid_by_day(hours):
    """Return when so many hours of work are done, where each day has twelve of them and a night after it."""
    return 24.0 * np.floor(hours / 12.0) + hours % 12.0


def sample(luck, runs):
    """Return runs of eight plans that share most of their luck, from the same to a day and a half of work later."""
    shared, own = 100.0 + 60.0 * luck.gamma(4.0, 0.25, runs), luck.normal(0.0, 3.0, (8, runs))
    return laid_by_day(shared + own + np.array([0.0, 1.0, 2.0, 3.0, 5.0, 8.0, 12.0, 18.0])[:, np.newaxis])


def select(values, statistic):
    return select_by_intervals(lambda rows, count: values[list(rows)][:, :count], len(values), statistic, MATTERS, LOOKS)


def test_where_runs_end_by_nights_the_best_is_found_as_surely_with_a_third_of_the_runs():
    luck, taken = np.random.default_rng(3), {"smooth": 0, "plain": 0}
    true = order_statistics(sample(np.random.default_rng(7), 20_000), 0.8)
    for _ in range(3):
        values = sample(luck, LOOKS[-1])
        smooth, plain = (select(values, lambda rows, read=read: read(rows, 0.8)) for read in (smooth_quantiles, order_statistics))
        assert true[smooth.best] <= min(true) + MATTERS
        taken["smooth"] += sum(smooth.observations)
        taken["plain"] += sum(plain.observations)
    assert taken["smooth"] < taken["plain"] / 3


def test_what_a_plan_changes_is_known_better_from_the_runs_around_the_quantile_and_held_by_its_interval():
    luck, missed, narrower = np.random.default_rng(5), 0, 0
    true = np.diff(order_statistics(sample(np.random.default_rng(7), 20_000)[[0, 6]], 0.8))[0]
    for _ in range(20):
        first, second = sample(luck, 200)[[0, 6]].tolist()
        smooth, plain = (each(first, second, 0.8, 0.95) for each in (difference_of_smooth_quantiles, difference_of_quantiles))
        missed += not smooth.low <= true <= smooth.high
        narrower += smooth.high - smooth.low < plain.high - plain.low
    assert missed <= 3
    assert narrower >= 15


def test_runs_that_are_all_the_same_differ_by_nothing_and_where_some_never_end_the_plain_quantiles_are_compared():
    values = np.random.default_rng(6).normal(100.0, 20.0, 60).tolist()
    assert difference_of_smooth_quantiles(values, values, 0.8, 0.95) == Difference(0.0, 0.0, 0.0)
    endless = [math.inf, *values[1:]]
    assert difference_of_smooth_quantiles(values, endless, 0.8, 0.95) == difference_of_quantiles(values, endless, 0.8, 0.95)
