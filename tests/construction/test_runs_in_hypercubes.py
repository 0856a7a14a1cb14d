"""Does a run take its levels from a hypercube, and does that narrow the error of the mean time of readiness?"""

import dataclasses

import numpy as np
import pytest
from scenarios import strip
from scipy.stats import ks_2samp
from small_runs import plan_of

from simulation.chance import HYPERCUBE, Streams, draw_levels
from simulation.construction import columns, make_record, simulate

#: Levels that share in part, scatter around them, and forklifts that break down.
UNCERTAIN = {
    "laying": {
        "pick_up": {"p10": "15 s", "p90": "35 s", "scatter": 0.3, "shared_by": {"name": "crews", "correlation": 0.5}},
        "place": {"p10": "30 s", "p90": "60 s", "scatter": 0.3, "shared_by": "crews"},
        "efficiency": {"low": 0.4, "mode": 0.55, "high": 0.75},
    },
    "forklifts": {"breakdown_every": {"p10": "2 h", "p90": "9 h", "scatter": "exponential"}},
}
SEEDS = range(1000, 1020)


@pytest.fixture(scope="module")
def plan():
    return plan_of(strip(**UNCERTAIN))


def record(plan, number):
    run = simulate(plan, number)
    found = make_record(run)
    run.dismiss()
    return found


def readiness(plan, sampling, seeds):
    """Return the hours until readiness of the first hundred runs for each seed."""
    place = list(columns(plan)).index("milestone.operational readiness")
    plans = [dataclasses.replace(plan, sampling=sampling, seed=seed) for seed in seeds]
    return np.array([[record(one, number)[place] for number in range(HYPERCUBE)] for one in plans])


def test_a_run_has_the_levels_of_its_place_in_the_hypercube(plan):
    stratified = dataclasses.replace(plan, sampling="lhs")
    for number in (0, 99, 100):
        run = simulate(stratified, number)
        assert run.site.levels == draw_levels(plan.levels, Streams(plan.seed, number), "lhs")
        assert run.site.levels != simulate(plan, number).site.levels
        run.dismiss()


def test_runs_are_drawn_at_random_unless_hypercubes_are_asked_for(plan):
    assert plan.sampling == "random"
    assert record(plan, 7) == record(dataclasses.replace(plan, sampling="random"), 7)


@pytest.mark.slow
def test_the_mean_time_of_readiness_errs_less_and_its_distribution_stays(plan):
    # Over 100 seeds the variance of the mean was 5 times smaller. Over the 20 here it is known to ± 32 %: half of the variance
    # at random, which independent runs have from that of one run, is far from both.
    found, alone = readiness(plan, "lhs", SEEDS), readiness(plan, "random", SEEDS[:10])
    at_random = alone.var(axis=1, ddof=1).mean() / HYPERCUBE
    assert found.mean(axis=1).var(ddof=1) < at_random / 2
    # 2,000 runs against 1,000; that hypercubes are more even only makes a difference less likely to be seen by chance.
    assert ks_2samp(found.ravel(), alone.ravel()).pvalue > 0.01
    assert abs(found.mean() - alone.mean()) < 4 * np.sqrt(at_random / len(SEEDS) + at_random / len(alone))
