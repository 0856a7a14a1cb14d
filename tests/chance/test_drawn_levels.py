"""What nobody knows today: levels by their quantile functions, and how those that share a name move together."""

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.polynomial.hermite_e import hermegauss
from scipy import stats

from simulation.chance import LevelPlan, Streams, draw_levels
from simulation.scenario.types.uncertainty.distributions import Constant, Lognormal, Pert, Records
from simulation.scenario.types.uncertainty.uncertain import Uncertain

Z90 = stats.norm.ppf(0.9)
RUNS = 3000

positive = st.floats(0.01, 1000)
lognormals = st.tuples(positive, st.floats(1.001, 20)).map(lambda given: Lognormal(given[0], given[0] * given[1]))
perts = st.tuples(st.floats(0, 100), st.floats(0, 1), st.floats(0.01, 100)).map(
    lambda given: Pert(given[0], given[0] + given[1] * given[2], given[0] + given[2])
)
records = st.lists(st.floats(0, 1e6), min_size=1, max_size=60).map(lambda values: Records(tuple(sorted(values)), "records.csv"))
levels = st.one_of(lognormals, perts, records)


def many(*quantities, runs=RUNS, seed=20310402):
    plans = [LevelPlan.of(key, quantity) for key, quantity in quantities]
    drawn = [draw_levels(plans, Streams(seed, run)) for run in range(runs)]
    return [np.array([one[key] for one in drawn]) for key, _ in quantities]


def shared(level, name, correlation=1.0):
    return Uncertain(level, 0.0, name, correlation)


@given(lognormals)
def test_a_lognormal_level_lies_below_its_p10_and_p90_as_often_as_they_say(level):
    assert level.quantile(-Z90) == pytest.approx(level.p10, rel=1e-9)
    assert level.quantile(Z90) == pytest.approx(level.p90, rel=1e-9)
    assert level.quantile(0.0) == pytest.approx(math.sqrt(level.p10 * level.p90), rel=1e-12)


@given(perts, st.floats(-4.9, 4.9))
def test_a_pert_level_has_the_quantiles_of_its_beta_distribution(level, score):
    width = level.high - level.low
    assume(width > 0)
    shapes = 1 + 4 * (level.mode - level.low) / width, 1 + 4 * (level.high - level.mode) / width
    expected = stats.beta(*shapes, loc=level.low, scale=width).ppf(stats.norm.cdf(score))
    assert abs(level.quantile(score) - expected) < 1e-5 * width


@given(perts, st.floats(allow_nan=False, allow_infinity=False))
def test_a_pert_level_stays_between_its_lowest_and_highest_value(level, score):
    assert level.low - 1e-9 <= level.quantile(score) <= level.high + 1e-9


@given(records)
def test_each_record_is_drawn_with_the_same_probability(level):
    count = len(level.values)
    assert [level.quantile(stats.norm.ppf((n + 0.5) / count)) for n in range(count)] == list(level.values)
    assert level.quantile(-40.0) == level.values[0]
    assert level.quantile(40.0) == level.values[-1]


@given(levels, st.floats(-6, 6), st.floats(0, 3))
def test_a_higher_score_never_gives_a_lower_level(level, score, rise):
    assert level.quantile(score) <= level.quantile(score + rise) * (1 + 1e-12)


@given(st.one_of(lognormals, perts))
@settings(max_examples=40)
def test_the_mean_of_a_level_is_its_quantile_function_averaged_over_scores(level):
    scores, weights = hermegauss(80)
    average = sum(w * level.quantile(z) for z, w in zip(scores.tolist(), weights.tolist(), strict=True)) / weights.sum()
    scale = level.high - level.low if isinstance(level, Pert) else level.p90
    assert (Uncertain(level)).mean == pytest.approx(float(average), abs=1e-4 * scale)


@given(st.lists(st.floats(0, 1e6), min_size=1, max_size=60))
def test_the_mean_of_records_is_their_average_and_that_of_a_constant_itself(values):
    assert Uncertain(Records(tuple(sorted(values)), "records.csv")).mean == pytest.approx(np.mean(values), rel=1e-9, abs=1e-9)
    assert Uncertain(Constant(values[0])).mean == values[0]


def test_drawn_levels_average_to_their_means():
    # Within 4 standard errors over 3,000 runs.
    made = {"pert": Pert(10, 12, 20), "lognormal": Lognormal(8, 18), "records": Records((1.0, 2.0, 6.0), "records.csv")}
    for (_, level), values in zip(made.items(), many(*[(k, Uncertain(v)) for k, v in made.items()]), strict=True):
        assert abs(values.mean() - (Uncertain(level)).mean) < 4 * values.std() / math.sqrt(RUNS)


def test_a_known_level_costs_no_draw(monkeypatch):
    def no_stream(*_):
        raise AssertionError("a stream was made")

    monkeypatch.setattr(Streams, "stream", no_stream)
    assert draw_levels([LevelPlan.of("lock", Uncertain(Constant(20.0), 0.3, "crews"))], Streams(1, 0)) == {"lock": 20.0}


def test_levels_that_share_a_bare_name_rise_and_fall_together_exactly():
    pick_up, place = many(("pick up", shared(Lognormal(15, 35), "crews")), ("place", shared(Pert(30, 40, 90), "crews")), runs=400)
    assert np.array_equal(np.argsort(pick_up), np.argsort(place))
    assert len(set(pick_up)) == 400


@pytest.mark.parametrize("correlation", [0.0, 0.2, 0.5, 0.9])
def test_levels_that_share_in_part_have_scores_with_the_stated_correlation(correlation):
    # Standard error of a correlation (1 − ρ²)/√n; within 4 of them over 3,000 runs. Logarithms of lognormals are the scores;
    # their rank correlation is 6/π asin(ρ/2), its standard error at most 1.1/√n.
    one, other = many(
        ("one", shared(Lognormal(15, 35), "crews", correlation)), ("other", shared(Lognormal(2, 9), "crews", correlation))
    )
    assert abs(np.corrcoef(np.log(one), np.log(other))[0, 1] - correlation) < 4 * (1 - correlation**2) / math.sqrt(RUNS)
    ranked = stats.spearmanr(one, other).statistic
    assert abs(ranked - 6 / math.pi * math.asin(correlation / 2)) < 4 * 1.1 / math.sqrt(RUNS)


def test_levels_that_share_different_names_or_none_are_uncorrelated():
    table = many(
        ("crew 1", shared(Lognormal(15, 35), "crews")),
        ("road 1", shared(Lognormal(15, 35), "road")),
        ("alone", Uncertain(Lognormal(15, 35))),
        ("also alone", Uncertain(Lognormal(15, 35))),
    )
    correlation = np.corrcoef(np.log(table))[np.triu_indices(4, 1)]
    assert np.abs(correlation).max() < 4.5 / math.sqrt(RUNS)


@pytest.mark.parametrize("correlation", [0.0, 0.3, 0.7, 1.0])
def test_sharing_leaves_each_levels_own_spread_as_stated(correlation):
    # Scores are standard normal whatever is shared: mean within 4/√n, sd within 4/√(2n), shares below P10 and P90 binomial.
    (values,) = many(("place", shared(Lognormal(30, 60), "crews", correlation)))
    scores = (np.log(values) - math.log(math.sqrt(30 * 60))) / (math.log(60 / 30) / (2 * Z90))
    assert abs(scores.mean()) < 4 / math.sqrt(RUNS)
    assert abs(scores.std() - 1) < 4 / math.sqrt(2 * RUNS)
    for bound, share in ((30, 0.1), (60, 0.9)):
        assert abs((values < bound).mean() - share) < 4 * math.sqrt(share * (1 - share) / RUNS)


POOL = [
    ("place", shared(Lognormal(30, 60), "crews")),
    ("pick up", shared(Lognormal(15, 35), "crews", 0.5)),
    ("efficiency", Uncertain(Pert(0.4, 0.55, 0.75))),
    ("haul", shared(Lognormal(0.8, 1.8), "road", 0.3)),
    ("repair", Uncertain(Records((1.0, 3.0, 8.0), "records.csv"))),
    ("lock", Uncertain(Constant(20.0))),
]


@given(st.permutations(POOL), st.integers(1, 6), st.integers(0, 10_000))
def test_a_level_is_the_same_whatever_other_levels_are_drawn_and_in_which_order(order, count, run):
    everything = draw_levels([LevelPlan.of(*one) for one in POOL], Streams(1, run))
    some = draw_levels([LevelPlan.of(*one) for one in order[:count]], Streams(1, run))
    assert some == {key: everything[key] for key, _ in order[:count]}


def test_a_changed_range_leaves_each_runs_rank_as_it_was():
    narrow, wide = (many(("place", Uncertain(level)), runs=300)[0] for level in (Lognormal(30, 60), Lognormal(20, 90)))
    assert np.array_equal(np.argsort(narrow), np.argsort(wide))
