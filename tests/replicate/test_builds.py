"""Are the numbers the same to the bit whoever runs the builds, and in whatever order they are done?"""

import pandas as pd
import pytest
from little_field import little_field

from simulation.construction import columns, compile_plan, record_of, run
from simulation.replicate import run_builds

BUILDS = 40


@pytest.fixture(scope="module")
def alone():
    return run_builds(little_field(), BUILDS, workers=1)


def test_a_row_is_the_record_of_the_build_with_its_number(alone):
    plan = compile_plan(little_field())
    assert list(alone.columns) == ["replication", *columns(plan)]
    assert alone.replication.tolist() == list(range(BUILDS))
    assert tuple(alone.iloc[17, 1:]) == record_of(run(plan, 17))
    assert alone["milestone.operational readiness"].nunique() == BUILDS


@pytest.mark.parametrize("workers", [2, pytest.param(5, marks=pytest.mark.slow)])
def test_any_number_of_workers_gives_the_same_numbers_to_the_bit(alone, workers):
    pd.testing.assert_frame_equal(alone, run_builds(little_field(), BUILDS, workers=workers), check_exact=True)


def test_the_same_builds_again_give_the_same_numbers_to_the_bit(alone):
    pd.testing.assert_frame_equal(alone, run_builds(little_field(), BUILDS, workers=1), check_exact=True)


def test_more_builds_begin_with_the_same_ones(alone):
    more = run_builds(little_field(), BUILDS + 13, workers=1)
    pd.testing.assert_frame_equal(alone, more.head(BUILDS), check_exact=True)


def test_another_seed_gives_other_builds(alone):
    others = run_builds(little_field(), BUILDS, seed=32, workers=1)
    assert not set(others["milestone.operational readiness"]) & set(alone["milestone.operational readiness"])
    assert run_builds(little_field(), 3, seed=31, workers=1).equals(alone.head(3))


def test_no_builds_at_all_are_an_empty_table_with_all_its_columns():
    table = run_builds(little_field(), 0)
    assert len(table) == 0
    assert "milestone.strip open" in table


@pytest.mark.parametrize("workers", [1, 2])
def test_progress_counts_up_to_what_was_asked_for(workers):
    told = []
    run_builds(little_field(), BUILDS, workers=workers, progress=lambda done, asked: told.append((done, asked)))
    done = [number for number, _ in told]
    assert done == sorted(set(done))
    assert done[-1] == BUILDS
    assert {asked for _, asked in told} == {BUILDS}
