"""Records of weather: read in their units, and everything that is wrong with them told with its line."""

from datetime import datetime, timedelta

import numpy as np
import pytest
from scenarios import line, lines, sound

from simulation.construction import find_warnings
from simulation.scenario import Change, load_scenario, parse_scenario, vary
from simulation.scenario.weather_record.weather_record import read_weather

COLUMNS = 'columns = { time = "time", rain = { column = "rain", unit = "mm" }, wind = { column = "wind", unit = "mph" } }'


def scenario(more="", columns=COLUMNS):
    return sound(f'[weather]\nmodel = "records"\n[weather.records]\nfile = "weather.csv"\n{columns}\n{more}')


def hours(count=24 * 40, changed=None, left_out=()):
    """A record by the hour, wet every fifth; some lines otherwise or left out, by their number from 0."""
    changed = changed or {}
    rows = ["time,rain,wind"]
    for hour in range(count):
        if hour not in left_out:
            moment = np.datetime64("2021-03-01T00:00") + np.timedelta64(hour, "h")
            rows.append(changed.get(hour, f"{moment},{2.0 if hour % 5 == 0 else 0.0},{10 + hour % 3}"))
    return "\n".join(rows) + "\n"


@pytest.fixture
def beside(tmp_path):
    def put(text):
        (tmp_path / "weather.csv").write_text(text)
        return tmp_path

    return put


def record(text, beside, more="", columns=COLUMNS):
    return parse_scenario(scenario(more, columns), folder=beside(text)).weather.records.record


def test_values_are_in_the_units_used_inside(beside):
    columns = (
        'columns = { time = "t", rain = { column = "p", unit = "inch" }, wind = { column = "w", unit = "m/s" }, '
        'temperature = { column = "T", unit = "degF" }, humidity = { column = "h", unit = "share" } }'
    )
    rows = "".join(f"2021-03-{1 + hour // 24:02}T{hour % 24:02}:00,{hour % 2},10,50,0.5\n" for hour in range(30 * 24))
    values = record("t,p,w,T,h\n" + rows, beside, columns=columns).values
    assert values["rain"][:2].tolist() == [0.0, 25.4]
    assert values["wind"][0] == pytest.approx(22.369363)
    assert (values["temperature"][0], values["humidity"][0]) == (10.0, 50.0)


def test_times_are_made_local_and_lines_of_other_stations_do_not_count(beside):
    rows = "".join(
        f"{np.datetime64('2021-03-01T00') + np.timedelta64(hour, 'h')}:00Z,{place},{hour % 4}\n"
        for hour in range(800)
        for place in ("A", "B")
    )
    columns = 'columns = { time = "t", rain = { column = "p", unit = "mm" } }'
    found = record("t,s,p\n" + rows, beside, 'only = { s = "B" }\ntime_offset = "-5 h"', columns)
    assert (found.first.isoformat(), found.length, found.findings) == ("2021-02-28T19:00:00", 800, ())


@pytest.mark.parametrize("offset", ["5.5 h", "-3.5 h", "5.75 h", "0.5 h", "12 h"])
def test_no_hour_is_lost_where_local_time_lies_half_an_hour_beside_the_files(offset, beside):
    found = record(hours(), beside, f'time_offset = "{offset}"')
    assert (found.length, found.findings) == (24 * 40, ())
    away = (found.first - datetime(2021, 3, 1)) / timedelta(hours=1) - float(offset.split()[0])
    assert abs(away) <= 0.5


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        ("2021-03-01T07:00,0,120", 'line 9: wind holds "120", not within 0 to 100 mph; taken as missing, filled in'),
        ("2021-03-01T07:00,-1,10", 'line 9: rain holds "-1", not within 0 to 310 mm; taken as missing, filled in'),
        ("2021-03-01T07:00,nan?,10", 'line 9: rain holds "nan?", which is no number; taken as missing, filled in'),
        ("2021-03-01T07:00,inf,10", 'line 9: rain holds "inf", not within 0 to 310 mm; taken as missing, filled in'),
        ("2021-03-01T06:00,0,10", "line 9: the hour of line 8 once more; left out"),
        ("someday,0,10", 'line 9: "someday" is no time such as 2013-07-01T14:00; left out'),
        ("2021-03-01T07:00,0", "line 9: has 2 cells of 3; left out"),
        ("2021-03-01T07:00,0,10,5", "line 9: has 4 cells of 3; left out"),
    ],
)
def test_what_is_wrong_with_a_line_is_told_with_its_number(beside, cells, said):
    found = record(hours(changed={7: cells}), beside)
    assert said in [str(one) for one in found.findings]
    assert not np.isnan(found.values["rain"]).any() and not np.isnan(found.values["wind"]).any()


@pytest.mark.parametrize("minutes", [10, 30])
def test_a_record_finer_than_an_hour_is_refused_and_not_cut_to_a_line_an_hour(beside, minutes):
    moments = np.datetime64("2021-03-01T00:00") + np.arange(60 * 24 * 60 // minutes) * np.timedelta64(minutes, "m")
    text = "time,rain,wind\n" + "".join(
        f"{moment},{0.1 if number % 5 == 0 else 0.0},10\n" for number, moment in enumerate(moments)
    )
    (said,) = lines(scenario(), beside(text))
    assert f"its lines stand {minutes} minutes apart" in said
    assert "rain added up" in said


def test_a_record_of_more_lines_than_a_century_of_hours_is_refused_before_it_is_read(beside, monkeypatch):
    monkeypatch.setattr("simulation.scenario.weather_record.weather_lines.MOST_LINES", 500)
    (said,) = lines(scenario(), beside(hours(600)))
    assert "has 601 lines; write 500 at most" in said


def test_a_short_gap_is_filled_rain_by_what_was_before_and_wind_on_a_straight_line_and_told(beside):
    text = hours(changed={10: "2021-03-01T10:00,2,10", 13: "2021-03-01T13:00,0,16"}, left_out={11, 12})
    found = record(text, beside)
    assert found.values["rain"][10:14].tolist() == [2, 2, 2, 0]
    assert found.values["wind"][10:14].tolist() == [10, 12, 14, 16]
    assert [str(one) for one in found.findings] == ["line 12: after it 2 hours have no value of rain, wind; filled in"]
    assert found.filled == {"rain": 2, "wind": 2}


def test_a_long_gap_is_told_and_stays_one(beside):
    found = record(hours(left_out=set(range(50, 60))), beside)
    assert [str(one) for one in found.findings] == ["line 51: after it 10 hours have no value of rain, wind; not filled in"]
    assert np.isnan(found.values["rain"][50:60]).all() and found.gaps("wind") == [(50, 60)]


def test_a_replay_with_a_long_gap_is_refused_with_its_line_and_goes_with_another_limit(beside):
    folder = beside(hours(24 * 40, left_out=set(range(50, 60))))
    said = lines(scenario('use = "replay"'), folder)
    assert said[0] == (
        "weather.records.fill: replay needs every hour, and a gap of rain is longer than fill: 10 hours after line 51; "
        'write "10 h", or write use = "fit"'
    )
    assert len(said) == 2
    assert lines(scenario('use = "replay"\nfill = "10 h"'), folder) == []


@pytest.mark.parametrize(
    ("text", "more", "said"),
    [
        (hours(24 * 20), "", "weather.records.file: goes over 20 days; take a record of 30 days or more"),
        (hours(), 'use = "resample"', "weather.records.use: the record goes over 40 days, "),
        (hours(), 'use = "replay"\nyear = 2009', "weather.records.year: the record has nothing of 2009; it begins in 2021"),
        (hours(), "wet = 5", "weather.records.file: every hour of it is dry; "),
        ("time,rain,wind\n", "", "weather.records.file: no two lines can be read; check columns and only"),
        (hours(), 'only = { station = "A" }', 'weather.records.only: there is no column "station"; '),
        ("time,rian,wind\n", "", 'weather.records.columns: there is no column "rain" of rain; did you mean rian?'),
        ("time,rain,wind\n2021-01-01,1,1\n2022-01-01,1,1\n", "", "weather.records.columns: the lines are 8760 hours apart; "),
    ],
)
def test_a_record_that_cannot_be_used_as_it_says_is_refused_in_a_line(beside, text, more, said):
    assert line(scenario(more), beside(text)).startswith(said)


@pytest.mark.parametrize(
    ("columns", "said"),
    [
        ('columns = { rain = { column = "rain", unit = "mm" } }', "columns.time: the column of the time is not named; "),
        ('columns = { time = "time" }', "columns.rain: the column of rain is not named; "),
        ('columns = { time = "time", rain = "rain" }', "columns.rain: the unit of the column is not given; "),
        (
            'columns = { time = "time", rain = { column = "rain", unit = "mph" } }',
            'columns.rain: "mph" is no unit of this kind; ',
        ),
        ('columns = { time = "time", rian = { column = "rain", unit = "mm" } }', "columns.rian: unknown key; did you mean rain?"),
        ("columns = 5", "columns: 5 names no columns; "),
    ],
)
def test_columns_that_are_not_named_well_are_refused(beside, columns, said):
    assert f"weather.records.{said}" in "\n".join(lines(scenario(columns=columns), beside(hours())))


def test_a_daily_record_is_known_by_its_times_and_is_refused_where_days_are_missing(beside):
    rows = "".join(f"{np.datetime64('2021-01-01') + day},{day % 3},{day % 9}\n" for day in range(400))
    folder = beside("time,rain,wind\n" + rows)
    assert parse_scenario(scenario(), folder=folder).weather.records.record.step == 24
    assert parse_scenario(scenario('use = "replay"'), folder=folder).weather.records.use == "replay"
    torn = beside("time,rain,wind\n" + "".join(f"{row}\n" for row in rows.splitlines() if "2021-03-0" not in row))
    rain, wind = lines(scenario('use = "replay"'), torn)
    gap = "is longer than fill: 216 hours after line 60"
    assert rain == f'weather.records.fill: replay needs every day, and a gap of rain {gap}; write use = "fit"'
    assert wind.endswith(f'a gap of wind {gap}; leave wind out of columns, or write use = "fit"')


def test_a_missing_file_is_one_line(tmp_path):
    said = line(scenario(), tmp_path)
    assert said.startswith('weather.records.file: "weather.csv": there is no such file; name a CSV file')


def test_the_record_is_part_of_the_scenario_and_needs_no_file_any_more(beside):
    folder = beside(hours())
    (folder / "mine.toml").write_text(scenario())
    loaded = load_scenario(folder / "mine.toml")
    (folder / "weather.csv").unlink()
    assert loaded.source.data.keys() == {"weather.csv"}
    assert vary(loaded, [Change("weather.records.by", "year")]).weather.records.record is loaded.weather.records.record


def test_what_is_odd_in_a_record_is_a_warning_of_the_scenario(beside):
    folder = beside(hours(24 * 40, changed={7: "2021-03-01T07:00,0,120"}, left_out={11, 12}))
    said = [str(one) for one in find_warnings(parse_scenario(scenario(), folder=folder)) if one.key == "weather.records"]
    assert said == [
        "weather.records: weather.csv: 3 hours of 960 filled in, 1 odd line; list all with: keystrip weather scenario",
        "weather.records: the record goes over 40 days, so it does not say how years differ; take a longer one if there is any",
    ]


def test_hours_without_a_value_are_counted_in_the_warning(beside):
    text = hours(
        24 * 40,
        changed={row: f"{np.datetime64('2021-03-01T00') + row},0,120" for row in range(1, 9, 2)},
        left_out=set(range(500, 700)),
    )
    said = next(
        str(one) for one in find_warnings(parse_scenario(scenario(), folder=beside(text))) if one.key == "weather.records"
    )
    assert said.startswith("weather.records: weather.csv: 4 hours of 960 filled in, 200 hours without a value, 4 odd lines; ")
    assert len(said) < 160


def test_bad_values_in_a_row_that_are_not_filled_in_are_one_finding_with_all_that_is_lost(beside):
    changed = {row: f"{np.datetime64('2021-03-01T00') + row},0,999" for row in range(300, 400)}
    (found,) = record(hours(changed=changed), beside).findings
    assert str(found) == (
        'line 302: wind holds "999", not within 0 to 100 mph; taken as missing, as are the values of the next 99 hours; '
        "not filled in"
    )
    assert found.lost == 100


def test_a_record_too_short_to_fit_is_not_to_be_looked_at_with_the_command_that_fits(beside):
    text = f"starts = 2031-03-02T06:00:00\nhorizon = '5 day'\n{scenario('use = ' + chr(34) + 'replay' + chr(34))}"
    found = parse_scenario(text, folder=beside(hours(24 * 20, left_out={11})))
    said = next(str(one) for one in find_warnings(found) if one.key == "weather.records")
    assert said.endswith("; look at those lines of the file")


@pytest.mark.parametrize(
    ("starts", "horizon", "said"),
    [
        ("2031-03-02T06:00:00", "30 day", None),
        ("2031-03-02T06:00:00", "60 day", "the record ends 39 days after the start, before the last day simulated"),
        ("2031-07-02T06:00:00", "30 day", "the record does not hold 2 Jul 2021, with which the replay begins"),
    ],
)
def test_a_replay_that_outlasts_its_record_is_warned_of(beside, starts, horizon, said):
    text = f'starts = {starts}\nhorizon = "{horizon}"\n' + scenario('use = "replay"')
    found = [
        str(one)
        for one in find_warnings(parse_scenario(text, folder=beside(hours(24 * 40))))
        if one.key == "weather.records.year"
    ]
    assert len(found) == (said is not None)
    assert said is None or said in found[0]


def test_reading_twice_costs_once(beside):
    folder = beside(hours())
    read_weather.cache_clear()
    for _ in range(3):
        parse_scenario(scenario(), folder=folder)
    assert read_weather.cache_info().misses == 1


@pytest.mark.parametrize(
    ("tables", "said"),
    [
        ('model = "three-state"', "weather.states: is missing; write [weather.states], which the model three-state goes by"),
        ('model = "climate"', "weather.climate: is missing; "),
        ('model = "records"', "weather.records: is missing; "),
        ("[weather.climate]\nwet_hours = 40\nwet_days = 8", "weather.climate: is given by wet_days, wet_hours; "),
        ('[weather.rain]\nunit = "mm"', "weather.rain: is given by nothing; write mean or month"),
        ('[weather.rain]\nunit = "mph"\nmean = 1', 'weather.rain.unit: "mph" is no unit of rain; write "mm", "inch" or another'),
        ('[weather.wind]\nunit = "mph"\ndry = 10', "weather.wind: is given by dry; write mean, or dry and wet"),
        ('[weather.temperature]\nunit = "degC"\nlow = 9\nhigh = 5', "weather.temperature.high: 5 is below 9, the low; "),
        (
            '[weather.humidity]\nunit = "%"\ndry = [1, 2]',
            "weather.humidity.dry: has 2 numbers; write one number, or a list of twelve",
        ),
        ("[weather.climate]\nwet_hours = 700", "weather.climate.wet_hours: 700 is out of range; write 0.1 to 670"),
        (
            '[weather.climate]\nwet_hours = 70\nwet_spell = "30 min"',
            "weather.climate.wet_spell: holds a spell of an hour or less; ",
        ),
    ],
)
def test_figures_of_the_weather_that_do_not_go_together_are_refused(tables, said):
    assert line(sound(f"[weather]\n{tables}")).startswith(said)


WARM = (
    'columns = { time = "time", rain = { column = "rain", unit = "mm" }, '
    'temperature_low = { column = "low", unit = "degC" }, temperature_high = { column = "high", unit = "degC" } }'
)


def days_with_ends(ends):
    rows = "".join(f"{np.datetime64('2021-01-01') + day},{day % 3},{low},{high}\n" for day, (low, high) in enumerate(ends))
    return "time,rain,low,high\n" + rows


def test_a_lowest_temperature_above_the_highest_is_told_and_taken_as_missing(beside):
    ends = [(4.0, 12.0)] * 100
    ends[10] = (50.0, 12.0)
    found = record(days_with_ends(ends), beside, 'fill = "24 h"', WARM)
    said = "line 12: temperature_low, 50.0 °C, is above temperature_high, 12.0 °C; both taken as missing"
    assert [str(one).startswith(said) for one in found.findings] == [True]
    assert (found.values["temperature_low"][10], found.filled["temperature_low"]) == (4.0, 1)


def test_lows_and_highs_that_are_named_the_wrong_way_round_are_refused(beside):
    said = line(scenario(columns=WARM), beside(days_with_ends([(12.0, 4.0)] * 100)))
    assert "temperature_low is above temperature_high on most days; name the two columns the other way round" in said


def test_a_varied_scenario_reads_no_record_anew_though_only_what_is_used_of_it_is_kept(beside):
    text = hours().replace("\n", ",x\n").replace("wind,x", "wind,unused")
    first = parse_scenario(scenario(), folder=beside(text))
    done = read_weather.cache_info().misses
    (kept,) = first.source.data.values()
    assert "x" not in kept and "unused" not in kept
    for count in ("3", "4"):
        varied = vary(first, [Change("forklifts.count", count)])
        assert varied.weather.records.record is first.weather.records.record
        assert varied.source.data == first.source.data
    assert read_weather.cache_info().misses == done


def test_whoever_waits_for_a_long_record_is_told_how_far_it_is_read_and_of_a_short_one_nothing(beside):
    told: list[tuple[int, int, str]] = []
    long = 24 * 900
    for count in (24 * 40, long):
        folder = beside(hours(count))
        assert not told
        parse_scenario(scenario(), folder=folder, progress=lambda *said: told.append(said))
    lines_told = [done for done, _, _ in told]
    assert lines_told == sorted(lines_told)
    assert (lines_told[0] <= 1_000) and (lines_told[-1] >= long - 1_000)
    assert {(total, what) for _, total, what in told} <= {(long, "lines of weather"), (long + 1, "lines of weather")}
