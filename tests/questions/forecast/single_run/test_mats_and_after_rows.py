"""What is left after the last row, and mats on hand by day: both come out of the steps of a run, and must balance."""

from functools import cache

import pytest
from drawn_fields import drawn_forecast

from simulation.construction import compile_plan, simulate
from simulation.construction.plan.steps import END, SWEEP
from simulation.construction.trace.balance import balances
from simulation.questions.forecast.drawn.after_rows import conclude_after_rows, describe_after_rows, hours_after_rows
from simulation.questions.forecast.drawn.mats import conclude_mats, describe_mats
from simulation.questions.forecast.single_run.timeline import read_course
from simulation.scenario import load_scenario, shipped


@cache
def followed(name="relief_strip"):
    scenario = load_scenario(shipped(name)) if name else drawn_forecast().scenario
    run = simulate(compile_plan(scenario), 3)
    return run, read_course(scenario, run, 3)


@pytest.mark.parametrize("name", ["relief_strip", "first_look", ""])
def test_mats_that_came_and_were_used_balance_with_the_run(name):
    run, course = followed(name)
    for mats, balance in zip(course.mats, balances(run), strict=True):
        assert mats.used[-1][1] == balance.laid + balance.rejected
        assert mats.need == balance.laid
        assert mats.come[-1][1] == balance.supplied - balance.incoming
        assert mats.come[0][1] == run.site.plan.supply.on_hand * (run.stock.full, run.stock.half)[mats.kind == "half"]


@pytest.mark.parametrize("name", ["relief_strip", "first_look", ""])
def test_nobody_lays_a_mat_that_has_not_come(name):
    _, course = followed(name)
    for mats in course.mats:
        on_hand = dict(mats.come)
        for at, used in mats.used:
            there = max(count for hour, count in on_hand.items() if hour <= at)
            assert there >= used
        assert 0 <= mats.fewest[1] <= mats.come[-1][1]
        assert f"{mats.fewest[1]:,} {mats.kind}" in conclude_mats(course)


def test_what_follows_the_last_row_ends_with_the_field_ready():
    run, course = followed()
    ready = course.milestones[
        "operational readiness" if "operational readiness" in course.milestones else list(course.milestones)[-1]
    ]
    last = course.after_rows[-1]
    assert (last.name, last.whose) == (SWEEP, "laying crews")
    assert last.spans[-1][1] == pytest.approx(ready)
    assert last.hours == pytest.approx(run.site.plan.milestones[-1].closing)
    assert sum(stop - start for start, stop in last.spans) >= last.hours - 1e-9
    assert all(stop > start for row in course.after_rows for start, stop in row.spans)
    (drilled,) = (row for row in course.after_rows if row.name == "drilling tie-downs")
    assert drilled.whose == "laying crews"
    assert max(step[END] for step in run.site.trace if step[END] <= course.over) == pytest.approx(ready)


def test_the_hours_after_the_rows_are_those_between_two_columns_of_the_runs():
    forecast = drawn_forecast()
    hours = hours_after_rows(forecast)
    assert len(hours) == forecast.run_count
    assert all(one >= 0 for one in hours)
    first = forecast.runs.iloc[0]
    assert hours[0] == pytest.approx(first["milestone.all of it"] - first["progress.100"])
    course = read_course(forecast.scenario, followed("")[0], 3)
    assert conclude_after_rows(forecast).startswith("Half of the runs are ready within ")
    assert "laying crews" in describe_after_rows(forecast, course)
    assert "full mats come" in describe_mats(forecast, course)


def test_where_no_run_was_ready_it_says_so():
    assert conclude_after_rows(drawn_forecast("none finished")).startswith("No run was ready")
