"""Which level matters most, in scenarios where that is known."""

import math

import numpy as np
import pandas as pd
import pytest
from fields import ROWS, summing

from simulation.construction import compile_plan
from simulation.questions.sensitivity.level_inputs import list_inputs
from simulation.questions.sensitivity.study import read_sensitivity, sensitivity
from simulation.replicate import do_runs
from simulation.study.calendar import make_calendar
from simulation.study.deadline import read_deadline
from simulation.study.run_context import RunContext
from simulation.study.runner import NothingFinished

PLACE = {"p10": "1 h", "p90": "3 h"}
SHARED = {**PLACE, "shared_by": "crews"}


def invented(scenario, count, hours, seed=1):
    """Return runs whose levels are normal and whose readiness is what `hours` makes of them, column by input."""
    columns = [f"level.{key}" for level in list_inputs(scenario, compile_plan(scenario)) for key in level.keys]
    values = np.random.default_rng(seed).standard_normal((count, len(columns)))
    table = pd.DataFrame(values, columns=columns)
    table.insert(0, "run", range(count))
    table["milestone.laid"] = hours(values)
    return table


def test_one_level_alone_explains_all_that_luck_leaves(tmp_path):
    # Four rows of the level, and one starter key strip with a scatter: luck of standard deviation 3 h, which is no level.
    noisy = summing(place=PLACE, starter={"mean": "6 h", "scatter": 0.5})
    found = sensitivity(noisy, RunContext(runs=1000, workers=1, folder=tmp_path))
    alone = np.var(ROWS * found_levels(noisy, 1000, tmp_path))
    f = 3.0**2 / alone
    assert 0.2 < f < 2.0
    (row,) = found.rows
    assert row.share.value == pytest.approx(1 / (1 + f), abs=0.06)
    assert row.measurable
    assert row.rank.value > 0.5
    certain = sensitivity(summing(place=PLACE), RunContext(runs=200, workers=1)).rows[0]
    assert certain.share.value > 0.9
    assert certain.rank.value == 1.0


def found_levels(scenario, count, folder=None):
    return do_runs(scenario, count, workers=1, folder=folder)["level.laying.place"].to_numpy()


def test_readiness_is_the_sum_that_it_is_built_to_be():
    runs = do_runs(summing(place=PLACE, pick_up=PLACE, starter="5 h"), 5, workers=1)
    each = runs["level.laying.place"] + runs["level.laying.pick_up"]
    assert runs["milestone.laid"].tolist() == pytest.approx((5.0 + ROWS * each).tolist(), abs=1e-4)


def test_a_level_that_does_nothing_cannot_be_measurable():
    found = sensitivity(summing(place=PLACE, connect={"p10": "1 h", "p90": "9 h"}), RunContext(runs=300, workers=1))
    row, other = found.rows
    assert (row.input.name, row.measurable) == ("laying.place", True)
    assert (other.input.name, other.measurable) == ("laying.connect", False)
    assert other.share.low == 0.0


def test_levels_that_move_as_one_are_counted_once():
    found = sensitivity(summing(place=SHARED, pick_up=SHARED), RunContext(runs=200, workers=1))
    (row,) = found.rows
    assert row.input.keys == ("laying.pick_up", "laying.place")
    assert found.explained == row.share.value <= 1.0


def test_a_level_that_rises_and_falls_is_said_to_go_both_ways():
    scenario = summing(place=PLACE, starter=PLACE)
    found = read_sensitivity(scenario, invented(scenario, 600, lambda x: 100 + 10 * x[:, 0] ** 2 + x[:, 1]), 1, 600)
    assert found.rows[0].both_ways
    assert abs(found.rows[0].rank.value) < 0.2
    assert not found.rows[1].both_ways


def test_the_third_with_the_lowest_level_is_counted_against_that_with_the_highest():
    scenario = summing(place=PLACE)
    runs = invented(scenario, 300, lambda x: np.where(x[:, 0] < np.median(x[:, 0]), 24.0, 72.0))
    deadline = read_deadline("2 day", make_calendar(scenario))
    low, high = read_sensitivity(scenario, runs, 1, 300, deadline).rows[0].thirds
    assert (low.count, low.runs, high.count, high.runs) == (100, 100, 0, 100)


def test_unfinished_runs_rank_last_and_count_as_ready_at_the_horizon():
    scenario = summing(place=PLACE, horizon="10 day")
    runs = invented(scenario, 300, lambda x: np.where(x[:, 0] > 1.0, math.inf, 100 + 20 * x[:, 0]))
    found = read_sensitivity(scenario, runs, 1, 300)
    assert found.unfinished == np.isinf(runs["milestone.laid"]).sum() > 0
    assert found.rows[0].rank.value > 0.98
    assert found.rows[0].share.value > 0.8


def test_few_runs_and_runs_without_a_spread_have_no_shares():
    scenario = summing(place=PLACE)
    few = read_sensitivity(scenario, invented(scenario, 50, lambda x: 100 + x[:, 0]), 1, 50)
    assert few.explained is few.rows[0].share is None
    assert few.rows[0].rank.value == 1.0
    same = read_sensitivity(scenario, invented(scenario, 200, lambda x: np.full(len(x), 100.0)), 1, 200)
    assert same.explained is same.rows[0].share is same.rows[0].rank is None


def test_a_scenario_without_levels_has_no_inputs():
    found = sensitivity(summing(), RunContext(runs=3, workers=1), tornado=True)
    assert (found.rows, found.bars) == ((), ())
    with pytest.raises(NothingFinished):
        read_sensitivity(summing(), pd.DataFrame({"run": [], "milestone.laid": []}), 1, 3)


def test_runs_of_the_forecast_are_read_and_none_done_again(tmp_path, monkeypatch):
    scenario = summing(place=PLACE)
    kept = do_runs(scenario, 150, workers=1, folder=tmp_path)
    monkeypatch.setattr("simulation.replicate.batches.do_batch", None)
    told = []
    found = sensitivity(scenario, RunContext(runs=150, workers=1, folder=tmp_path, tell=told.append))
    assert list(found.outcome.hours) == kept["milestone.laid"].tolist()
    assert len(told) == 1
    assert "150 runs of this study are kept" in told[0]


def test_a_number_of_runs_that_makes_no_sense_is_refused():
    with pytest.raises(ValueError, match="runs"):
        sensitivity(summing(place=PLACE), RunContext(runs=0))
