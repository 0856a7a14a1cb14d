"""Which hours the calendar and the sun leave for work: shifts over midnight, breaks, dark, leap days."""

from datetime import date, datetime
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from simulation.conditions import daylight, lay_out, on_shift, sun_up
from simulation.scenario.ground import Site
from simulation.scenario.people import Shift

MORNING = datetime(2031, 4, 2, 6)
TROPICS = Site.model_validate({"latitude": 10.0, "longitude": 0.0})
SHIFTS = [["06:00-12:00", "13:00-18:00"], ["00:00-24:00"], ["20:00-04:00"], ["05:30-05:30"], ["22:15-02:45", "09:00-12:00"]]


def shift(*hours, lighting=False):
    return Shift.model_validate({"hours": list(hours), "lighting": lighting})


starts = st.datetimes(datetime(2028, 1, 1), datetime(2033, 1, 1)).map(lambda moment: moment.replace(second=0, microsecond=0))


def test_the_first_day_is_cut_at_hour_zero_and_the_last_at_the_horizon():
    assert on_shift(shift("06:00-12:00", "13:00-18:00"), datetime(2031, 4, 2, 8), 27) == [(0, 4), (5, 10), (22, 27)]


def test_a_night_shift_runs_over_midnight_as_one_span():
    assert on_shift(shift("20:00-04:00"), MORNING, 48) == [(14, 22), (38, 46)]


def test_work_that_begins_after_midnight_finds_last_evenings_shift_still_on():
    assert on_shift(shift("20:00-04:00"), datetime(2031, 4, 2, 1), 24) == [(0, 3), (19, 24)]


@pytest.mark.parametrize("hours", [["00:00-24:00"], ["12:00-12:00"], ["06:00-14:00", "14:00-22:00", "22:00-06:00"]])
def test_shifts_that_meet_are_one_without_a_seam(hours):
    assert on_shift(shift(*hours), datetime(2031, 4, 2, 6, 20), 100) == [(0, 100)]


@given(st.sampled_from(SHIFTS), starts, st.integers(1, 400), st.integers(0, 1439))
@settings(max_examples=80)
def test_a_minute_is_on_shift_exactly_when_the_clock_on_the_wall_says_so(hours, begins, horizon, minute):
    spans = on_shift(shift(*hours), begins, float(horizon))
    on = []
    for text in hours:
        (h1, m1), (h2, m2) = (map(int, part.split(":")) for part in text.split("-"))
        on.append((60 * h1 + m1, 60 * h2 + m2))
    for day in range(horizon // 24 + 1):
        at = 24 * day + (minute + 0.5) / 60
        if at >= horizon:
            continue
        wall = (begins.hour * 60 + begins.minute + minute) % 1440
        expected = any(low <= wall < high if low < high else not high <= wall < low for low, high in on)
        assert any(start <= at < end for start, end in spans) == expected


@given(st.sampled_from(SHIFTS), starts, st.integers(1, 400), st.booleans(), st.booleans())
@settings(max_examples=80)
def test_segments_follow_each_other_without_gap_from_hour_zero_to_the_horizon(hours, begins, horizon, site, lighting):
    light = daylight(TROPICS, begins, horizon // 24 + 1) if site else None
    segments = lay_out(shift(*hours, lighting=lighting), light, begins, float(horizon))
    assert (segments[0][0], segments[-1][1]) == (0, horizon)
    for before, after in pairwise(segments):
        assert before[1] == after[0]
    for start, end, rate, cause in segments:
        assert start < end
        assert (rate, cause is None) in {(1.0, True), (0.0, False)}


def test_off_shift_counts_before_dark_and_dark_only_on_shift():
    light = [(8.0, 16.0), (32.0, 40.0)]
    segments = lay_out(shift("06:00-12:00", "13:00-18:00"), light, datetime(2031, 4, 2), 24.0)
    assert segments == (
        (0, 6, 0, "off shift"),
        (6, 8, 0, "dark"),
        (8, 12, 1, None),
        (12, 13, 0, "off shift"),
        (13, 16, 1, None),
        (16, 18, 0, "dark"),
        (18, 24, 0, "off shift"),
    )


def test_a_shift_wholly_in_the_dark_is_dark_from_end_to_end():
    segments = lay_out(shift("20:00-04:00"), [(6.0, 18.0)], datetime(2031, 4, 2), 24.0)
    assert segments == ((0, 4, 0, "dark"), (4, 20, 0, "off shift"), (20, 24, 0, "dark"))


def test_light_that_breaks_within_a_shift_parts_it_in_two():
    segments = lay_out(shift("00:00-24:00"), [(-4.0, 3.0), (5.0, 27.0)], datetime(2031, 4, 2), 24.0)
    assert segments == ((0, 3, 1, None), (3, 5, 0, "dark"), (5, 24, 1, None))


@pytest.mark.parametrize("light", [None, []])
def test_under_lamps_or_without_a_site_nothing_is_lost_to_the_dark(light):
    segments = lay_out(shift("00:00-24:00", lighting=light is not None), light, MORNING, 48.0)
    assert segments == ((0, 48, 1, None),)


@pytest.mark.parametrize(("year", "day"), [(2031, 24), (2032, 48), (2100, 24)])
def test_the_first_of_march_comes_a_day_later_in_a_leap_year(year, day):
    site = Site.model_validate({"latitude": 50.0, "longitude": 0.0})  # days grow 3.5 minutes a day there, so a slip of one shows
    spans = daylight(site, datetime(year, 2, 28), 4)
    dawn, dusk = sun_up(site, date(year, 3, 1))
    (found,) = [span for span in spans if day <= span[0] < day + 24]
    assert found == pytest.approx((day + dawn, day + dusk), abs=1e-9)


def test_a_leap_day_has_shifts_like_any_other():
    spans = on_shift(shift("06:00-18:00"), datetime(2032, 2, 28), 72)
    assert spans == [(6, 18), (30, 42), (54, 66)]
