"""What calendar and sky take from each kind of work, month by month, over many skies; and what people drink."""

from datetime import datetime
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from skies import Invented, any_sky

from simulation.conditions import ClockPlan, WorkClock, clock_plans, sky_plan
from simulation.conditions.clock.lost_hours import AT_WORK, hours_of_caution, list_months, lost_hours, tally, water_of_shifts
from simulation.conditions.stops.effects import HourEffects
from simulation.conditions.stops.weather_limits import Limits, Surroundings
from simulation.scenario import load_scenario


def test_months_are_cut_at_hour_zero_at_their_ends_and_at_the_horizon_over_a_leap_day():
    months = list_months(datetime(2032, 1, 30, 6), 24.0 * 40)
    assert [(one.year, one.month) for one in months] == [(2032, 1), (2032, 2), (2032, 3)]
    assert [(one.start, one.end) for one in months] == [(0, 42), (42, 42 + 29 * 24), (42 + 29 * 24, 960)]
    assert [one.month for one in list_months(datetime(2031, 12, 31, 23), 2.0)] == [12, 1]


@pytest.fixture(scope="module")
def lost():
    scenario = load_scenario()
    return lost_hours(clock_plans(scenario), sky_plan(scenario), scenario.seed, 60, ("laying", "grading", "haul"), 61 * 24.0)


def test_the_hours_of_a_kind_of_work_and_a_month_sum_to_the_month_in_every_sky(lost):
    for kind in ("laying", "grading", "haul"):
        for place, month in enumerate(lost.months):
            total = sum(
                lost.hours[kind, place, cause] for cause in (AT_WORK, *lost.causes(kind)) if (kind, place, cause) in lost.hours
            )
            assert np.allclose(total, month.end - month.start)


def test_the_mean_loss_to_rain_is_what_the_chain_and_the_shift_make_it(lost):
    # 11 hours a day, of which 3.4 in 51.4 are wet, in 28.75 days of April; within 4 standard errors of 60 skies.
    rain = lost.hours["laying", 0, "rain"]
    assert abs(rain.mean() - 28.75 * 11 * 3.4 / 51.4) < 4 * rain.std() / np.sqrt(60)
    assert lost.mean("laying", 0, "rain") == rain.mean()
    assert lost.mean("haul", 0, "rain") == 0.0
    assert lost.mean("grading", 0, "wet ground") > 0.0
    assert "wet ground" not in lost.causes("laying")


def test_quantiles_are_those_of_the_hours_that_causes_take_together(lost):
    both = np.sort(lost.hours["grading", 1, "rain"] + lost.hours["grading", 1, "wet ground"])
    assert lost.quantile("grading", 1, ("rain", "wet ground"), 0.8) == both[47]
    assert lost.quantile("grading", 1, ("rain", "wet ground"), 0.5) == both[29]
    assert lost.quantile("haul", 1, ("rain",), 0.8) == 0.0


def test_people_drink_by_the_heat_of_the_hours_that_they_are_on_shift():
    # 8 hours a day on shift, cool at first (half a quart an hour), then hard work at far above 90 °F (a quart an hour).
    calendar = ((0.0, 8.0, 1.0, None), (8.0, 24.0, 0.0, "off shift"), (24.0, 32.0, 1.0, None), (32.0, 168.0, 0.0, "off shift"))
    sky = Invented(temperature=[15.0] * 20 + [45.0] * 100, humidity=[60.0] * 120)
    limits, effects = Limits(effort="hard"), HourEffects(Surroundings(), sky)
    clock = WorkClock(ClockPlan(calendar, limits=limits), sky, effects)
    assert water_of_shifts(clock, limits, effects, (0.0, 24.0, 48.0)) == pytest.approx([4.0, 8.0])
    assert water_of_shifts(clock, limits, effects, (6.5, 25.5)) == pytest.approx([0.75 + 1.5])


def test_hours_of_caution_are_hours_at_work_in_the_cold_and_not_those_that_it_stops():
    sky = Invented(temperature=[0.0, -20.0, -20.0, -40.0], wind=[10.0] * 4)
    limits = Limits(cold=True, around=Surroundings(stop_below=-32.0))
    effects = HourEffects(limits.around, sky)
    clock = WorkClock(ClockPlan(((0.0, 168.0, 1.0, None),), limits=limits), sky, effects)
    assert hours_of_caution(clock, effects, -18.0, (0.0, 10.0)) == pytest.approx([2.0])
    assert hours_of_caution(clock, effects, -18.0, (0.0, 1.5, 2.25, 4.0)) == pytest.approx([0.5, 0.75, 0.75])


@given(st.integers(0, 10_000), st.lists(st.floats(0, 500), min_size=2, max_size=8, unique=True))
@settings(max_examples=25)
def test_a_tally_of_a_clock_is_what_the_clock_says_of_any_stretch(seed, moments):
    limits = Limits(rain=2.5, wind=20.0, gust=30.0, effort="hard", cold=True, around=Surroundings(stop_below=-30.0))
    sky = any_sky(seed)
    calendar = tuple(
        piece
        for day in range(21)
        for piece in ((24.0 * day, 24.0 * day + 10, 1.0, None), (24.0 * day + 10, 24.0 * day + 12.5, 0.8, "dark"),
                      (24.0 * day + 12.5, 24.0 * day + 24, 0.0, "off shift"))
    )  # fmt: skip
    clock = WorkClock(ClockPlan(calendar, limits=limits), sky, HourEffects(limits.around, sky))
    borders = sorted(moments)
    found = tally(clock, borders)
    for place, (low, high) in enumerate(pairwise(borders)):
        assert found[AT_WORK][place] == pytest.approx(clock.worked(low, high), abs=1e-7)
        lost = clock.losses(low, high)
        for cause in found.keys() - {AT_WORK}:
            assert found[cause][place] == pytest.approx(lost.get(cause, 0.0), abs=1e-7)
        assert sum(each[place] for each in found.values()) == pytest.approx(high - low, abs=1e-7)


def test_days_are_cut_at_midnights_and_months_are_made_of_them(lost):
    assert lost.borders[:3] == (0.0, 18.0, 42.0) and lost.borders[-1] == 61 * 24.0
    april, may = lost.days_of(0), lost.days_of(1)
    assert (april, may) == (slice(0, 29), slice(29, 60))
    assert np.allclose(lost.by_day["laying", "rain"][:, april].sum(axis=1), lost.hours["laying", 0, "rain"])
