"""Does the interval of a forecast's P80 hold the true P80 as often as it says? Only many forecasts of one scenario can tell."""

import math
import os
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from itertools import repeat
from multiprocessing import get_context

import numpy as np
import pytest
from scipy.stats import binom

from simulation.chance import HYPERCUBE
from simulation.construction import columns, compile_plan
from simulation.replicate.worker import do_batch_of_runs
from simulation.scenario import parse_scenario
from simulation.stats.quantiles import estimate

#: At work around the clock, so that no runs end together with a shift and there is one true P80; a run takes about 1 ms.
AROUND_THE_CLOCK = """
horizon = "20 day"
[[area]]
name = "strip"
length = "40 ft"
width = "72 ft"
start = "centre-out"
[[crew]]
name = "red"
people = 14
areas = ["strip"]
[[crew]]
name = "blue"
people = 14
areas = ["strip"]
[forklifts]
count = 2
breakdown_every = { p10 = "30 min", p90 = "3 h", scatter = "exponential" }
[supply]
on_hand = 4
total = 14
[[supply.trucks]]
count = 2
pallets = 4
haul = { p10 = "10 min", p90 = "30 min", scatter = 0.3 }
return = "20 min"
[weather]
wet_spell = "1 h"
dry_spell = "6 h"
[shifts.all]
hours = ["00:00-24:00"]
lighting = true
[[milestone]]
name = "laid"
areas = ["strip"]
closing = "0 h"
"""

FORECASTS, RUNS = 1600, 125
IN_HYPERCUBES, CUBES = 1000, 4


def forecasts(sampling, seeds, runs):
    """Return the finishing times of one forecast for each seed: a row each, in order of run."""
    plan = compile_plan(parse_scenario(AROUND_THE_CLOCK))
    laid = columns(plan).index("milestone.laid")
    plans = [replace(plan, seed=seed, sampling=sampling) for seed in seeds]
    with ProcessPoolExecutor(os.cpu_count(), get_context("spawn")) as pool:
        records = pool.map(do_batch_of_runs, plans, repeat(range(runs)), chunksize=4)
        return np.array([[record[laid] for record in of_one] for of_one in records])


@pytest.fixture(scope="module")
def alone():
    return forecasts("random", range(FORECASTS), RUNS)


@pytest.fixture(scope="module")
def true_p80(alone):
    """Return the P80 of all 200,000 independent runs, and the ends of its interval at 99.9 %."""
    pooled = estimate(alone.ravel().tolist(), 0.8, confidence=0.999)
    return pooled.value, pooled.low, pooled.high


def shares_held(hours, truths, cube=None):
    """Return in which share of the forecasts the interval of P80 holds each value that may be the true one."""
    found = [estimate(one, 0.8, cube=cube) for one in hours.tolist()]
    return [sum(one.low <= true <= one.high for one in found) / len(found) for true in truths]


@pytest.mark.slow
def test_finishing_times_do_not_cluster_so_that_there_is_one_true_p80(alone):
    assert np.isfinite(alone).all()
    assert len(np.unique(alone)) == alone.size


@pytest.mark.slow
def test_the_interval_of_p80_holds_the_true_one_in_93_to_97_of_100_forecasts(alone, true_p80):
    # 1,600 forecasts: a share of 95.6 % has a standard error of .51 %. The true P80 is known to ± .3 % of the runs (99.9 %), a
    # tenth of the 3.6 % that one forecast errs by, so the share is looked at for either end of that as well.
    shares = shares_held(alone, true_p80)
    assert all(0.93 < share < 0.97 for share in shares), shares
    # Between the ranks that 125 runs have, B(u − 1) − B(l − 1) is the exact chance, whatever the distribution is.
    ranks = estimate([float(rank) for rank in range(1, RUNS + 1)], 0.8)
    exact = binom.cdf(ranks.high - 1, RUNS, 0.8) - binom.cdf(ranks.low - 1, RUNS, 0.8)
    assert exact == pytest.approx(0.956, abs=5e-4)
    assert abs(shares[0] - exact) < 4 * math.sqrt(exact * (1 - exact) / FORECASTS)


@pytest.mark.slow
def test_the_interval_of_p80_over_hypercubes_holds_the_true_one_in_93_to_97_of_100_forecasts(true_p80):
    # 1,000 forecasts of four hypercubes each: a standard error of .7 %; with 400 it would be 1.1 %, too much for ± 2 %.
    hours = forecasts("lhs", range(IN_HYPERCUBES), CUBES * HYPERCUBE)
    shares = shares_held(hours, true_p80, HYPERCUBE)
    assert all(0.93 < share < 0.97 for share in shares), shares
