"""The plan of the smallest P80, chance or mean is found as often as promised, with luck of its own and with shared luck."""

import numpy as np
import pytest

from simulation.stats.group_sequential import FEWEST_ALIKE
from simulation.stats.selection.by_intervals import Standing, select_by_intervals

LOOKS = (25, 50, 100, 200, 400, 800)
MATTERS = 6.0


def p80(values):
    rank = int(np.ceil(round(0.8 * values.shape[-1], 9))) - 1
    return np.partition(values, rank, axis=-1)[..., rank]


def mean(values):
    return values.mean(axis=-1)


def sample(luck, shared, plans=5):
    """Return runs of plans of which the first is better than all others by exactly what matters: the hardest case."""
    common, own = luck.gamma(9.0, 5.0, LOOKS[-1]), luck.normal(0.0, 15.0, (plans, LOOKS[-1]))
    values = 100.0 + (common if shared else luck.gamma(9.0, 5.0, (plans, LOOKS[-1]))) + own * (0.3 if shared else 1.0)
    values[1:] += MATTERS
    return values


def select(values, statistic, **how):
    return select_by_intervals(lambda places, runs: values[list(places)][:, :runs], len(values), statistic, MATTERS, LOOKS, **how)


def share_right(shared, statistic, repetitions, seed=1):
    luck = np.random.default_rng(seed)
    found = [select(sample(luck, shared), statistic) for _ in range(repetitions)]
    return sum(one.best == 0 for one in found) / repetitions, np.mean([sum(one.observations) for one in found])


@pytest.mark.parametrize("shared", [True, False])
@pytest.mark.parametrize("statistic", [p80, mean])
def test_the_best_is_found_as_often_as_promised_in_a_few_repetitions(shared, statistic):
    right, _ = share_right(shared, statistic, 25)
    assert right >= 0.95 - 0.09  # two standard errors of 4.4 %


@pytest.mark.slow
@pytest.mark.parametrize("shared", [True, False])
@pytest.mark.parametrize("statistic", [p80, mean])
def test_the_best_is_found_as_often_as_promised(shared, statistic):
    right, _ = share_right(shared, statistic, 500)
    assert right >= 0.95 - 0.01


def test_luck_that_is_shared_spares_most_of_the_runs():
    assert share_right(True, mean, 10)[1] < share_right(False, mean, 10)[1] / 2


def test_of_a_chance_the_largest_is_found_by_its_negative():
    luck = np.random.default_rng(2)
    level = luck.random(800)
    late = np.array([level > chance for chance in (0.5, 0.9, 0.7)], dtype=float)  # late with 1 less each
    found = select_by_intervals(lambda places, runs: late[list(places)][:, :runs], 3, mean, 0.05, LOOKS)
    assert found.best == 1
    assert found.observations[1] <= 200


def test_plans_that_are_alike_end_as_soon_as_they_differ_by_no_more_than_matters():
    values = np.repeat(np.random.default_rng(3).normal(100.0, 20.0, (1, 800)), 3, axis=0)
    found = select(values, p80)
    assert found.observations == (FEWEST_ALIKE,) * 3  # fewer may miss what moves a few in a hundred
    assert set(found.left) == {0, 1, 2}


def test_observations_go_where_they_decide():
    luck = np.random.default_rng(8)
    common = luck.gamma(9.0, 5.0, LOOKS[-1])
    plain, scattered = (common + luck.normal(0.0, own, (2, LOOKS[-1])) for own in (2.0, 60.0))
    found = select(np.vstack([plain, scattered + 4.0]), mean)
    # Of two pairs the one is known to be alike at once, the other's differences are thirty times as large.
    assert min(found.observations) < max(found.observations)


def test_of_plans_as_good_the_one_that_costs_least_is_named_and_is_no_worse_than_promised():
    luck = np.random.default_rng(9)
    values = luck.gamma(9.0, 5.0, LOOKS[-1]) + luck.normal(0.0, 2.0, (3, LOOKS[-1])) + np.array([[0.0], [0.2], [9.0]])
    assert select(values, mean, tie=(0.5, (3, 2, 1))).best == 1
    assert select(values, mean, tie=(0.5, (2, 3, 1))).best == 0
    assert select(values, mean).best == 0


def test_it_can_be_ended_after_any_look_with_what_is_known_by_then():
    seen: list[Standing] = []

    def note(standing):
        seen.append(standing)
        return False

    found = select(sample(np.random.default_rng(4), False), p80, note=note)
    (standing,) = seen
    assert standing.runs == LOOKS[0]
    assert found.left == standing.left
    assert max(standing.ahead) > MATTERS


def test_no_more_observations_are_taken_than_a_budget_has_and_the_bound_is_as_small_for_every_plan():
    values = sample(np.random.default_rng(4), False, plans=8)
    seen: list[Standing] = []

    def note(standing):
        seen.append(standing)
        return True

    found = select(values, p80, note=note, budget=1000)
    assert sum(found.observations) <= 1000
    whole = select(values, p80)
    assert sum(whole.observations) > 1000 and whole.best == found.best == 0
    ahead = sorted(seen[-1].ahead[1:])
    assert ahead[-1] < max(seen[0].ahead) / 2


def test_one_plan_is_the_best_without_a_rival():
    assert select(sample(np.random.default_rng(5), True, plans=1), p80).best == 0
