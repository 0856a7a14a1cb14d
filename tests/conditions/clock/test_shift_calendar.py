"""Which hours the calendar and the sun leave for work: shifts over midnight, breaks, dark, leap days."""

from datetime import date, datetime, timedelta
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from simulation.conditions import daylight, lay_out, on_shift, sun_up
from simulation.conditions.clock.shift_pattern import begins_of_shifts, rest_of
from simulation.scenario.tables.ground import Site
from simulation.scenario.tables.people import Shift
from simulation.scenario.types.named_values import WEEKDAYS

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


def long_shift(**keys):
    return Shift.model_validate(keys)


def test_breaks_are_cut_out_of_a_shift_on_either_side_of_midnight():
    night = long_shift(hours=["20:00-04:00"], breaks=["22:00-22:30", "00:00-00:30", "03:30-05:00"])
    assert on_shift(night, datetime(2031, 4, 2), 48) == [
        (0.5, 3.5),
        (20, 22),
        (22.5, 24),
        (24.5, 27.5),
        (44, 46),
        (46.5, 48),
    ]


def test_a_break_that_runs_over_midnight_is_one():
    always = long_shift(hours=["00:00-24:00"], breaks=["23:30-00:30"])
    assert on_shift(always, datetime(2031, 4, 2), 48) == [(0.5, 23.5), (24.5, 47.5)]


def test_hand_overs_shorten_a_shift_at_its_ends_and_not_at_its_breaks():
    day = long_shift(hours=["06:00-12:00", "13:00-18:00"], taking_over="15 min", handing_over="30 min")
    assert on_shift(day, datetime(2031, 4, 2), 24) == [(6.25, 12), (13, 17.5)]
    two = long_shift(hours=["06:00-12:00", "20:00-24:00"], taking_over="15 min")
    assert on_shift(two, datetime(2031, 4, 2), 24) == [(6.25, 12), (20.25, 24)]


def test_a_hand_over_longer_than_the_first_span_goes_on_in_the_next():
    day = long_shift(hours=["06:00-06:30", "07:00-12:00"], taking_over="1 h")
    assert on_shift(day, datetime(2031, 4, 2), 24) == [(7.5, 12)]


def test_spans_on_either_side_of_midnight_are_one_shift():
    night = long_shift(hours=["22:00-24:00", "00:00-06:00"], taking_over="1 h")
    assert on_shift(night, datetime(2031, 4, 2), 48) == [(0, 6), (23, 30), (47, 48)]


def test_every_seventh_day_no_shift_begins_but_the_one_of_the_eve_runs_on_into_it():
    night = long_shift(hours=["20:00-04:00"], rest_every=7)
    spans = on_shift(night, datetime(2031, 4, 2), 24 * 15)
    begins = [int(start // 24) + 1 for start, end in spans if start % 24 == 20]
    assert begins == [1, 2, 3, 4, 5, 6, 8, 9, 10, 11, 12, 13, 15]
    assert (5 * 24 + 20, 6 * 24 + 4) in spans


def test_work_in_the_dark_under_lights_goes_at_the_rate_of_the_night():
    lit = long_shift(hours=["06:00-12:00"], lighting=True, night_rate=0.8)
    assert lay_out(lit, [(8.0, 16.0)], datetime(2031, 4, 2), 24.0) == (
        (0, 6, 0, "off shift"),
        (6, 8, 0.8, "dark"),
        (8, 12, 1, None),
        (12, 24, 0, "off shift"),
    )


def test_people_tire_hour_by_hour_after_the_stated_ones_and_start_afresh_with_the_next_shift():
    tiring = long_shift(hours=["06:00-12:00", "13:00-18:00"], fatigue=0.2, fatigue_after="9 h")
    segments = lay_out(tiring, None, datetime(2031, 4, 2), 48.0)
    expected = [(6, 12, 1, None), (13, 15, 1, None), (15, 16, 0.8, "fatigue"), (16, 17, 0.6, "fatigue"), (17, 18, 0.5, "fatigue")]
    at_work = [segment for segment in segments if segment[2] > 0]
    assert at_work[:5] == expected
    assert [(start - 24, end - 24, rate, cause) for start, end, rate, cause in at_work[5:]] == expected


def test_two_causes_that_slow_the_same_hour_share_its_loss_in_their_order():
    night = long_shift(hours=["18:00-04:00"], lighting=True, night_rate=0.8, fatigue=0.25, fatigue_after="8 h")
    segments = lay_out(night, [(6.0, 20.0), (30.0, 44.0)], datetime(2031, 4, 2), 48.0)
    last = next(segment for segment in segments if segment[0] == 26)
    assert last[:2] == (26, 27)
    assert last[2] == pytest.approx(0.6)
    assert dict(last[3]) == pytest.approx({"dark": 0.2, "fatigue": 0.2})


@pytest.mark.parametrize("keys", [{"rest_every": 3}, {"breaks": ["23:00-01:00"]}, {"taking_over": "20 min"}, {"fatigue": 0.1}])
@pytest.mark.parametrize("hours", SHIFTS)
@pytest.mark.parametrize("latitude", [10.0, 80.0])
def test_every_pattern_lays_out_the_whole_time_whose_rates_and_losses_make_it_up(keys, hours, latitude):
    pattern = long_shift(hours=hours, lighting=True, night_rate=0.7, **keys)
    begins = datetime(2032, 2, 27, 23, 10)  # over a leap day
    light = daylight(Site.model_validate({"latitude": latitude, "longitude": 0.0}), begins, 31)
    segments = lay_out(pattern, light, begins, 720.0)
    assert (segments[0][0], segments[-1][1]) == (0, 720)
    for (_, end, rate, cause), after in pairwise([*segments, (720.0, 0, 0, None)]):
        assert end == after[0]
        lost = 0.0 if cause is None else 1 - rate if isinstance(cause, str) else sum(share for _, share in cause)
        assert rate + lost == pytest.approx(1.0, abs=1e-12)


@given(st.sampled_from(SHIFTS), starts, st.integers(0, 9))
def test_moving_hour_zero_does_not_move_a_sunday_of_rest(hours, begins, later):
    shift = long_shift(hours=list(hours), rest_on=["Sunday"])
    span = 24 * 24.0
    moved = begins + timedelta(days=later)
    first, second = on_shift(shift, begins, span + 24 * later), on_shift(shift, moved, span)
    # The same spans of the calendar, but for what lay before the later start.
    kept = [(max(start - 24 * later, 0.0), end - 24 * later) for start, end in first if end > 24 * later]
    assert np.array(second) == pytest.approx(np.array(kept), abs=1e-9)


@given(st.sampled_from(SHIFTS), starts, st.sampled_from([None, 2, 5, 7]), st.sets(st.sampled_from(WEEKDAYS), max_size=3))
def test_no_shift_begins_on_a_day_of_rest_and_one_begins_on_every_other(hours, begins, every, weekdays):
    shift = long_shift(hours=list(hours), rest_every=every, rest_on=sorted(weekdays))
    found = {(begins + timedelta(hours=one)).date() for one in begins_of_shifts(shift, begins, 24.0 * 30)}
    for day in range(30):
        date_ = (begins + timedelta(days=day)).date()
        rest = date_.strftime("%A") in weekdays or (every is not None and (day + 1) % every == 0)
        assert (date_ in found) == (not rest)


def test_rest_on_is_read_in_any_order_and_spelling_of_case():
    assert long_shift(rest_on=["sunday", "Saturday", "Sunday"]).rest_on == ("Saturday", "Sunday")


def test_days_of_rest_are_counted_with_the_hours_that_they_would_have_had():
    monday = datetime(2031, 5, 12, 6)
    assert rest_of(long_shift(hours=["06:00-16:00"]), monday, 240.0) == (0, 0.0)
    # Days 3, 6 and 9 from the start, and the Sunday, which is day 7; of 14 days, from six in the morning.
    both = long_shift(hours=["06:00-16:00"], rest_every=3, rest_on=["Sunday"])
    assert rest_of(both, monday, 24.0 * 10) == (4, pytest.approx(40.0))
