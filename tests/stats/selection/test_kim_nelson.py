"""The plan of the smallest mean is found as often as promised, with luck of its own and with luck that all share."""

import numpy as np
import pytest

from simulation.stats.selection.kim_nelson import select_by_mean

#: One plan better than all others by exactly what matters: the hardest case.
SLIPPED = np.array([1.0, *[2.0] * 4])


def observing(luck, means, shared, spread=3.0):
    common: list[float] = []

    def observe(places, start, end):
        while len(common) < end:
            common.append(luck.normal(0.0, spread))
        own = luck.normal(0.0, spread, (len(places), end - start)) * np.sqrt(1.0 - shared)
        return means[list(places), np.newaxis] + own + np.sqrt(shared) * np.array(common[start:end])

    return observe


def select(seed, means, shared, repetitions, **how):
    luck = np.random.default_rng(seed)
    found = [select_by_mean(observing(luck, means, shared), len(means), 1.0, **how) for _ in range(repetitions)]
    right = sum(one.best == int(means.argmin()) for one in found) / repetitions
    return right, sum(sum(one.observations) for one in found) / repetitions


@pytest.mark.parametrize("shared", [0.0, 0.9])
def test_the_best_is_found_as_often_as_promised(shared):
    right, _ = select(1, SLIPPED, shared, 500)
    assert right >= 0.95 - 0.01  # a standard error of 1 %


def test_luck_that_is_shared_spares_most_of_the_runs():
    _, own = select(2, SLIPPED, 0.0, 40, first=10)
    _, shared = select(2, SLIPPED, 0.9, 40, first=10)
    assert shared < own / 4


def test_plans_far_behind_are_dropped_at_the_first_look():
    luck = np.random.default_rng(3)
    found = select_by_mean(observing(luck, np.array([0.0, 0.0, 90.0, 80.0]), 0.0), 4, 1.0, most=60)
    assert found.observations[2:] == (20, 20)
    assert {0, 1} == set(found.left)


def test_observations_taken_in_chunks_name_the_same_plan():
    for seed in range(5):
        single = select_by_mean(observing(np.random.default_rng(seed), SLIPPED, 1.0), 5, 1.0)
        chunks = select_by_mean(observing(np.random.default_rng(seed), SLIPPED, 1.0), 5, 1.0, each=7)
        assert single.best == chunks.best == 0


def test_what_is_undecided_after_the_most_runs_is_said_to_be():
    found = select_by_mean(observing(np.random.default_rng(4), np.array([1.0, 1.01]), 0.0), 2, 0.1, most=40)
    assert len(found.left) == 2 and found.observations == (40, 40)
