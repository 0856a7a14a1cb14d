"""From hours since the start to a day and a shift in local time."""

from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from simulation.questions.forecast.days.by_day import tabulate_by_day
from simulation.study.calendar import Calendar, clock, day

STARTS = datetime(2031, 4, 2, 6)
DAY_WORK = Calendar.of(STARTS, [(13.0, 18.0), (6.0, 12.0)])
NIGHT_WORK = Calendar.of(STARTS, [(22.0, 30.0), (8.0, 16.0)])
AROUND_THE_CLOCK = Calendar.of(STARTS, [(0.0, 24.0)])


@pytest.mark.parametrize(
    ("calendar", "hours", "words"),
    [
        (DAY_WORK, 8 * 24 + 8.0, "Thu 10 Apr 2031, shift 2 (13:00-18:00)"),
        (DAY_WORK, 12.0, "Wed 2 Apr 2031, shift 2 (13:00-18:00)"),  # 18:00 sharp belongs to the shift that ends then
        (DAY_WORK, 6.0, "Wed 2 Apr 2031, shift 1 (06:00-12:00)"),
        (DAY_WORK, 0.0, "Wed 2 Apr 2031, shift 1 (06:00-12:00)"),
        (DAY_WORK, 6.5, "Wed 2 Apr 2031, 12:30, after shift 1 (06:00-12:00)"),
        (DAY_WORK, 14.25, "Wed 2 Apr 2031, 20:15, after shift 2 (13:00-18:00)"),
        (DAY_WORK, 20.0, "Thu 3 Apr 2031, 02:00, after shift 2 (13:00-18:00)"),
        (NIGHT_WORK, 17.0, "Wed 2 Apr 2031, shift 2 (22:00-06:00)"),
        (NIGHT_WORK, 21.0, "Wed 2 Apr 2031, shift 2 (22:00-06:00, after midnight, on Thu)"),
        (NIGHT_WORK, 18.0, "Wed 2 Apr 2031, shift 2 (22:00-06:00)"),  # midnight ends a day
        (NIGHT_WORK, 25.0, "Thu 3 Apr 2031, 07:00, after shift 2 (22:00-06:00)"),
        (AROUND_THE_CLOCK, 18.0, "Wed 2 Apr 2031, shift 1 (00:00-24:00)"),
        (AROUND_THE_CLOCK, 18.5, "Thu 3 Apr 2031, shift 1 (00:00-24:00)"),
    ],
)
def test_an_hour_is_given_as_the_day_and_shift_that_hold_it(calendar, hours, words):
    assert str(calendar.day_and_shift(hours)) == words


@given(st.floats(0.0, 3000.0))
def test_every_hour_has_a_day_and_a_shift(hours):
    for calendar in (DAY_WORK, NIGHT_WORK, AROUND_THE_CLOCK):
        assert "shift" in str(calendar.day_and_shift(hours))


@given(st.floats(0.0, 3000.0))
def test_local_time_and_hours_since_hour_zero_say_the_same(hours):
    assert DAY_WORK.hours(DAY_WORK.moment(hours)) == pytest.approx(hours, abs=1e-9)


def test_hours_on_shift_are_those_of_the_spans():
    assert DAY_WORK.hours_a_day == 11.0
    assert NIGHT_WORK.hours_a_day == 16.0
    assert AROUND_THE_CLOCK.hours_a_day == 24.0


def test_nights_are_the_stretches_between_shifts_and_a_meal_is_none():
    assert DAY_WORK.off_shift(0.0, 48.0, 2.0) == [(12.0, 24.0), (36.0, 48.0)]
    assert DAY_WORK.off_shift(13.0, 20.0, 2.0) == [(13.0, 20.0)]
    assert (6.0, 7.0) in DAY_WORK.off_shift(0.0, 24.0, 0.5)
    assert NIGHT_WORK.off_shift(0.0, 24.0, 1.0) == [(0.0, 2.0), (10.0, 16.0)]
    assert AROUND_THE_CLOCK.off_shift(0.0, 240.0, 1.0) == []


def test_a_clock_reads_in_minutes():
    assert [clock(hour) for hour in (6.0, 13.5, 24.0, 30.0, 11.9999)] == ["06:00", "13:30", "24:00", "06:00", "12:00"]


BREAK_AT_MIDNIGHT = Calendar.of(STARTS, [(0.5, 4.0), (20.0, 24.0)])
TWO_CREWS = Calendar.kept_by(STARTS, [("sun", 10, [(6.0, 16.0)]), ("moon", 30, [(20.0, 28.0)]), ("noon", 10, [(6.0, 16.0)])])


def test_a_shift_with_a_break_around_midnight_belongs_to_the_day_on_which_it_begins():
    assert BREAK_AT_MIDNIGHT.spans == ((20.0, 24.0), (24.5, 28.0))
    assert BREAK_AT_MIDNIGHT.day_ends == 28.0
    assert str(BREAK_AT_MIDNIGHT.day_and_shift(20.0)) == "Wed 2 Apr 2031, shift 2 (00:30-04:00, after midnight, on Thu)"
    assert BREAK_AT_MIDNIGHT.off_shift(0.0, 40.0, 1.0) == [(0.0, 14.0), (22.0, 38.0)]


def test_crews_with_hours_of_their_own_are_named_with_the_spans_that_they_keep():
    assert TWO_CREWS.spans == ((6.0, 16.0), (20.0, 28.0))
    assert TWO_CREWS.crews((6.0, 16.0)) == ("sun", "noon")
    assert str(TWO_CREWS.day_and_shift(2.0)) == "Wed 2 Apr 2031, shift 1 (06:00-16:00, crews sun and noon)"
    assert str(TWO_CREWS.day_and_shift(20.0)) == "Wed 2 Apr 2031, shift 2 (20:00-04:00, crew moon, after midnight, on Thu)"
    assert TWO_CREWS.off_shift(0.0, 30.0, 1.0) == [(10.0, 14.0), (22.0, 24.0)]


def test_a_person_s_hours_are_the_mean_where_crews_keep_their_own():
    assert TWO_CREWS.hours_a_day == pytest.approx((20 * 10 + 30 * 8) / 50)


def test_crews_that_keep_the_same_hours_are_not_told_apart():
    alike = Calendar.kept_by(STARTS, [("red", 10, [(6.0, 12.0), (13.0, 18.0)]), ("blue", 12, [(13.0, 18.0), (6.0, 12.0)])])
    assert alike == DAY_WORK


NIGHT_CREW = Calendar.kept_by(
    STARTS, [("day", 22, [(6.0, 12.0), (13.0, 18.0)]), ("night", 17, [(19.0, 23.0), (23.75, 28.75)]), ("early", 9, [(4.0, 11.0)])]
)


def test_after_midnight_the_day_is_that_on_which_the_shift_begins_and_the_clock_s_own_day_is_said():
    moment = NIGHT_CREW.day_and_shift(18.0 + 25.0 / 60.0)  # Thu 00:25
    assert str(moment) == "Wed 2 Apr 2031, shift 5 (23:45-04:45, crew night, after midnight, on Thu)"
    assert moment.day_alone == "Wed 2 Apr 2031, in the night to Thu"
    assert NIGHT_CREW.day_and_shift(12.0).day_alone == "Wed 2 Apr 2031"
    assert str(BREAK_AT_MIDNIGHT.day_and_shift(18.25)) == "Wed 2 Apr 2031, 00:15 on Thu, after shift 1 (20:00-24:00)"


@given(
    st.integers(0, 180_000), st.sampled_from([DAY_WORK, NIGHT_WORK, NIGHT_CREW, BREAK_AT_MIDNIGHT, TWO_CREWS, AROUND_THE_CLOCK])
)
def test_the_day_named_is_that_on_which_the_shift_begins_and_that_of_the_table_of_days(minutes, calendar):
    hours = minutes / 60.0
    moment = calendar.day_and_shift(hours)
    (row,) = tabulate_by_day([hours], calendar)
    assert moment.day == day(row.day)
    if moment.shift.startswith("shift"):
        start, end = calendar.spans[int(moment.shift.split()[1]) - 1]
        begins = calendar.hours(datetime.strptime(moment.day, "%a %d %b %Y")) + start
        assert begins - 0.001 <= hours <= begins + end - start + 0.001
