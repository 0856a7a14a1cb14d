"""The confidence sequence that knows the luck of its runs: how often it is wrong, and how much sooner it decides."""

import math

import numpy as np
import pytest
from scipy.special import ndtri

from simulation.stats.adjusted_sequence import Expected, Seen, adjusted_evidence, adjusted_interval
from simulation.stats.confidence_sequence import sequence_interval

LIMIT, NIGHT, STEP = 360.0, 14.0, 100


def world(rng, chance, explained, runs, scores=12):
    """Return scores and hours of runs of which a share is explained, late ones put off by a night; and who was on time."""
    drawn = rng.standard_normal((runs, scores))
    slopes = np.r_[0.8, 0.4, 0.3, np.zeros(scores - 3)]
    each = np.sqrt(explained) * drawn @ slopes / np.linalg.norm(slopes) + np.sqrt(1.0 - explained) * rng.standard_normal(runs)
    each -= ndtri(chance)
    hours = LIMIT + 60.0 * each + NIGHT * (each > 0)
    return drawn, hours, (hours <= LIMIT).astype(float)


def looked_at(scores, hours, on_time, upto):
    """Yield what is seen after each hundred of runs, each of which is held against what those before it teach."""
    surprises = np.empty(0)
    for count in range(STEP, upto + 1, STEP):
        if count > STEP:
            now = slice(count - STEP, count)
            expected = Expected.fit(scores[: count - STEP], hours[: count - STEP])
            new = on_time[now] if expected is None else expected.surprises(scores[now], on_time[now], LIMIT)
            surprises = np.r_[surprises, new]
        yield Seen(on_time[:count], surprises)


@pytest.mark.parametrize(("chance", "explained"), [(0.8, 0.7), (0.8, 0.0), (0.9, 0.97)])
def test_looked_at_again_and_again_it_misses_no_more_often_than_it_says(chance, explained):
    # Of a rate of 0.2, no more than 35 of 120 worlds with a chance of 99.3 %.
    rng, worlds, error = np.random.default_rng(20310402), 120, 0.2
    missed = sum(
        any(
            adjusted_evidence(seen, chance, 0.8) > math.log(1.0 / error)
            for seen in looked_at(*world(rng, chance, explained, 500), 500)
        )
        for _ in range(worlds)
    )
    assert missed <= 35


def test_a_surprise_is_the_chance_on_average_whatever_was_expected():
    rng = np.random.default_rng(3)
    scores, _, on_time = world(rng, 0.8, 0.7, 200_000)
    for expected in (Expected(340.0, rng.normal(0, 20, 12), 30.0), Expected(200.0, np.zeros(12), 1.0)):
        surprises = expected.surprises(scores, on_time, LIMIT)
        assert surprises.mean() == pytest.approx(0.8, abs=4 * surprises.std() / np.sqrt(len(surprises)))
        assert np.abs(surprises - 0.5).max() <= 1.5


def test_where_levels_explain_much_it_decides_in_fewer_runs_and_where_they_explain_nothing_in_hardly_more():
    rng, error = np.random.default_rng(11), 0.01
    for explained, less in ((0.9, 0.75), (0.0, 1.1)):
        scores, hours, on_time = world(rng, 0.8, explained, 1000)
        low, high = adjusted_interval(list(looked_at(scores, hours, on_time, 1000))[-1], 0.8, error)
        plain = sequence_interval(int(on_time.sum()), 1000, 0.8, error)
        assert high - low < less * (plain[1] - plain[0])


def test_without_levels_it_is_the_plain_sequence():
    on_time = np.r_[np.ones(90), np.zeros(10)]
    assert adjusted_interval(Seen(on_time, np.empty(0)), 0.8, 0.05) == sequence_interval(90, 100, 0.8, 0.05)
    assert Expected.fit(np.empty((100, 0)), np.arange(100.0)) is None
    assert Expected.fit(np.ones((30, 20)), np.arange(30.0)) is None


def test_the_share_that_was_seen_lies_in_the_interval():
    rng = np.random.default_rng(5)
    for _ in range(5):
        scores, hours, on_time = world(rng, 0.8, 0.97, 400)
        low, high = adjusted_interval(list(looked_at(scores, hours, on_time, 400))[-1], 0.8, 0.05)
        assert 0.0 <= low <= on_time.mean() <= high <= 1.0
