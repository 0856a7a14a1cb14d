"""Weather out of a record: as it was, or put together from pieces around the date, all variables of an hour together."""

from datetime import datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from skies import hours_of, sky, wet_hours

from simulation.conditions.sky.hourly_variables import AirDraws
from simulation.conditions.sky.recorded import WINDOW, Recorded


def numbered(first, days, way="replay", year=None):
    """A record whose wind is the number of the hour, and whose every seventh hour is wet by as much as its number says."""
    count = np.arange(24 * days, dtype=float)
    hours = {"rain": np.where(count % 7 == 0, count + 1, 0.1), "wind": count, "gust": count + 5}
    return Recorded(first, way, year or first.year, hours)


def test_a_replay_is_the_record_from_the_same_date_on():
    record = numbered(datetime(2021, 1, 1), 365)
    drawn = sky(record, starts=datetime(2031, 4, 2, 6, 30))
    at = (31 + 28 + 31 + 1) * 24 + 6
    assert hours_of(drawn, 3, "wind").tolist() == list(range(at, at + 504))
    assert wet_hours(drawn, 504).tolist() == [hour % 7 == 0 for hour in range(at, at + 504)]
    assert set(hours_of(drawn, 1, "rain")) >= {0.0}  # 0.1 mm is less than what counts


def test_every_run_replays_the_same_season_but_what_the_record_lacks_is_drawn():
    runs = [sky(numbered(datetime(2021, 1, 1), 365), run).block(0) for run in (0, 1)]
    assert runs[0].wind.tolist() == runs[1].wind.tolist()
    assert runs[0].temperature.tolist() != runs[1].temperature.tolist()


def test_beside_a_record_that_tells_all_no_air_is_drawn(monkeypatch):
    monkeypatch.setattr(AirDraws, "block", lambda *_: pytest.fail("nobody breathes it"))
    first = datetime(2021, 1, 1)
    hours = numbered(first, 365).values | {"temperature": np.full(365 * 24, 4.0), "humidity": np.full(365 * 24, 70.0)}
    hours["gust"] = hours["wind"] - 1.0
    block = sky(Recorded(first, "replay", 2021, hours)).block(1)
    assert block.gust.tolist() == block.wind.tolist()  # no gust is below its mean
    assert set(block.temperature) == {4.0}


def test_a_replay_crosses_the_new_year_and_behind_the_record_begins_again():
    record = numbered(datetime(2021, 1, 1), 365 + 365, year=2021)
    wind = hours_of(sky(record, starts=datetime(2031, 12, 30)), 1, "wind")
    assert wind.tolist() == list(range(363 * 24, 370 * 24))
    last = hours_of(sky(numbered(datetime(2021, 1, 1), 730, year=2022), starts=datetime(2031, 12, 30)), 1, "wind")
    assert last[:48].tolist() == list(range(728 * 24, 730 * 24))
    assert last[48:].tolist() == list(range(5 * 24))


def test_a_leap_day_of_the_run_is_the_day_before_in_a_record_without_one():
    wind = hours_of(sky(numbered(datetime(2021, 1, 1), 365), starts=datetime(2032, 2, 28)), 1, "wind")
    days = [int(hour) // 24 for hour in wind[::24]]
    assert days == [58, 58, 59, 60, 61, 62, 63]


def test_a_leap_day_of_the_record_is_passed_over_where_the_run_has_none():
    wind = hours_of(sky(numbered(datetime(2020, 1, 1), 366), starts=datetime(2031, 2, 27)), 1, "wind")
    assert [int(hour) // 24 for hour in wind[::24]] == [57, 58, 60, 61, 62, 63, 64]


@given(st.integers(0, 400), st.dates(datetime(2031, 1, 1).date(), datetime(2033, 1, 1).date()))
@settings(max_examples=40, deadline=None)
def test_pieces_begin_around_their_date_and_go_on_by_days(run, date):
    starts = datetime(date.year, date.month, date.day, 6)
    record = numbered(datetime(2018, 1, 1), 4 * 365 + 1, "pieces")
    wind = hours_of(sky(record, run, starts=starts), 12, "wind").astype(int).reshape(-1, 24)
    assert (np.diff(wind, axis=1) == 1).all()
    for day in range(len(wind)):
        if day and wind[day, 0] == wind[day - 1, 0] + 24:
            continue
        now, then = starts + timedelta(days=day), record.first + timedelta(hours=int(wind[day, 0]))
        assert now.hour == then.hour
        apart = (datetime(2001, now.month, min(now.day, 28)) - datetime(2001, then.month, min(then.day, 28))).days
        assert min(abs(apart), 365 - abs(apart)) <= WINDOW + 3


def test_pieces_are_as_long_as_they_should_be_and_come_from_all_years():
    # Geometric with mean 6 days; a new piece follows its forerunner by chance once in 124 times (31 starts, four years).
    record = numbered(datetime(2018, 1, 1), 4 * 365 + 1, "pieces")
    new, days, years = 0, 0, set()
    for run in range(60):
        wind = hours_of(sky(record, run), 10, "wind")[::24].astype(int)
        new += int((np.diff(wind) != 24).sum())
        days += len(wind) - 1
        years |= {(record.first + timedelta(hours=int(hour))).year for hour in wind}
    assert abs(new / days - 1 / 6 * (1 - 1 / 124)) < 4 * np.sqrt(1 / 6 * 5 / 6 / days)
    assert years == {2018, 2019, 2020, 2021}


def test_all_variables_of_an_hour_are_those_of_one_hour_of_the_record():
    record = numbered(datetime(2018, 1, 1), 4 * 365 + 1, "pieces")
    block = sky(record, 3).block(4)
    assert (block.gust - block.wind).tolist() == [5] * 168
    assert ((block.rain > 0) == (block.wind % 7 == 0)).all()


def test_whole_years_are_drawn_where_there_are_many_each_alike_often():
    record = numbered(datetime(2001, 1, 1), 20 * 365 + 5, "years")
    assert len(record.years) == 20
    first = [sky(record, run).block(0).wind[0] for run in range(300)]
    years = np.bincount([(record.first + timedelta(hours=int(hour))).year - 2001 for hour in first], minlength=20)
    assert years.min() > 0 and years.max() < 15 + 5 * np.sqrt(15)
    assert {(record.first + timedelta(hours=int(hour))).strftime("%m-%d %H") for hour in first} == {"04-02 06"}


@pytest.mark.parametrize("way", ["replay", "pieces", "years"])
@given(st.integers(0, 100), st.permutations([0, 1, 2, 3]))
@settings(max_examples=10, deadline=None)
def test_recorded_hours_are_the_same_in_whatever_order_they_are_asked_for(way, run, order):
    record = numbered(datetime(2001, 1, 1), 16 * 365 + 4, way)
    asked, straight = sky(record, run), sky(record, run)
    for number in order:
        asked.block(number)
    straight.reach(4 * 168)
    for number in range(4):
        for mine, other in zip(asked.block(number), straight.block(number), strict=True):
            assert mine.tolist() == other.tolist()
    assert asked.spells == straight.spells
