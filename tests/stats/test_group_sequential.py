"""Looking often does no harm: boundaries are the published ones, and what is claimed at any look is wrong as seldom as said."""

import math
from statistics import NormalDist

import numpy as np
import pytest

from simulation.stats.group_sequential import Effect, boundaries, judge_effect, look_confidences, planned_looks
from simulation.stats.paired_difference import Difference, difference_of_means, difference_of_quantiles

FIFTHS = [1, 2, 3, 4, 5]


def cautious(share):
    """Return the error spent as by O'Brien and Fleming, both sides together, as a share of all of it."""
    score = NormalDist().inv_cdf(1 - 0.05 / 4) / math.sqrt(share)
    return 4 * (1 - NormalDist().cdf(score)) / 0.05


@pytest.mark.parametrize(
    ("spent", "published"),
    [
        # Lan & DeMets 1983, Biometrika 70, five equal looks, two-sided 5 %: their three spending functions (from memory).
        (cautious, [4.8769, 3.3569, 2.6803, 2.2898, 2.0310]),
        (lambda share: math.log(1 + (math.e - 1) * share), [2.4380, 2.4268, 2.4101, 2.3966, 2.3859]),
        (lambda share: share, [2.5758, 2.4919, 2.4107, 2.3389, 2.2753]),
    ],
)
def test_the_boundaries_are_the_published_ones(spent, published):
    assert boundaries(FIFTHS, [spent(look / 5) for look in FIFTHS]) == pytest.approx(published, abs=2e-3)


def test_one_look_is_an_ordinary_interval():
    assert look_confidences((60,)) == pytest.approx((0.95,), abs=1e-9)


def test_the_last_of_several_looks_has_an_interval_hardly_wider_than_an_ordinary_one():
    last = look_confidences(planned_looks(400))[-1]
    assert NormalDist().inv_cdf((1 + last) / 2) / NormalDist().inv_cdf(0.975) < 1.035


def test_looks_double_up_to_the_limit_and_the_last_one_is_the_limit():
    assert planned_looks(400) == (50, 100, 200, 400)
    assert planned_looks(8) == (8,)
    assert planned_looks(60) == (60,)  # a look at 50 would spend error and spare ten runs
    assert planned_looks(1000) == (50, 100, 200, 400, 1000)


@pytest.mark.parametrize(
    ("change", "last", "effect"),
    [
        (Difference(-8.0, -9.0, -7.0), False, Effect.MEASURABLE),
        (Difference(-8.0, -15.0, -1.0), False, Effect.OPEN),  # it is there, of no known size
        (Difference(-8.0, -15.0, -1.0), True, Effect.MEASURABLE),
        (Difference(-0.5, -0.9, -0.1), False, Effect.MEASURABLE),  # small, and no more runs are needed to know that
        (Difference(0.5, -4.9, 5.0), False, Effect.NO_MATTER),
        (Difference(0.5, -4.9, 5.1), False, Effect.OPEN),
        (Difference(0.5, -4.9, 5.1), True, Effect.TOO_CLOSE),
        (Difference(None, None, None), False, Effect.OPEN),
        (Difference(None, None, None), True, Effect.TOO_CLOSE),
    ],
)
def test_what_is_said_of_a_change_follows_its_interval_and_a_margin_of_five_hours(change, last, effect):
    assert judge_effect(change, 5.0, 100, last) is effect


def claims(luck, change, noise, difference, count):
    """Return what is claimed of plans that differ by so much, looked at until they are decided, and their mean runs."""
    looks, margin, found, runs = planned_looks(400), 5.0, [], 0
    for _ in range(count):
        first = luck.gamma(20.0, 5.0, 400)
        second = first + change + luck.normal(0.0, noise, 400)
        for look, confidence in zip(looks, look_confidences(looks), strict=True):
            effect = judge_effect(difference(first[:look], second[:look], confidence), margin, look, look == looks[-1])
            if effect is not Effect.OPEN:
                break
        found.append(effect)
        runs += look
    return {effect: found.count(effect) / count for effect in Effect}, runs / count


def mean(first, second, confidence):
    return difference_of_means(first.tolist(), second.tolist(), confidence)


def test_over_all_looks_no_difference_is_called_measurable_and_one_that_matters_is_denied_as_seldom_as_promised():
    # 400 repetitions: a standard error of 1.1 % at 5 %.
    luck = np.random.default_rng(1)
    none, _ = claims(luck, 0.0, 40.0, mean, 400)
    assert none[Effect.MEASURABLE] <= 0.05 + 0.022
    at_margin, _ = claims(luck, 5.0, 20.0, mean, 400)
    assert at_margin[Effect.NO_MATTER] <= 0.025 + 0.016


def test_what_is_clear_is_decided_early():
    luck = np.random.default_rng(2)
    clear, runs = claims(luck, -60.0, 20.0, mean, 50)
    assert clear[Effect.MEASURABLE] == 1.0 and runs <= 60
    alike, runs = claims(luck, 0.0, 4.0, mean, 50)
    assert alike[Effect.NO_MATTER] >= 0.95 and 100 <= runs <= 110


@pytest.mark.slow
def test_the_same_holds_for_p80_where_runs_end_in_clumps():
    luck, count = np.random.default_rng(3), 150

    def clumped(first, second, confidence):
        first, second = (14.0 * np.ceil(hours / 24.0) + 10.0 * hours / 24.0 for hours in (first, second))
        return difference_of_quantiles(first.tolist(), second.tolist(), 0.8, confidence)

    none, _ = claims(luck, 0.0, 20.0, clumped, count)
    assert none[Effect.MEASURABLE] <= 0.05 + 0.036
