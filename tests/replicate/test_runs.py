"""Are the numbers the same to the bit whoever runs the runs, and in whatever order they are done?"""

import pandas as pd
import pytest
from scenarios import LITTLE, make_scenario

from simulation.construction import columns, compile_plan, make_record, simulate
from simulation.replicate import do_runs

RUNS = 40


@pytest.fixture(scope="module")
def alone():
    return do_runs(make_scenario(LITTLE), RUNS, workers=1)


def test_a_row_is_the_record_of_the_run_with_its_number(alone):
    plan = compile_plan(make_scenario(LITTLE))
    assert list(alone.columns) == ["run", *columns(plan)]
    assert alone["run"].tolist() == list(range(RUNS))
    assert tuple(alone.iloc[17, 1:]) == make_record(simulate(plan, 17))
    assert alone["milestone.operational readiness"].nunique() == RUNS


@pytest.mark.parametrize("workers", [2, pytest.param(5, marks=pytest.mark.slow)])
def test_any_number_of_workers_gives_the_same_numbers_to_the_bit(alone, workers):
    pd.testing.assert_frame_equal(alone, do_runs(make_scenario(LITTLE), RUNS, workers=workers), check_exact=True)


def test_the_same_runs_again_give_the_same_numbers_to_the_bit(alone):
    pd.testing.assert_frame_equal(alone, do_runs(make_scenario(LITTLE), RUNS, workers=1), check_exact=True)


def test_more_runs_begin_with_the_same_ones(alone):
    more = do_runs(make_scenario(LITTLE), RUNS + 13, workers=1)
    pd.testing.assert_frame_equal(alone, more.head(RUNS), check_exact=True)


def test_another_seed_gives_other_runs(alone):
    others = do_runs(make_scenario(LITTLE), RUNS, seed=32, workers=1)
    assert not set(others["milestone.operational readiness"]) & set(alone["milestone.operational readiness"])
    assert do_runs(make_scenario(LITTLE), 3, seed=31, workers=1).equals(alone.head(3))


def test_no_runs_at_all_are_an_empty_table_with_all_its_columns():
    table = do_runs(make_scenario(LITTLE), 0)
    assert len(table) == 0
    assert "milestone.strip open" in table


@pytest.mark.parametrize("workers", [1, 2])
def test_progress_counts_up_to_what_was_asked_for(workers):
    told = []
    do_runs(make_scenario(LITTLE), RUNS, workers=workers, progress=lambda done, asked: told.append((done, asked)))
    done = [number for number, _ in told]
    assert done == sorted(set(done))
    assert done[-1] == RUNS
    assert {asked for _, asked in told} == {RUNS}
