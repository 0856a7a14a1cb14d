"""Hours on shift are those in which somebody is there who can make a field ready: nights, breaks and days of rest are none."""

import numpy as np
import pytest
from fields import bound, by_crew, by_rain

from simulation.study.hours_on_shift import find_hours_on_shift
from simulation.study.outcomes import change_around_p80, summarise_hours


def counted(scenario, *hours):
    return find_hours_on_shift(scenario)(np.array(hours)).tolist()


def test_a_night_a_break_and_a_day_of_rest_are_left_out():
    strip = bound(shifts__all={"hours": ["06:00-12:00", "13:00-18:00"], "rest_every": 3})
    start = strip.starts.hour
    days = [hour - start for hour in (12, 12.5, 13, 18, 24 + 6, 24 + 18, 48 + 18, 72 + 7)]
    at_start = counted(strip, 0.0)[0]
    first = 18 - start - 1  # hours of the first day, its break left out
    assert [hours - at_start for hours in counted(strip, *days)] == pytest.approx(
        [12 - start, 12 - start, 12 - start, first, first, first + 11, first + 11, first + 12]
    )


def test_what_never_comes_stays_without_end_and_round_the_clock_every_hour_counts():
    assert counted(by_rain(), 0.0, 7.5, 30.0, np.inf) == [0.0, 7.5, 30.0, np.inf]


def test_a_plan_of_longer_hours_is_measured_by_the_shifts_of_the_plan_that_it_is_set_against():
    days, round_the_clock = bound(shifts__all={"hours": ["06:00-17:00"]}), by_rain()
    shifts = [240.0 + 24.0 * (run % 5) for run in range(50)]
    before = summarise_hours("plan", days, [hours + 24.0 for hours in shifts])
    change = change_around_p80(before, summarise_hours("change", round_the_clock, shifts))
    assert change.value == pytest.approx(-11.0)  # a day earlier is a shift of the plan, not 24 hours


def test_a_crew_of_its_own_hours_counts_beside_the_others():
    strip = by_crew(shifts__all={"hours": ["06:00-17:00"]}, crew={"shift": {"hours": ["20:00-24:00"]}})
    start = strip.starts.hour
    assert counted(strip, 24.0 - start)[0] - counted(strip, 20.0 - start)[0] == pytest.approx(4.0)
    assert counted(strip, 17.0 - start)[0] == counted(strip, 20.0 - start)[0]  # laying alone is done by this crew


def test_a_change_around_p80_is_the_hours_of_work_by_which_all_runs_are_later_however_many_nights_lie_between():
    strip = bound(shifts__all={"hours": ["06:00-17:00"]})
    offset = strip.starts.hour - 6
    work = np.random.default_rng(1).gamma(20.0, 6.5, 50)

    def ready(hours):
        return (24.0 * np.floor((hours + offset) / 11.0) + (hours + offset) % 11.0 - offset).tolist()

    before, after = (summarise_hours("plan", strip, ready(hours)) for hours in (work, work + 3.0))
    change = change_around_p80(before, after)
    assert (change.value, change.low, change.high) == pytest.approx((3.0, 3.0, 3.0))
    assert after.p80.value - before.p80.value in (pytest.approx(3.0), pytest.approx(16.0))
