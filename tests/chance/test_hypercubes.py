"""Levels in Latin hypercubes: every percent once, each run as if drawn alone, and a mean that errs less."""

import math
import subprocess
import sys
import tracemalloc

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from simulation.chance import HYPERCUBE, SAMPLINGS, LevelPlan, Streams, draw_levels
from simulation.chance.hypercube import Hypercube
from simulation.scenario.types.uncertainty.distributions import Constant, Lognormal, Pert, Records
from simulation.scenario.types.uncertainty.uncertain import Uncertain

SEED = 20310402
#: A lognormal level whose logarithm is its score.
SCORE = Lognormal(math.exp(-stats.norm.ppf(0.9)), math.exp(stats.norm.ppf(0.9)))


def shared(level, name, correlation=1.0):
    return Uncertain(level, 0.0, name, correlation)


POOL = {
    "place": shared(Lognormal(30, 60), "crews"),
    "pick up": shared(Lognormal(15, 35), "crews", 0.5),
    "efficiency": Uncertain(Pert(0.4, 0.55, 0.75)),
    "haul": shared(Lognormal(0.8, 1.8), "road", 0.3),
    "repair": Uncertain(Records((1.0, 3.0, 8.0), "records.csv")),
    "lock": Uncertain(Constant(20.0)),
}


def draw(quantities, run, sampling="lhs", seed=SEED):
    return draw_levels([LevelPlan.of(key, one) for key, one in quantities.items()], Streams(seed, run), sampling)


def scores(*keys, cubes, sampling="lhs", **sharing):
    """Return scores of unshared levels, or of shared ones, in a table of keys, hypercubes and runs of each."""
    plans = [LevelPlan.of(key, sharing.get(key, Uncertain(SCORE))) for key in keys]
    drawn = [draw_levels(plans, Streams(SEED, run), sampling) for run in range(HYPERCUBE * cubes)]
    return np.log([[one[key] for one in drawn] for key in keys]).reshape(len(keys), cubes, HYPERCUBE)


@given(st.integers(0, 2**70), st.integers(0, 10_000), st.text(min_size=1, max_size=12))
@settings(max_examples=40, deadline=None)
def test_the_runs_of_a_hypercube_take_every_percent_of_a_level_once(seed, number, key):
    runs = range(HYPERCUBE * number, HYPERCUBE * (number + 1))
    found = np.log([draw({key: Uncertain(SCORE)}, run, seed=seed)[key] for run in runs])
    assert sorted((stats.norm.cdf(found) * HYPERCUBE).astype(int)) == list(range(HYPERCUBE))


def test_a_run_has_a_place_in_one_hypercube_by_its_number():
    (found,) = scores("place", cubes=3)
    for number in range(3):
        assert found[number] == pytest.approx(Hypercube(SEED, number).scores("hypercube", "place"), abs=1e-9)


def test_hypercubes_and_levels_are_independent_of_each_other():
    # 30,000 pairs of runs at the same places; within 4.5 standard errors of no correlation.
    one, other = scores("one", "other", cubes=301)
    for left, right in ((one[:-1], one[1:]), (one, other), (one[:-1], other[1:])):
        assert abs(np.corrcoef(left.ravel(), right.ravel())[0, 1]) < 4.5 / math.sqrt(30_000)
    # Neighbours within one exclude each other's strata, which is -1/99 and no more.
    neighbours = np.corrcoef(one[:, :-1].ravel(), one[:, 1:].ravel())[0, 1]
    assert abs(neighbours + 1 / 99) < 4.5 / math.sqrt(29_700)


def test_a_run_by_itself_is_distributed_as_if_it_were_drawn_alone():
    # The same run of each of 2,000 hypercubes: these are independent.
    quantities = {"own": Uncertain(SCORE), "part": shared(SCORE, "crews", 0.5), "range": Uncertain(Pert(0, 1, 4))}
    places = (0, 17, 99)
    drawn = [[draw(quantities, HYPERCUBE * number + place) for place in places] for number in range(2000)]
    for place, runs in zip(places, zip(*drawn, strict=True), strict=True):
        for key in ("own", "part"):
            assert stats.kstest(np.log([one[key] for one in runs]), "norm").pvalue > 0.001, (place, key)
        assert stats.kstest([one["range"] for one in runs], stats.beta(2, 4, scale=4).cdf).pvalue > 0.001, place


def test_within_its_percent_a_score_lies_anywhere():
    (found,) = scores("place", cubes=100)
    assert stats.kstest(stats.norm.cdf(found.ravel()) * HYPERCUBE % 1, "uniform").pvalue > 0.001


@pytest.mark.parametrize("correlation", [0.0, 0.2, 0.5, 0.9])
def test_levels_that_share_in_part_have_scores_with_the_stated_correlation(correlation):
    # Standard error of a correlation (1 − ρ²)/√n; within 4 of them over 10,000 runs.
    pair = {key: shared(SCORE, "crews", correlation) for key in ("one", "other")}
    one, other = scores("one", "other", cubes=100, **pair)
    assert abs(np.corrcoef(one.ravel(), other.ravel())[0, 1] - correlation) < 4 * (1 - correlation**2) / 100


def test_levels_that_share_a_bare_name_rise_and_fall_together_exactly():
    pair = {key: shared(SCORE, "crews") for key in ("one", "other")}
    one, other = scores("one", "other", cubes=2, **pair)
    assert np.array_equal(one, other)


def test_a_shared_name_and_a_level_of_that_name_have_scores_of_their_own():
    both = {"crews": Uncertain(SCORE), "place": shared(SCORE, "crews")}
    one, other = scores("crews", "place", cubes=100, **both)
    assert abs(np.corrcoef(one.ravel(), other.ravel())[0, 1]) < 4.5 / 100


CUBES = 300


def variance_of_means(values):
    """Return the variance of the mean over a hypercube, and its relative standard error."""
    return values.mean(axis=1).var(ddof=1), math.sqrt(2 / (len(values) - 1))


def test_the_mean_of_what_levels_add_up_to_errs_as_little_as_theory_says():
    # A stratified mean of N scores has the variance of one within its stratum, on average, over N. A stratum from a to b has the
    # mean N (φ(a) − φ(b)), and their squares are missing from the variance 1 of all.
    edges = stats.norm.pdf(stats.norm.ppf(np.linspace(0, 1, HYPERCUBE + 1)))
    within = 1 - ((HYPERCUBE * np.diff(edges)) ** 2).mean()
    table = scores("one", "two", "three", cubes=CUBES)
    found, error = variance_of_means(np.tensordot([3.0, 2.0, 1.0], table, axes=1))
    expected = 14 * within / HYPERCUBE
    assert abs(found / expected - 1) < 4 * error
    random, _ = variance_of_means(
        np.tensordot([3.0, 2.0, 1.0], scores("one", "two", "three", cubes=60, sampling="random"), axes=1)
    )
    assert found < random / 20  # theory: 1/42 of it


def test_the_mean_of_a_product_of_levels_errs_as_much_as_at_random():
    # What levels do to the answer only together is not stratified: variance 1/N, raised by 1/(N − 1) at most.
    one, two = scores("one", "two", cubes=CUBES)
    found, error = variance_of_means(one * two)
    assert abs(found * HYPERCUBE - 1) < 4 * error + 1 / (HYPERCUBE - 1)


@given(st.permutations(list(POOL)), st.integers(1, 6), st.integers(0, 10_000))
def test_a_level_is_the_same_whatever_other_levels_are_drawn_and_in_which_order(order, count, run):
    everything = draw(POOL, run)
    some = draw({key: POOL[key] for key in order[:count]}, run)
    assert some == {key: everything[key] for key in order[:count]}


@given(st.permutations(range(0, 1400, 70)))
@settings(max_examples=20, deadline=None)
def test_runs_are_the_same_in_any_order(order):
    assert {run: draw(POOL, run) for run in order} == {run: draw(POOL, run) for run in range(0, 1400, 70)}


def test_a_changed_range_leaves_each_runs_rank_as_it_was():
    narrow, wide = (
        [draw({"place": Uncertain(level)}, run)["place"] for run in range(300)] for level in (Lognormal(30, 60), Pert(2, 3, 9))
    )
    assert np.array_equal(np.argsort(narrow), np.argsort(wide))


def test_another_seed_is_another_hypercube():
    assert not set(Hypercube(1, 0).scores("hypercube", "place")) & set(Hypercube(2, 0).scores("hypercube", "place"))


def test_at_random_each_level_reads_the_first_normal_of_its_own_stream_and_that_is_the_default():
    for run in (0, 1, 250):
        luck = Streams(SEED, run)
        drawn = draw(POOL, run, "random")
        assert drawn["efficiency"] == LevelPlan.of("", POOL["efficiency"]).level.quantile(
            float(luck.stream("level", "efficiency").standard_normal())
        )
        assert drawn["place"] == POOL["place"].level.quantile(float(luck.stream("shared level", "crews").standard_normal()))
        assert drawn == draw_levels([LevelPlan.of(key, one) for key, one in POOL.items()], luck)


def test_a_known_level_costs_no_draw(monkeypatch):
    monkeypatch.setattr(Streams, "stream", lambda *_: pytest.fail("a stream was made"))
    assert draw({"lock": POOL["lock"]}, 123_456_700) == {"lock": 20.0}


def test_a_sampling_that_there_is_not_is_refused_with_those_there_are():
    with pytest.raises(ValueError, match=", ".join(SAMPLINGS)):
        draw(POOL, 0, "sobol")


class Extreme:
    """A generator at the ends of what it may return."""

    def __init__(self, value):
        self.value = value

    def random(self, count):
        return np.full(count, self.value)

    def permutation(self, count):
        return np.arange(count)


@pytest.mark.parametrize("value", [0.0, 1.0 - 2.0**-53])
def test_the_ends_of_the_first_and_last_percent_have_finite_scores(monkeypatch, value):
    monkeypatch.setattr(Streams, "stream", lambda *_: Extreme(value))
    found = Hypercube(SEED, 0).scores("hypercube", "place")
    assert all(math.isfinite(score) for score in found)
    assert list(found) == sorted(found)


def test_memory_does_not_grow_with_the_number_of_hypercubes():
    quantities = {f"level {n}": Uncertain(SCORE) for n in range(10)}
    draw(quantities, 0)
    left = []
    for cubes in (range(10, 20), range(20, 120)):
        tracemalloc.start()
        for number in cubes:
            draw(quantities, HYPERCUBE * number)
        left.append(tracemalloc.get_traced_memory()[0])
        tracemalloc.stop()
    assert left[1] - left[0] < 40_000  # ten levels of one hypercube are 33,000 bytes, those of a hundred 3,300,000


def test_a_worker_needs_no_library_of_special_functions_for_it():
    look = (
        "import sys; from simulation.chance import LevelPlan, Streams, draw_levels; "
        "from simulation.scenario.types.uncertainty.uncertain import Lognormal, Uncertain; "
        "drawn = draw_levels([LevelPlan.of('haul', Uncertain(Lognormal(1.0, 2.0)))], Streams(1, 0), 'lhs'); "
        "print(len(drawn), 'scipy' in sys.modules)"
    )
    shown = subprocess.run([sys.executable, "-c", look], capture_output=True, text=True, check=True)
    assert shown.stdout.split() == ["1", "False"]
