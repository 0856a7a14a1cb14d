"""Intervals of runs in hypercubes: they hold the truth as often as they say, and know how much hypercubes tell."""

import math

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st
from invented_runs import invented_runs, invented_scenario
from scipy import stats

from simulation.questions.forecast.milestones import summarise_milestones
from simulation.questions.forecast.supply import estimate_shortage
from simulation.stats.chances import METHOD, METHOD_OF_CUBES, TOO_FEW_CUBES, chance_among, estimate_chance
from simulation.stats.effective_sample_size import cube_of, effective_runs, whole_cubes
from simulation.stats.quantiles import estimate
from simulation.study.deadline import Deadline, deadline_chance

CUBE = 100


def hypercubes(luck, samples, cubes, weights, noise):
    """Return samples of so many Latin hypercubes of a sum of normal levels with noise: a sample a row, of standard normal law."""
    strata = luck.permuted(np.broadcast_to(np.arange(CUBE), (samples, cubes, len(weights), CUBE)), axis=-1)
    scores = stats.norm.ppf((strata + luck.random(strata.shape)) / CUBE)
    values = np.einsum("scwb,w->scb", scores, weights) + noise * luck.standard_normal((samples, cubes, CUBE))
    return values.reshape(samples, -1) / math.sqrt(sum(weight**2 for weight in weights) + noise**2)


SAMPLES = 1000


@pytest.mark.parametrize("cubes", [4, 10])
def test_intervals_hold_the_truth_in_the_stated_share_of_samples(cubes):
    # 1,000 samples at 95 % have a standard deviation of 0.7 %: 93.5 % is two below. Ranks are whole, and exact tails err on the
    # safe side, so a little more than 95 % is right: at 98 % intervals would be a fifth wider than needed.
    values = hypercubes(np.random.default_rng(11), SAMPLES, cubes, (2.0, 1.0), 0.5)
    true, narrower, held = stats.norm.ppf(0.8), 0, {"P80": 0, "chance": 0}
    late = stats.norm.ppf(0.3)
    for sample in values.tolist():
        found = estimate(sample, 0.8, cube=CUBE)
        held["P80"] += found.low <= true <= found.high
        chance = chance_among([value <= late for value in sample], CUBE)
        held["chance"] += chance.low <= 0.3 <= chance.high
        alone = estimate_chance(chance.count, chance.runs)
        narrower += (chance.high - chance.low) < (alone.high - alone.low)
    assert all(0.935 <= number / SAMPLES <= 0.98 for number in held.values()), held
    # Ten hypercubes are enough to be rewarded for it; with four, Student's factor takes it back now and then.
    assert narrower / SAMPLES > (0.95 if cubes == 10 else 0.5)


def test_intervals_for_independent_runs_would_be_wrong_here():
    # Were they right, they would hold 95 % of the true values; they hold nearly all, because they are too wide.
    values = hypercubes(np.random.default_rng(12), 1000, 10, (2.0, 1.0), 0.5)
    counts = (values <= stats.norm.ppf(0.3)).sum(axis=1)
    chances = {count: estimate_chance(count, 1000) for count in set(counts.tolist())}
    assert sum(chances[count].low <= 0.3 <= chances[count].high for count in counts.tolist()) / 1000 > 0.985


def test_independent_runs_are_worth_what_they_are():
    # Mean of runs / effective runs over 400 samples of 50 hundreds; a variance between 50 is known to √(2/49) = 20 %.
    luck = np.random.default_rng(13)
    student = (stats.t.ppf(0.975, 4999) / stats.t.ppf(0.975, 49)) ** 2
    worth = [5000 * student / effective_runs(luck.random(5000) < 0.3, CUBE, 0.95) for _ in range(400)]
    assert abs(np.mean(worth) - 1) < 4 * math.sqrt(2 / 49 / 400)


def test_very_many_independent_runs_have_nearly_the_binomial_intervals():
    # The variance between 2,000 hundreds is known to 3.2 %, a width to 1.6 %; within four of them.
    values = np.random.default_rng(14).standard_normal(200_000).tolist()
    for mine, theirs in (
        (estimate(values, 0.8, cube=CUBE), estimate(values, 0.8)),
        (chance_among([value < 1 for value in values], CUBE), chance_among([value < 1 for value in values])),
    ):
        assert mine.high - mine.low == pytest.approx(theirs.high - theirs.low, rel=0.064)


def happened(*counts):
    """Return hypercubes in which something happened so often."""
    return [number < count for count in counts for number in range(CUBE)]


def test_the_effective_number_of_runs_is_that_of_the_textbook_formula():
    # Shares .20 .30 .25 .25: p = .25, s² = .005/3, so .25 × .75 / (s²/4) = 450 runs; t(399) = 1.96593, t(3) = 3.18245 at 95 %.
    assert effective_runs(happened(20, 30, 25, 25), CUBE, 0.95) == pytest.approx(450 * (1.96593 / 3.18245) ** 2, rel=1e-5)
    found = chance_among(happened(20, 30, 25, 25), CUBE)
    worth = effective_runs(happened(20, 30, 25, 25), CUBE, 0.95)
    assert (found.count, found.runs, found.probability, found.method) == (100, 400, 0.25, METHOD_OF_CUBES)
    assert stats.beta.sf(found.low, 0.25 * worth, 0.75 * worth + 1) == pytest.approx(0.975)
    assert stats.beta.cdf(found.high, 0.25 * worth + 1, 0.75 * worth) == pytest.approx(0.975)


@pytest.mark.parametrize("count", [0, 9, 35, 100])
def test_hypercubes_that_agree_count_as_independent_runs(count):
    # Three times 0.09, 0.35 and others by three is not the same again in binary; that is no difference between hypercubes.
    for cubes in (2, 3, 4, 7):
        factor = stats.t.ppf(0.975, CUBE * cubes - 1) / stats.t.ppf(0.975, cubes - 1)
        assert effective_runs(happened(*[count] * cubes), CUBE, 0.95) == pytest.approx(CUBE * cubes * factor**2)


def test_what_happened_in_every_run_of_some_hypercubes_is_still_not_certain():
    sure, never = chance_among(happened(100, 100, 100), CUBE), chance_among(happened(0, 0, 0), CUBE)
    worth = 300 * (stats.t.ppf(0.975, 299) / stats.t.ppf(0.975, 2)) ** 2
    assert (sure.probability, sure.high, never.probability, never.low) == (1.0, 1.0, 0.0, 0.0)
    assert sure.low == pytest.approx(0.025 ** (1 / worth))
    assert never.high == pytest.approx(1 - 0.025 ** (1 / worth))


@pytest.mark.parametrize("runs", [1, 60, 100, 150, 199])
def test_fewer_than_two_whole_hypercubes_have_no_interval_and_say_so(runs):
    values = [float(number) for number in range(runs)]
    found = estimate(values, 0.8, cube=CUBE)
    assert (found.value, found.low, found.high) == (estimate(values, 0.8).value, None, None)
    chance = chance_among([value < 30 for value in values], CUBE)
    assert (chance.low, chance.high, chance.method) == (0.0, 1.0, TOO_FEW_CUBES)
    assert chance.probability == min(30, runs) / runs


def test_incomplete_hypercubes_beside_whole_ones_are_refused():
    with pytest.raises(ValueError, match="whole hypercubes of 100"):
        estimate([float(number) for number in range(250)], 0.8, cube=CUBE)


times = st.lists(st.one_of(st.integers(1, 12).map(float), st.floats(0.1, 1000.0), st.just(math.inf)), min_size=6, max_size=60)


@given(times, st.sampled_from([0.1, 0.5, 0.8, 0.95]), st.sampled_from([2, 3]))
def test_an_interval_holds_its_quantile(values, share, cube):
    values = values[: len(values) // cube * cube]
    found = estimate(values, share, cube=cube)
    assert found.value == estimate(values, share).value
    assert found.low is None or found.low <= found.value
    assert found.high is None or found.value <= found.high


def test_where_most_runs_end_with_the_same_shift_the_interval_is_that_hour():
    # In every hypercube about 20 end earlier, 60 at hour 100, the others later, so that the median is at hour 100 beyond doubt.
    luck = np.random.default_rng(15)
    values = [
        hour
        for early in luck.integers(16, 25, 6).tolist()
        for hour in [*luck.uniform(1, 99, early).tolist(), *[100.0] * 60, *luck.uniform(101, 200, 40 - early).tolist()]
    ]
    found = estimate(values, 0.5, cube=CUBE)
    assert (found.low, found.value, found.high) == (100.0, 100.0, 100.0)


def test_an_interval_reaches_to_earlier_hours_where_hypercubes_differ_in_how_many_those_are():
    # All runs end at hour 100 or before, so hypercubes agree on how many are done then; 10 to 80 of each end before it.
    counts = (10, 70, 40, 20, 80, 30)
    values = [hour for early in counts for hour in [*np.linspace(1, 99, early).tolist(), *[100.0] * (100 - early)]]
    found = estimate(values, 0.5, cube=CUBE)
    assert found.low < found.value == found.high == 100.0
    assert estimate(values, 0.5).low == 100.0  # independent runs would tell better


def test_a_quantile_beyond_the_finished_share_lies_beyond_the_horizon():
    cubes = [[float(n) for n in range(85 + more)] + [math.inf] * (15 - more) for more in (0, 1, -1, 0, 2)]
    values = [value for one in cubes for value in one]
    assert estimate(values, 0.9, cube=CUBE).value == math.inf
    assert estimate(values, 0.9, cube=CUBE).high == math.inf
    assert estimate(values, 0.5, cube=CUBE).high < math.inf


def test_milestones_deadline_and_shortage_are_read_over_hypercubes_where_these_are_named():
    scenario = invented_scenario()
    runs = invented_runs(scenario, 400)
    hours = runs["milestone.operational readiness"].tolist()
    for mine, alone in zip(summarise_milestones(scenario, runs, CUBE), summarise_milestones(scenario, runs), strict=True):
        assert (mine.mean, mine.sd, mine.name) == (alone.mean, alone.sd, alone.name)
        values = runs[f"milestone.{mine.name}"].tolist()
        assert mine.quantiles == tuple(estimate(values, one.share, cube=CUBE) for one in alone.quantiles)
        assert alone.quantiles == tuple(estimate(values, one.share) for one in alone.quantiles)
    limit = Deadline("200 h", 200.0)
    on_time = [hour <= 200.0 for hour in hours]
    assert deadline_chance(limit, hours, 960.0, CUBE).chance == chance_among(on_time, CUBE)
    assert deadline_chance(limit, hours, 960.0).chance == estimate_chance(sum(on_time), 400)
    short = estimate_shortage(runs, CUBE)
    assert short.chance == chance_among((runs["short.full mats"] > 0).tolist(), CUBE)
    assert {one.chance.method for one in short.of} == {METHOD_OF_CUBES}
    assert estimate_shortage(runs).chance == estimate_chance(40, 400)
    assert estimate_shortage(runs).chance.method == METHOD


def test_only_runs_of_complete_hypercubes_are_kept_by_their_numbers():
    numbers = [*range(100, 200), *range(99), *range(200, 300), 305]
    kept = whole_cubes(pd.DataFrame({"run": numbers, "hours": 1.0}), CUBE)
    assert kept["run"].tolist() == [*range(100, 300)]
    assert whole_cubes(kept.iloc[:99], CUBE).empty


def test_runs_make_up_hypercubes_only_where_they_were_sampled_so():
    assert (cube_of("random"), cube_of("lhs")) == (None, 100)
