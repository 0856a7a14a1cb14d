"""What the hours of a sky leave of work: each cause by itself, their order, and clocks that are exact across all of them.

The yardstick is a second reckoning, moment by moment, from the hours of the sky alone.
"""

import math
from datetime import datetime
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from skies import Invented, any_sky

from simulation.chance import Streams
from simulation.conditions import ClockPlan, WorkClock, lay_out
from simulation.conditions.stops.drying import Ground, antecedent
from simulation.conditions.stops.effects import HourEffects
from simulation.conditions.stops.sunshine import Location
from simulation.conditions.stops.weather_limits import ORDER, Limits, Surroundings
from simulation.conditions.stops.wet_bulb_globe import wet_bulb_globe
from simulation.conditions.stops.wind_chill import wind_chill
from simulation.conditions.stops.work_and_rest import rate_in_heat, share_worked
from simulation.scenario.tables.people import Shift

HORIZON = 600.0
PLACE = Location(31.4, -30.0, -2.0, datetime(2031, 7, 2, 6))
ALL_HOURS = lay_out(Shift(hours=("00:00-24:00",)), None, datetime(2031, 7, 2, 6), HORIZON)


def clock_of(sky, calendar=ALL_HOURS, around=None, luck=None, **limits):
    found = Limits(around=around or Surroundings(), **limits)
    return WorkClock(ClockPlan(calendar, limits=found), sky, HourEffects(found.around, sky, luck))


def by_hour(clock, hours):
    return ["+".join(clock.losses(hour + 0.01, hour + 0.99)) or "work" for hour in range(hours)]


def test_rain_stops_work_above_its_limit_and_only_in_those_hours():
    sky = Invented(rain=[0, 1, 3, 8, 0])
    assert by_hour(clock_of(sky, rain=2.5), 5) == ["work", "work", "rain", "rain", "work"]
    assert by_hour(clock_of(sky, rain=7.6), 5) == ["work", "work", "work", "rain", "work"]
    assert by_hour(clock_of(sky, rain=0.0), 5) == ["work", "rain", "rain", "rain", "work"]


def test_wind_stops_work_by_its_mean_or_by_its_gusts():
    sky = Invented(wind=[10, 21, 10, 20], gust=[20, 25, 31, 30])
    assert by_hour(clock_of(sky, wind=20.0, gust=30.0), 5) == ["work", "wind", "wind", "work", "work"]


def test_what_weather_leaves_is_worked_out_once_for_crews_of_different_hours(monkeypatch):
    asked, by_hours = [], HourEffects._by_hour
    monkeypatch.setattr(HourEffects, "_by_hour", lambda self, *what: asked.append(what) or by_hours(self, *what))
    sky, limits = Invented(rain=[0, 3, 0]), Limits(rain=2.5)
    effects = HourEffects(limits.around, sky)
    for hours in ("06:00-18:00", "18:00-06:00"):
        calendar = lay_out(Shift(hours=(hours,)), None, datetime(2031, 7, 2, 6), HORIZON)
        WorkClock(ClockPlan(calendar, limits=Limits(rain=2.5)), sky, effects).finish(0.0, 100.0)
    assert asked
    assert len(asked) == len(set(asked))


def test_after_thunder_work_waits_for_the_all_clear_also_across_the_end_of_a_block():
    # Every wet hour has thunder here: hours 2, 3 and 167, the last of the first block.
    rain = np.zeros(300)
    rain[[2, 3, 167]] = 1.0
    clock = clock_of(Invented(rain=rain), around=Surroundings(thunder=1.0), luck=Streams(1, 0), all_clear=0.5)
    assert clock.finish(1.5, 1.0) == pytest.approx(5.0)
    assert clock.losses(0.0, 300.0) == pytest.approx({"lightning": 2.5 + 1.5})
    assert clock.stretch(167.2)[0] == pytest.approx(168.5)


def test_more_thunder_is_the_same_thunder_and_more_of_it():
    rain = np.ones(400)
    heard = []
    for chance in (0.05, 0.2):
        effects = HourEffects(Surroundings(thunder=chance), Invented(rain=rain), Streams(3, 8))
        heard.append({hour for block in range(3) for hour in effects.thunder(block)})
    assert heard[0] < heard[1]
    assert 400 * 0.2 * 0.6 < len(heard[1]) < 400 * 0.2 * 1.5


def test_thunder_without_a_runs_streams_is_refused():
    with pytest.raises(ValueError, match="streams"):
        HourEffects(Surroundings(thunder=0.1), Invented())


def test_work_waits_until_the_ground_has_dried():
    # 20 mm soak it through (nothing dried out); 5 mm a day leave in the first stage, so 7 mm have gone 33.6 h after the rain.
    around = Surroundings(ground=Ground(8.0, 18.0), workable=7.0, dried_out=10.0, evaporation=5.0)
    clock = clock_of(Invented(rain=[0, 0, 20]), around=around, dry_ground=True)
    assert clock.losses(0.0, 100.0) == pytest.approx({"wet ground": 34.0})  # from the hour after the rain, whole hours
    assert clock.finish(0.0, 4.0) == pytest.approx(38.0)


def test_ground_that_is_too_wet_at_hour_zero_keeps_work_waiting():
    around = Surroundings(ground=Ground(8.0, 18.0), workable=7.0, dried_out=2.0, evaporation=5.0)
    assert clock_of(Invented(), around=around, dry_ground=True).finish(0.0, 1.0) == pytest.approx(25.0)


def test_what_evaporates_follows_the_sun_and_leaves_nothing_out():
    for place in (None, PLACE):
        around = Surroundings(location=place, ground=Ground(100.0, 200.0), evaporation=5.0)
        depth = HourEffects(around, Invented()).depth(1)
        assert depth[0] == pytest.approx(35.0)
        assert depth[-1] == pytest.approx(70.0, abs=0.5)
    assert depth[20] - depth[16] < depth[8] - depth[4]  # from 22 h to 2 h against from 10 h to 14 h


def test_wet_roads_slow_the_haul_until_the_index_falls():
    around = Surroundings(roads_wet=10.0, roads_keep=0.9 ** (1 / 24))
    clock = clock_of(Invented(rain=[0, 12]), around=around, wet_roads=0.5)
    wet = sum(one >= 10.0 for one in antecedent(0.0, 0.9 ** (1 / 24), [0, 12, *[0] * 200]))
    assert 20 < wet < 60
    assert clock.losses(0.0, 300.0) == pytest.approx({"wet ground": wet * 0.5})
    assert clock.finish(1.0, 4.0) == pytest.approx(9.0)


HOT = Invented(temperature=[40.0] * 300, humidity=[60.0] * 300)


@given(st.floats(0.05, 1.0), st.floats(0.05, 1.0), st.floats(0.0, 1.0))
def test_in_the_heat_a_crew_does_between_the_product_of_efficiency_and_table_and_the_smaller(share, able, covered):
    productive = able * float(rate_in_heat(np.array(share), 1, able, covered))
    assert able * share - 1e-12 <= productive <= min(able, share) + 1e-12
    assert able * float(rate_in_heat(np.array(share), 1, able, 0.0)) == pytest.approx(able * share)
    assert able * float(rate_in_heat(np.array(share), 1, able, 1.0)) == pytest.approx(min(able, share))


def test_heat_is_a_rate_and_not_a_stop_and_two_crews_lose_less_of_it_than_one():
    around = Surroundings(location=PLACE)
    one, two = (clock_of(HOT, around=around, effort="hard", crews=crews) for crews in (1, 2))
    assert one.losses(0.0, 60.0) == pytest.approx({"heat": 50.0})  # 10 minutes of every hour
    assert two.losses(0.0, 60.0) == pytest.approx({"heat": 40.0})
    assert one.finish(0.0, 1.0) == pytest.approx(6.0)
    assert clock_of(HOT, around=around, effort="moderate").losses(0.0, 60.0) == pytest.approx({"heat": 40.0})


def test_newcomers_work_a_fifth_of_a_hot_hour_on_the_first_day_and_a_fifth_more_each_day():
    # 80 °F or so: the table lets hard work go on for 40 minutes.
    mild = Invented(temperature=[30.0] * 300, humidity=[70.0] * 300)
    around = Surroundings(acclimatised=False)
    clock = clock_of(mild, around=around, effort="hard")
    worked = [clock.worked(24.0 * day, 24.0 * day + 24) / 24 for day in range(6)]
    assert worked == pytest.approx([0.2, 0.4, 0.6, 2 / 3, 2 / 3, 2 / 3])


def test_body_armour_makes_an_hour_hotter():
    mild = Invented(temperature=[28.0] * 48, humidity=[70.0] * 48)
    plain = clock_of(mild, effort="hard").worked(0.0, 48.0)
    assert clock_of(mild, around=Surroundings(clothing=5.0), effort="hard").worked(0.0, 48.0) < plain


def test_the_sun_makes_noon_hotter_than_midnight_and_rain_takes_that_away():
    dry, wet = (
        HourEffects(Surroundings(location=PLACE), Invented(temperature=[30.0] * 48, rain=rain)) for rain in ([], [1.0] * 48)
    )
    heat = dry.heat(0)
    assert heat[7] > heat[18] + 5  # 13 h against midnight
    assert heat[7] > wet.heat(0)[7] + 5
    assert heat[18] == pytest.approx(wet.heat(0)[18], abs=0.3)


def test_extreme_wind_chill_stops_work():
    sky = Invented(temperature=[-20, -30, -40, 0], wind=[5, 20, 20, 20])
    assert by_hour(clock_of(sky, around=Surroundings(stop_below=-32.0), cold=True), 4) == ["work", "cold", "cold", "work"]


EVERYTHING = {
    "rain": 2.5,
    "wind": 20.0,
    "gust": 30.0,
    "all_clear": 0.5,
    "dry_ground": True,
    "wet_roads": 0.7,
    "effort": "hard",
    "cold": True,
}
AROUND = Surroundings(
    location=PLACE,
    thunder=0.3,
    clothing=5.0,
    ground=Ground(4.0, 9.0),
    workable=2.0,
    dried_out=5.0,
    roads_wet=6.0,
    roads_keep=0.97,
    stop_below=-30.0,
)


def state(at, sky, effects):
    """Return the rate at a moment, and what each cause takes of it in the design's order, reckoned from the sky alone."""
    hour = int(at)
    block, within = divmod(hour, 168)
    hours = sky.block(block)
    here = {name: float(values[within]) for name, values in hours._asdict().items()}
    stormy = [one for number in range(block + 1) for one in effects.thunder(number)]
    sun = effects.heat(block)[within]
    chill = float(wind_chill(hours.temperature, hours.wind)[within])
    left = {
        "lightning": 0.0 if any(one <= at < one + 1.5 for one in stormy) else 1.0,
        "rain": 0.0 if here["rain"] > 2.5 else 1.0,
        "wind": 0.0 if here["wind"] > 20 or here["gust"] > 30 else 1.0,
        "wet ground": (1.0 if effects.depth(block)[within] >= 2.0 else 0.0)
        * (0.7 if effects.index(block)[within] >= 6.0 else 1.0),
        "heat": float(share_worked(np.array([sun]), "hard")[0]),
        "cold": 0.0 if chill < -30.0 else 1.0,
    }
    rate, lost = 1.0, {}
    for cause in ORDER:
        lost[cause] = rate * (1.0 - left[cause])
        rate *= left[cause]
    return rate, lost


def reckoned(sky, effects, start, end):
    edges = sorted({start, end, *(half / 2 for half in range(math.ceil(2 * start), math.ceil(2 * end)))})
    worked, lost = 0.0, dict.fromkeys(ORDER, 0.0)
    for low, high in pairwise(edges):
        rate, each = state((low + high) / 2, sky, effects)
        worked += rate * (high - low)
        for cause, part in each.items():
            lost[cause] += part * (high - low)
    return worked, lost


seeds = st.integers(0, 10**6)


@given(seeds, st.floats(0, 400), st.floats(0, 60))
@settings(max_examples=40, deadline=None)
def test_with_every_cause_at_once_work_and_losses_are_those_of_a_reckoning_moment_by_moment(seed, start, hours):
    sky, luck = any_sky(seed), Streams(seed, 1)
    clock = clock_of(sky, around=AROUND, luck=luck, **EVERYTHING)
    worked, lost = reckoned(sky, HourEffects(AROUND, sky, luck), start, start + hours)
    assert clock.worked(start, start + hours) == pytest.approx(worked, abs=1e-8)
    told = clock.losses(start, start + hours)
    assert {cause: told.get(cause, 0.0) for cause in ORDER} == pytest.approx(lost, abs=1e-8)


SHIFTS = [
    Shift(hours=("06:00-12:00", "13:00-18:00")),
    Shift(hours=("20:00-04:00",), lighting=True, night_rate=0.8, fatigue=0.1, fatigue_after="4 h", rest_every=3),
    Shift(hours=("00:00-24:00",), breaks=("23:45-00:15",), taking_over="10 min"),
]
LIGHT = [(24.0 * day, 24.0 * day + 13.5) for day in range(26)]
CALENDARS = [lay_out(shift, LIGHT, PLACE.starts, HORIZON) for shift in SHIFTS]


@given(seeds, st.sampled_from(CALENDARS), st.floats(0, 500), st.floats(1e-3, 60))
def test_finish_is_the_inverse_of_worked_and_losses_fill_the_rest_under_every_calendar_and_sky(seed, calendar, start, work):
    clock = clock_of(any_sky(seed), calendar, AROUND, Streams(seed, 1), **EVERYTHING)
    end = clock.finish(start, work)
    if math.isinf(end):
        assert clock.worked(start, HORIZON) < work + 1e-8
        end = HORIZON
    else:
        assert clock.worked(start, end) == pytest.approx(work, abs=1e-8)
        assert clock.worked(start, max(start, end - 1e-4)) < work
    assert clock.worked(start, end) + math.fsum(clock.losses(start, end).values()) == pytest.approx(end - start, abs=1e-8)


@given(seeds, st.floats(0, 500), st.floats(0, 100))
@settings(max_examples=30, deadline=None)
def test_a_clock_that_is_asked_late_tells_what_one_that_is_asked_early_does(seed, first, second):
    clocks = [clock_of(any_sky(seed), CALENDARS[0], AROUND, Streams(seed, 1), **EVERYTHING) for _ in range(2)]
    clocks[0].finish(0.0, second + 0.1)
    assert clocks[0].finish(first, second) == clocks[1].finish(first, second)


def test_two_clocks_of_one_run_meet_the_same_thunder_heat_and_ground():
    sky = any_sky(5)
    effects = HourEffects(AROUND, sky, Streams(5, 1))
    plans = [ClockPlan(calendar, limits=Limits(around=AROUND, **EVERYTHING)) for calendar in (ALL_HOURS, CALENDARS[0])]
    first, second = (WorkClock(plan, sky, effects) for plan in plans)
    second.finish(0.0, 100.0)
    for start, end, rate, _ in CALENDARS[0]:
        if rate == 1.0:
            assert second.worked(start, end) == pytest.approx(first.worked(start, end))


@pytest.mark.parametrize("latitude", [-80.0, -66.0, 0.0, 31.4, 66.0, 89.0])
@pytest.mark.parametrize("starts", [datetime(2032, 2, 28, 17, 20), datetime(2031, 12, 30, 0, 0), datetime(2031, 6, 20, 23, 0)])
def test_polar_days_and_nights_leap_days_and_the_turn_of_a_year_have_heat_and_ground_of_their_own(latitude, starts):
    place = Location(latitude, 20.0, 1.0, starts)
    effects = HourEffects(Surroundings(location=place, ground=Ground(8.0, 18.0), dried_out=1.0), any_sky(7))
    for block in range(3):
        assert np.isfinite(effects.heat(block)).all()
        assert all(0 <= depth <= 18 for depth in effects.depth(block))


def test_the_table_of_heat_is_within_a_quarter_of_a_degree_of_the_method_itself():
    from simulation.conditions.stops.sunshine import clear_sky
    from simulation.conditions.stops.wet_bulb_globe import DIRECT, by_the_method

    draws = np.random.default_rng(2)
    warm, humid, wind, sun = (draws.uniform(*ends, 4000) for ends in ((15, 48), (5, 100), (1.5, 40), (0, 1)))
    read = wet_bulb_globe(warm, humid, wind, sun, np.zeros(4000, dtype=bool))
    shine = clear_sky(sun)
    solved = by_the_method(warm, humid, wind * 0.44704, shine, np.full(4000, DIRECT), sun)
    assert np.abs(read - solved).max() < 0.25
    assert np.abs(read - solved).mean() < 0.04
