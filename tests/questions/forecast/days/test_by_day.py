"""The chance of being still not ready, day by day."""

import math
from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from invented_runs import invented_runs, invented_scenario

from simulation.questions.forecast.days.by_day import MOST_DAYS, tabulate_by_day
from simulation.questions.forecast.reading import read_runs
from simulation.stats.chances import METHOD, METHOD_OF_CUBES, estimate_chance
from simulation.stats.likelihood_words import likelihood
from simulation.stats.quantiles import order_statistic
from simulation.study.calendar import Calendar, day

DAYS = Calendar(datetime(2031, 4, 2, 6), ((6.0, 12.0), (13.0, 18.0)))
NIGHTS = Calendar(datetime(2031, 4, 2, 6), ((20.0, 28.0),))


def ends(found):
    return [one.hours for one in found]


def test_a_day_ends_with_its_last_shift_and_what_ends_with_it_belongs_to_it():
    # Start is 06:00, so the first day ends at hour 12, the second at 36.
    found = tabulate_by_day([12.0, 12.0 + 1e-8, 30.5, 36.0], DAYS)
    assert ends(found) == [12.0, 36.0]
    assert [one.not_ready.count for one in found] == [2, 0]


def test_where_runs_are_ready_after_the_last_shift_a_day_ends_with_midnight_and_they_count_for_it():
    """A gang of its own is done at 19:30 on Wednesday: that is the day by which it is named, so also the one that counts it."""
    for after in (13.5, 18.0):
        found = tabulate_by_day([11.0, after, 36.0], DAYS)
        assert ends(found) == [18.0, 42.0]
        assert [one.not_ready.count for one in found] == [1, 0]
        assert [DAYS.day_and_shift(hour).day for hour in (after, 36.0)] == [day(one.day) for one in found]


def test_a_shift_past_midnight_ends_the_day_on_which_it_began():
    # 04:00 of the next morning is hour 22; then hour 46.
    found = tabulate_by_day([15.0, 22.0, 40.0], NIGHTS)
    assert ends(found) == [22.0, 46.0]
    assert [one.not_ready.count for one in found] == [1, 0]


def test_rows_equal_counts_and_carry_interval_and_word():
    hours = [30.0] * 30 + [60.0] * 65 + [math.inf] * 5
    first, second = tabulate_by_day(hours, DAYS)
    assert (first.not_ready, second.not_ready) == (estimate_chance(70, 100), estimate_chance(5, 100))
    assert (first.ready, second.ready) == (0.3, 0.95)
    assert (first.likelihood, second.likelihood) == (likelihood(0.3), likelihood(0.95))


def test_few_runs_bear_no_word():
    (one,) = tabulate_by_day([30.0] * 99, DAYS)
    assert (one.ready, one.likelihood) == (1.0, None)


def test_a_day_that_ends_beyond_the_horizon_tells_the_least_that_are_ready_and_no_word():
    # The second day ends at hour 36; whoever was not ready at hour 34 may be by then.
    first, second = tabulate_by_day([11.0] * 60 + [33.0] * 30 + [math.inf] * 10, DAYS, horizon=34.0)
    assert (first.at_least, first.likelihood) == (False, likelihood(0.6))
    assert (second.at_least, second.ready, second.likelihood) == (True, 0.9, None)
    assert (second.not_ready.low, second.not_ready.high) == (0.0, estimate_chance(10, 100).high)
    sure = tabulate_by_day([11.0] * 60 + [33.0] * 40, DAYS, horizon=34.0)[-1]
    assert (sure.at_least, sure.likelihood) == (False, likelihood(1.0))


def test_an_unfinished_run_is_never_ready():
    assert tabulate_by_day([math.inf, math.inf], DAYS) == ()
    (only,) = tabulate_by_day([30.0, math.inf], DAYS)
    assert (only.ready, only.not_ready.count) == (0.5, 1)


def test_days_on_which_nothing_becomes_ready_are_left_out():
    found = tabulate_by_day([30.0, 30.0 + 240.0], DAYS)
    assert ends(found) == [36.0, 276.0]


def test_of_a_long_stretch_the_days_stay_on_which_most_becomes_ready():
    busy = [24.0 * day for day in range(1, 6) for _ in range(50)]
    found = tabulate_by_day([*busy, *(24.0 * day for day in range(6, 60))], DAYS)
    assert len(found) == MOST_DAYS
    assert ends(found)[:5] == [24.0 * day + 12.0 for day in range(1, 6)]
    assert found[-1].not_ready.count == 0


def test_runs_in_hypercubes_have_intervals_that_fit():
    luck = [24.0 * (1 + number % 5) for number in range(400)]
    assert {one.not_ready.method for one in tabulate_by_day(luck, DAYS, cube=100)[:-1]} == {METHOD_OF_CUBES}
    assert {one.not_ready.method for one in tabulate_by_day(luck, DAYS)} == {METHOD}


@given(
    st.lists(st.one_of(st.floats(0.5, 2500.0), st.just(math.inf)), min_size=1, max_size=80),
    st.sampled_from([DAYS, NIGHTS, Calendar(datetime(2031, 4, 2, 23, 30), ((0.0, 24.0),))]),
    st.integers(2, 20),
)
def test_the_table_falls_to_what_never_ends_and_agrees_with_the_quantiles(hours, calendar, most):
    found = tabulate_by_day(hours, calendar, most=most)
    finished = [one for one in hours if math.isfinite(one)]
    if not finished:
        assert found == ()
        return
    assert 1 <= len(found) <= most
    late = [one.not_ready.count for one in found]
    assert late == sorted(set(late), reverse=True) or len(late) == 1
    assert late[0] < len(hours)
    assert late[-1] == len(hours) - len(finished)
    for one in found:
        assert one.not_ready.count == sum(value > one.hours + 1e-6 for value in hours)
        assert one.ready + one.not_ready.probability == pytest.approx(1.0, abs=1e-12)
        assert one.not_ready.low <= one.not_ready.probability <= one.not_ready.high
    for share in (0.1, 0.5, 0.8, 0.9):
        quantile = order_statistic(hours, share)
        for one in found:
            assert (one.ready >= share - 1e-9) == (quantile <= one.hours + 1e-6)


def test_a_forecast_has_the_days_of_its_readiness():
    scenario = invented_scenario()
    runs = invented_runs(scenario, 200, unfinished=0.1)
    found = read_runs(scenario, runs, 7, 200).by_day
    ready = runs["milestone.operational readiness"]
    assert [one.not_ready.count for one in found] == [int((ready > one.hours + 1e-6).sum()) for one in found]
    assert found[-1].not_ready.count == 20
