"""When it is light enough to work without lamps, on any day and at any latitude.

The yardstick is a second computation of the sun's height: the low-precision solar coordinates of the Astronomical Almanac (good
to 0.01° in this century; from memory, status M), without refraction.
"""

import math
from bisect import bisect_right
from datetime import date, datetime, timedelta
from itertools import pairwise

import pytest
from scenarios import LEAST

from simulation.conditions import clock_plans, daylight, sun_up
from simulation.scenario import parse_scenario
from simulation.scenario.tables.ground import Site


def height(site, local):
    """Return the sun's height in degrees at a local time."""
    days = (local - timedelta(hours=site.utc_offset) - datetime(2000, 1, 1, 12)) / timedelta(days=1)
    mean_longitude, anomaly = 280.460 + 0.9856474 * days, math.radians(357.528 + 0.9856003 * days)
    longitude = math.radians(mean_longitude + 1.915 * math.sin(anomaly) + 0.020 * math.sin(2 * anomaly))
    tilt = math.radians(23.439 - 4e-7 * days)
    ascension = math.degrees(math.atan2(math.cos(tilt) * math.sin(longitude), math.cos(longitude)))
    declination = math.asin(math.sin(tilt) * math.sin(longitude))
    sidereal = 15 * (18.697374558 + 24.06570982441908 * days)
    hour = math.radians(sidereal + site.longitude - ascension)
    latitude = math.radians(site.latitude)
    sine = math.sin(latitude) * math.sin(declination) + math.cos(latitude) * math.cos(declination) * math.cos(hour)
    return math.degrees(math.asin(sine))


def site_at(latitude, longitude, offset):
    return Site.model_validate({"latitude": latitude, "longitude": longitude, "utc_offset": f"{offset} h"})


PLACES = [
    (0, 0, 0),
    (31.4, -30, -2),
    (-33, 150, 10),
    (51, 0, 1),
    (45, 178, 12),
    (-10, -176, 13),
    (20, -160, -10),
    (10, 0, 9),  # a clock far from the sun: dusk falls after its midnight
    (10, 0, -9),
    (58, 15, 1),
    (60.5, -175, 12),
    (-62, 120, 8),
    (61, -165, -11),
    (69, 20, 1),
    (-75, -60, -4),
    (80, 0, 0),
]


@pytest.mark.parametrize(("latitude", "longitude", "offset"), PLACES)
def test_it_is_light_exactly_while_the_sun_stands_above_civil_twilight(latitude, longitude, offset):
    # Every 7 hours of a year, so that every hour of the day is met; moments within 0.5° of the limit are left out, since
    # near the poles the sun creeps along it.
    site, starts = site_at(latitude, longitude, offset), datetime(2031, 1, 1, 6)
    spans = daylight(site, starts, 366)
    firsts = [start for start, _ in spans]
    wrong = []
    for step in range(24 * 365 // 7):
        hour = 7 * step + 0.5
        above = height(site, starts + timedelta(hours=hour)) + 6
        number = bisect_right(firsts, hour) - 1
        lit = number >= 0 and hour < spans[number][1]
        if abs(above) > 0.5 and lit != (above > 0):
            wrong.append((str(starts + timedelta(hours=hour)), round(above - 6, 1), lit))
    assert wrong == []


@pytest.mark.parametrize("hour", [0, 6, 13, 23])
@pytest.mark.parametrize("offset", [-9, 0, 9])
def test_the_first_and_the_last_hour_of_a_job_have_their_light_whenever_it_begins(hour, offset):
    # Where the clock stands far from the sun, the light of the start may be that of the day before.
    site, starts, days = site_at(10, 0, offset), datetime(2031, 5, 1, hour), 3
    spans = daylight(site, starts, days)
    for half in range(48 * days):
        at = (half + 0.5) / 2
        above = height(site, starts + timedelta(hours=at)) + 6
        assert abs(above) < 0.5 or any(start <= at < end for start, end in spans) == (above > 0)


@pytest.mark.parametrize(("latitude", "longitude", "offset"), PLACES[:10])
def test_dawn_and_dusk_are_where_the_sun_crosses_civil_twilight(latitude, longitude, offset):
    # The sun climbs at most 15° an hour, so half a degree is the two minutes within which the published tables are met.
    site, starts = site_at(latitude, longitude, offset), datetime(2031, 6, 1)
    for dawn, dusk in daylight(site, starts, 30):
        for hour in (dawn, dusk):
            assert height(site, starts + timedelta(hours=hour)) == pytest.approx(-6, abs=0.5)
        assert height(site, starts + timedelta(hours=(dawn + dusk) / 2)) > 0


@pytest.mark.parametrize(("latitude", "longitude", "offset"), PLACES)
def test_spans_of_daylight_come_in_order_and_apart(latitude, longitude, offset):
    spans = daylight(site_at(latitude, longitude, offset), datetime(2031, 1, 1, 6), 366)
    assert all(start < end for start, end in spans)
    assert all(before[1] < after[0] for before, after in pairwise(spans))


def test_the_polar_night_has_no_daylight_and_the_polar_day_no_dark():
    north = site_at(80, 0, 0)
    assert sun_up(north, date(2031, 12, 21)) is None
    assert sun_up(north, date(2031, 6, 21)) == (0, 24)
    assert daylight(north, datetime(2031, 12, 1), 20) == []
    ((first, last),) = daylight(north, datetime(2031, 6, 1, 9, 20), 20)
    assert first <= 0
    assert last >= 20 * 24


def test_twilight_lasts_longer_the_lower_the_sun_may_stand():
    site = site_at(45, 0, 0)
    spans = [sun_up(site, date(2031, 3, 20), depression) for depression in (0.0, 0.833, 6.0, 12.0)]
    assert all(outer[0] < inner[0] < inner[1] < outer[1] for inner, outer in pairwise(spans))


SCENARIO = (
    """
starts = {starts}
horizon = "240 h"
"""
    + LEAST
    + """
[site]
latitude = {latitude}
longitude = 0.0
[shifts.all]
hours = ["06:00-18:00"]
lighting = {lighting}
"""
)


def hours_by_cause(**parts):
    lost = {}
    for start, end, _, cause in clock_plans(parse_scenario(SCENARIO.format(**parts)))["laying"].calendar:
        lost[cause] = lost.get(cause, 0.0) + end - start
    return lost


def test_no_work_is_done_in_the_polar_night_without_lamps():
    dark = {"starts": "2031-12-10T00:00:00", "latitude": 80.0}
    assert hours_by_cause(**dark, lighting="false") == pytest.approx({"off shift": 120, "dark": 120})
    assert hours_by_cause(**dark, lighting="true") == pytest.approx({"off shift": 120, None: 120})


def test_no_hour_on_shift_is_dark_in_the_polar_day():
    bright = {"starts": "2031-06-10T00:00:00", "latitude": 80.0}
    assert hours_by_cause(**bright, lighting="false") == pytest.approx({"off shift": 120, None: 120})
