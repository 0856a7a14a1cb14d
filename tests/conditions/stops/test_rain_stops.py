"""What rain, and the mud after it, take from a day's work: in which order causes count, how long each lasts, under which sky."""

import math
from datetime import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simulation.chance import Streams
from simulation.conditions import Chain, ClockPlan, Sky, WorkClock, lay_out
from simulation.scenario.tables.people import Shift

HORIZON = 1000.0
ALTERNATING = Chain(12.0, 1.0, 0.0)
ALL_HOURS = ((0.0, HORIZON, 1.0, None),)
skies = st.tuples(
    st.builds(Chain, st.sampled_from([1.0, 3.0, 24.0]), st.floats(0.005, 0.5), st.floats(0.0, 0.97)), st.integers(0, 10**6)
)
moments = st.floats(0, HORIZON - 1)


def sky_of(chain, run=0):
    return Sky(chain, Streams(1, run))


def shift(*hours):
    return lay_out(Shift.model_validate({"hours": list(hours)}), None, datetime(2031, 4, 2, 6, 10), HORIZON)


def wet_first():
    """Return a run whose rain comes and goes every 12 hours, beginning with rain."""
    return next(run for run in range(50) if rains_at_once(run))


def rains_at_once(run):
    sky = sky_of(ALTERNATING, run)
    sky.reach(100)
    return sky.spells[0][0] == 0


def test_off_shift_comes_before_dark_before_rain_before_mud():
    # Rain 0-12, dry 12-24; shift 02-08 and 10-20; light 04-14; 3 h of mud after the rain.
    hours = Shift.model_validate({"hours": ["02:00-08:00", "10:00-20:00"]})
    calendar = lay_out(hours, [(4.0, 14.0)], datetime(2031, 4, 2), 24.0)
    clock = WorkClock(ClockPlan(calendar, rain=True, drying=3.0), sky_of(ALTERNATING, wet_first()))
    by_hour = {hour: clock.losses(hour + 0.01, hour + 0.99) for hour in range(24)}
    named = {hour: "".join(lost) or "work" for hour, lost in by_hour.items()}
    expected = ["off shift"] * 2 + ["dark"] * 2 + ["rain"] * 4 + ["off shift"] * 2 + ["rain"] * 2
    expected += ["wet ground"] * 2 + ["dark"] * 6 + ["off shift"] * 4
    assert [named[hour] for hour in range(24)] == expected


def test_ground_stays_muddy_as_long_as_it_dries_and_then_work_goes_on():
    clock = WorkClock(ClockPlan(ALL_HOURS, True, 3.0), sky_of(ALTERNATING, wet_first()))
    assert clock.losses(0.0, 240.0) == pytest.approx({"rain": 120.0, "wet ground": 30.0})
    assert clock.finish(6.0, 1.0) == pytest.approx(16.0)
    assert clock.stretch(6.0) == (15.0, 24.0)


def test_mud_lasts_no_longer_than_until_the_next_rain():
    clock = WorkClock(ClockPlan(ALL_HOURS, True, 20.0), sky_of(ALTERNATING, wet_first()))
    assert clock.losses(0.0, 240.0) == pytest.approx({"rain": 120.0, "wet ground": 120.0})
    assert clock.finish(0.0, 0.5) == math.inf


def test_mud_begins_after_the_rain_and_not_where_the_weather_was_drawn_in_two_goes():
    clock = WorkClock(ClockPlan(ALL_HOURS, True, 3.0), sky_of(Chain(1.0, 1.0, 1.0)))  # rain without end
    assert clock.losses(0.0, HORIZON - 1) == pytest.approx({"rain": HORIZON - 1})


def test_rain_that_does_not_stop_this_work_costs_it_nothing():
    clock = WorkClock(ClockPlan(ALL_HOURS), sky_of(Chain(1.0, 1.0, 1.0)))
    assert clock.finish(3.0, 100.0) == 103.0
    assert clock.losses(3.0, 103.0) == {}


@given(skies, st.permutations(["laying", "grading", "haul"]), st.lists(moments, min_size=3, max_size=3))
@settings(max_examples=40)
def test_all_clocks_of_a_run_stand_under_one_sky_whichever_asks_first(sky, order, asked):
    made = {
        "laying": ClockPlan(shift("06:00-12:00", "13:00-18:00"), True),
        "grading": ClockPlan(ALL_HOURS, True, 30.0),
        "haul": ClockPlan(shift("20:00-04:00")),
    }
    together = sky_of(*sky)
    clocks = {kind: WorkClock(plan, together) for kind, plan in made.items()}
    for kind, moment in zip(order, asked, strict=True):
        clocks[kind].finish(moment, 1.0)
    for kind, plan in made.items():
        alone = WorkClock(plan, sky_of(*sky))
        assert clocks[kind].losses(0.0, HORIZON - 1) == pytest.approx(alone.losses(0.0, HORIZON - 1))


@pytest.mark.parametrize(
    "calendar", [shift("06:00-12:00", "13:00-18:00"), shift("00:00-24:00")], ids=["day shift", "around the clock"]
)
def test_the_weather_is_drawn_as_a_run_reaches_it_and_never_to_the_horizon(calendar):
    sky = sky_of(Chain(1.0, 1 / 48, 1 - 1 / 3.4))
    WorkClock(ClockPlan(calendar, True), sky).finish(0.0, 1.0)
    assert sky.drawn <= 3 * 168
