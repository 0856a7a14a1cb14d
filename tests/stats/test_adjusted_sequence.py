"""Bets on a chance that know the luck of their runs: how often they are wrong, and how much sooner they decide."""

import math

import numpy as np
import pytest
from scipy.special import ndtri

from simulation.stats.adjusted_sequence import Expected, interval_by_bets, log_wealth
from simulation.stats.confidence_sequence import sequence_interval

LIMIT, NIGHT, STEP = 360.0, 14.0, 50


def world(rng, chance, explained, runs, scores=12, bent=False):
    """Return scores and hours of runs of which a share is explained, late ones put off by a night; and who was on time.

    Bent: the later of two hands decides, as where crews wait for forklifts or these for crews.
    """
    drawn = rng.standard_normal((runs, scores))
    if bent:
        later = np.maximum(drawn[:, 0], drawn[:, 1])
        each = np.sqrt(explained) * (later - 0.5642) / 0.8256 + np.sqrt(1.0 - explained) * rng.standard_normal(runs)
        each -= np.quantile(each, chance)
    else:
        slopes = np.r_[0.8, 0.4, 0.3, np.zeros(scores - 3)]
        straight = drawn @ slopes / np.linalg.norm(slopes)
        each = np.sqrt(explained) * straight + np.sqrt(1.0 - explained) * rng.standard_normal(runs) - ndtri(chance)
    hours = LIMIT * np.exp(0.15 * each) + NIGHT * (each > 0)
    return drawn, hours, (hours <= LIMIT).astype(float)


def looked_at(scores, hours, on_time, upto):
    """Yield the surprises after each look, each of which is held against what those before it teach, and what was expected."""
    surprises, every = np.empty(0), np.empty(0)
    for count in range(STEP, upto, STEP):
        now = slice(count, count + STEP)
        expected = Expected.fit(scores[:count], hours[:count])
        new = on_time[now] if expected is None else expected.surprises(scores[now], on_time[now], LIMIT)
        surprises = np.r_[surprises, new]
        every = np.r_[every, np.full(STEP, 0.8 if expected is None else expected.every(LIMIT))]
        yield surprises, every


@pytest.mark.parametrize(("chance", "explained"), [(0.8, 0.7), (0.8, 0.0), (0.9, 0.97)])
def test_looked_at_again_and_again_each_end_misses_no_more_often_than_it_says(chance, explained):
    # Of a rate of 0.2, no more than 35 of 120 worlds with a chance of 99.3 %.
    rng, worlds, error = np.random.default_rng(20310402), 120, 0.2
    missed = {True: 0, False: 0}
    for _ in range(worlds):
        looks = list(looked_at(*world(rng, chance, explained, 400), 400))
        for above in missed:
            missed[above] += any(log_wealth(*seen, chance, above) > math.log(1.0 / error) for seen in looks)
    assert max(missed.values()) <= 35


@pytest.mark.parametrize("bends", [(), ((0, 0, 0.05), (0, 1, -0.04), (2, 2, 0.02))])
def test_a_surprise_is_the_chance_on_average_whatever_was_expected(bends):
    rng = np.random.default_rng(3)
    scores, _, on_time = world(rng, 0.8, 0.7, 200_000)
    for expected in (
        Expected(math.log(340.0), rng.normal(0, 0.05, 12), bends, 0.1),
        Expected(math.log(300.0), np.r_[0.3, np.zeros(11)], bends, 0.06),
    ):
        surprises = expected.surprises(scores, on_time, LIMIT)
        assert surprises.mean() == pytest.approx(0.8, abs=4 * surprises.std() / np.sqrt(len(surprises)))
        assert np.abs(surprises - expected.every(LIMIT)).max() <= 1.0


def test_where_levels_explain_much_it_decides_in_fewer_runs_and_where_they_explain_nothing_in_hardly_more():
    rng, error = np.random.default_rng(11), 0.01
    for explained, less in ((0.9, 0.6), (0.0, 1.1)):
        scores, hours, on_time = world(rng, 0.8, explained, 1000)
        low, high = interval_by_bets(*list(looked_at(scores, hours, on_time, 1000))[-1], error)
        plain = sequence_interval(int(on_time.sum()), 1000, 0.8, error)
        assert high - low < less * (plain[1] - plain[0])


def test_where_the_later_of_two_hands_decides_their_products_are_learned_as_well():
    rng = np.random.default_rng(4)
    scores, hours, on_time = world(rng, 0.8, 0.95, 3000, bent=True)
    learned = Expected.fit(scores[:200], hours[:200])
    straight = Expected(learned.mean, learned.slopes, (), learned.scatter)
    assert any(bend for _, _, bend in learned.bends)
    left, plain = (each.surprises(scores[200:], on_time[200:], LIMIT).var() for each in (learned, straight))
    assert left < 0.8 * plain
    assert left < 0.4 * on_time.var()


def test_nothing_is_learned_of_no_levels_of_too_few_runs_or_where_nothing_scatters():
    assert Expected.fit(np.empty((100, 0)), np.arange(1.0, 101.0)) is None
    assert Expected.fit(np.ones((30, 20)), np.arange(1.0, 31.0)) is None
    assert Expected.fit(np.random.default_rng(1).standard_normal((50, 5)), np.full(50, 90.0)) is None


def test_the_more_a_chance_is_doubted_the_farther_it_lies_off():
    surprises, every = next(iter(looked_at(*world(np.random.default_rng(5), 0.8, 0.9, 100), 100)))
    chances = np.linspace(0.02, 0.98, 49)
    above, below = ([log_wealth(surprises, every, chance, side) for chance in chances] for side in (True, False))
    assert (np.diff(above) < 0).all() and (np.diff(below) > 0).all()
    assert interval_by_bets(np.empty(0), np.empty(0), 0.05) == (0.0, 1.0)
