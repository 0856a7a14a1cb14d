"""CSV files of any country: the same numbers however they are written, to the bit, and what was found is said."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scenarios import line, lines, sound

from simulation.construction import find_warnings
from simulation.scenario import ScenarioError, parse_scenario
from simulation.scenario.types.texts.csv_form import FormError, decimal_of, separator_of, word_of
from simulation.scenario.weather_record.weather_names import meaning_of
from simulation.scenario.weather_record.weather_records import name_record

FIGURES = st.lists(st.tuples(st.integers(0, 999), st.floats(0, 100, allow_nan=False)), min_size=2, max_size=30)


@given(FIGURES, st.sampled_from([(",", "."), (";", ","), (";", "."), ("\t", ","), ("|", "."), (",", ",")]))
def test_separator_and_decimal_sign_are_found(figures, form):
    separator, decimal = form
    cells = [f"{value:.3f}".replace(".", decimal) for _, value in figures]
    quoted = [f'"{cell}"' if separator == decimal else cell for cell in cells]
    text = "\n".join(
        [f"a{separator}b", *(f"{number}{separator}{cell}" for (number, _), cell in zip(figures, quoted, strict=True))]
    )
    assert separator_of(text) == separator
    assert decimal_of(cells, separator) == decimal


def test_a_single_column_keeps_its_decimal_commas():
    assert separator_of("minutes\n3,1\n2,4\n") == ";"
    folder_free = decimal_of(["3,1", "2,4"], ";")
    assert folder_free == ","
    with pytest.raises(FormError, match=r"both 3,1 and 2\.4"):
        decimal_of(["3,1", "2.4"], ";")


def test_a_message_quotes_a_word_of_a_cell_at_most():
    assert word_of("root:x:0:0 of the house") == "root:x:0:0 …"
    assert word_of("a" * 90) == "a" * 17 + "... …"


ROWS = [(f"{np.datetime64('2028-01-01T00') + hour}", hour % 7 / 10, 5.5 + hour % 3, hour % 9 - 4.5) for hour in range(24 * 40)]


def station(separator=",", decimal=".", time=lambda iso: iso, head=("time", "rain_mm", "wind_mps", "temp_c")):
    rows = [separator.join(head)]
    for iso, *numbers in ROWS:
        rows.append(separator.join([time(iso), *(f"{one:.1f}".replace(".", decimal) for one in numbers)]))
    return "\n".join(rows) + "\n"


def dotted(iso):
    return f"{iso[8:10]}.{iso[5:7]}.{iso[:4]} {iso[11:13]}:00"


def slashed(iso):
    return f"{iso[5:7]}/{iso[8:10]}/{iso[:4]} {iso[11:13]}:00"


@pytest.fixture
def put(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)

    def write(text, name="station.csv"):
        (tmp_path / name).write_text(text, encoding="utf-8")
        return {"file": name}

    return write


@pytest.mark.parametrize(
    ("form", "said"),
    [
        ({"separator": ";", "decimal": ",", "time": dotted}, "semicolons between cells, decimal comma, dates day first"),
        ({"separator": "\t", "time": slashed}, "tabs between cells, decimal point, dates month first"),
    ],
)
def test_a_record_is_the_same_to_the_bit_however_it_is_written_and_how_is_said(put, form, said):
    plain = name_record(put(station())).record
    other = name_record(put(station(**form), "other.csv")).record
    assert plain.first == other.first
    for name, values in plain.values.items():
        assert np.array_equal(values, other.values[name])
    assert other.read_as[0] == said
    assert plain.read_as == (
        "commas between cells, decimal point, dates year first",
        "columns by their names: time time, rain rain_mm in mm, wind wind_mps in m/s, temperature temp_c in degC",
    )


def test_columns_are_named_in_one_syntax_in_a_scenario_and_on_the_command_line(put, keystrip):
    put(station(head=("t", "p", "w", "x")))
    text = "time=t,rain=p:mm,wind=w:m/s"
    tables = ({"column": "p", "unit": "mm"}, {"column": "w", "unit": "m/s"})
    found = [
        name_record({"file": "station.csv", "columns": columns}).record
        for columns in (text, {"time": "t", "rain": "p:mm", "wind": "w:m/s"}, {"time": "t", "rain": tables[0], "wind": tables[1]})
    ]
    assert found[0] is found[1] is found[2]
    whole = sound(f'[weather]\nmodel = "records"\n[weather.records]\nfile = "station.csv"\ncolumns = "{text}"')
    assert parse_scenario(whole).weather.records.record is found[0]
    assert keystrip("weather", "station.csv", "--columns", text, "--json")[0] == 0


@pytest.mark.parametrize(
    ("name", "meaning"),
    [
        ("time", ("time", None)),
        ("timestamp_utc", ("time", None)),
        ("rain_mm", ("rain", "mm")),
        ("Precipitation (in)", ("rain", "inch")),
        ("wind_speed_10m (km/h)", ("wind", "km/h")),
        ("WindSpeed [m/s]", ("wind", "m/s")),
        ("wind_gusts_10m (km/h)", ("gust", "km/h")),
        ("gust_mps", ("gust", "m/s")),
        ("temperature_2m (°C)", ("temperature", "degC")),
        ("temp_f", ("temperature", "degF")),
        ("temp_min_c", ("temperature_low", "degC")),
        ("tmax_c", ("temperature_high", "degC")),
        ("rh_pct", ("humidity", "%")),
        ("Relative humidity (%)", ("humidity", "%")),
        ("RH", ("humidity", "%")),
        ("temp", ("temperature", None)),
        ("wind_dir_deg", None),
        ("dew_point_temp_c", None),
        ("rain_mm_inch", None),
        ("snow_mm", None),
        ("pressure_hpa", None),
    ],
)
def test_a_name_says_what_a_column_holds_only_without_doubt(name, meaning):
    assert meaning_of(name) == meaning


@pytest.mark.parametrize(
    ("head", "said"),
    [
        (("time", "regn", "wind_mps", "temp_c"), "no column is plainly that of rain; name them as in time="),
        (
            ("time", "rain", "wind_mps", "temp_c"),
            "in which unit rain is, its name does not tell; write columns time=time,rain=rain:mm or",
        ),
        (("time", "rain_mm", "rain_in", "temp_c"), "several columns could be the rain: rain_mm, rain_in; "),
        (("when", "rain_mm", "wind_mps", "temp_c"), "no column is plainly that of time; "),
    ],
)
def test_what_no_name_tells_is_asked_for(put, head, said):
    with pytest.raises(ScenarioError) as refused:
        name_record(put(station(head=head)))
    assert f"columns: {said}" in str(refused.value)


def test_a_column_whose_name_does_not_tell_its_unit_is_named_as_not_used(put):
    found = name_record(put(station(head=("time", "rain_mm", "wind", "temp_c")))).record
    assert "wind" not in found.values
    assert found.read_as[-1] == "not used, since their names do not say all: wind"


def test_dates_that_stay_ambiguous_are_refused_and_the_key_decides(put):
    rows = "\n".join(f"{month:02}/{day:02}/2028,{day % 2}" for month in range(1, 13) for day in range(1, 13))
    put(f"date,rain_mm\n{rows}\n")
    with pytest.raises(ScenarioError) as refused:
        name_record({"file": "station.csv"})
    assert "no date has a day above 12" in str(refused.value)
    assert 'write date_order = "day first" or "month first"' in str(refused.value)
    found = name_record({"file": "station.csv", "date_order": "month first", "fill": "24 h"}).record
    assert (found.first.isoformat(), found.read_as[0].endswith("dates month first")) == ("2028-01-01T00:00:00", True)


RECORDS = '[weather]\nmodel = "records"\n[weather.records]\nfile = "station.csv"\n'


def test_times_that_tell_their_zone_are_made_local_by_the_site(put, tmp_path):
    put(station(time=lambda iso: f"{iso}:00Z"))
    site = '[site]\nlatitude = 50\nlongitude = 4\nutc_offset = "2 h"\n'
    found = parse_scenario(sound(RECORDS + site), folder=tmp_path).weather.records.record
    assert found.first.isoformat() == "2028-01-01T02:00:00"
    assert "times tell their zone: local time is UTC +2 h (utc_offset of the site)" in found.read_as
    said = line(sound(RECORDS), tmp_path)
    assert said.startswith(
        "weather.records.time_offset: the times tell their zone, and what local time is ahead of UTC is not told; "
    )
    own = parse_scenario(sound(f'{RECORDS}time_offset = "-3 h"\n{site}'), folder=tmp_path).weather.records.record
    assert own.first.isoformat() == "2027-12-31T21:00:00"
    for text, told in ((f'time_offset = "-3 h"\n{site}', True), (f'time_offset = "2 h"\n{site}', False), (site, False)):
        found = find_warnings(parse_scenario(sound(RECORDS + text), folder=tmp_path))
        assert ("weather.records.time_offset" in [one.key for one in found]) == told


def test_separator_and_decimal_sign_can_be_told_where_they_cannot_be_found(tmp_path):
    (tmp_path / "records.csv").write_text("job;minutes\na;3,1\nb;2.4\n")
    place = '[laying]\nplace = { data = "records.csv", column = "minutes", unit = "min"'
    assert lines(sound(place + " }"), tmp_path) == [
        'laying.place.decimal: holds both 3,1 and 2.4, so the decimal sign is not clear; write decimal = "." or decimal = ","'
    ]
    assert lines(sound(place + ', decimal = "," }'), tmp_path) == [
        'laying.place.data: line 3 holds "2.4"; write numbers of 0 or more, without units'
    ]
    assert lines(sound(place + ', separator = "-" }'), tmp_path)[0].startswith('laying.place.separator: "-" is not one of them; ')
    (tmp_path / "records.csv").write_text("job;minutes\na;3,1\nb;2,4\n")
    level = parse_scenario(sound(place + " }"), folder=tmp_path).laying.place.level
    assert level.values == pytest.approx((0.04, 3.1 / 60))
    assert level.form == "semicolons between cells, decimal comma"
    (tmp_path / "records.csv").write_text("job,minutes\na,3.1\nb,2.4\n")
    assert parse_scenario(sound(place + " }"), folder=tmp_path).laying.place.level == level


def test_a_file_that_is_far_too_large_is_refused_before_it_is_read(tmp_path, monkeypatch):
    monkeypatch.setattr("simulation.scenario.types.texts.source.DATA", 1 << 20)
    (tmp_path / "records.csv").write_text("minutes\n" + "3\n" * (1 << 19))
    said = line(sound('[laying]\nplace = { data = "records.csv", unit = "min" }'), tmp_path)
    assert said.startswith('laying.place.data: "records.csv": is larger than 1 mb; ')


def test_the_command_reads_the_record_that_a_scenario_names(put, keystrip, tmp_path):
    put(station(";", ",", dotted))
    (tmp_path / "field.toml").write_text(sound(RECORDS))
    code, out, err = keystrip("weather", "field.toml", "--json")
    assert code == 0, err
    assert keystrip("weather", "station.csv", "--json")[1] == out
    code, _, err = keystrip("weather", "field.toml", "--wet", 1)
    assert (code, err.startswith("keystrip: --wet: field.toml says how its record is read; ")) == (2, True)


def test_a_file_that_is_no_record_is_not_read_out_by_its_messages(put):
    secret = "\n".join(["root:x:0:0:The owner of all:/root:/bin/sh and more of this long first line"] * 9)
    for keys in ({}, {"columns": "time=time,rain=rain:mm"}, {"columns": f"time={secret.splitlines()[0][:20]},rain=rain:mm"}):
        with pytest.raises(ScenarioError) as refused:
            name_record({**put(secret), **keys})
        assert "owner of all:/root" not in str(refused.value)
    named = station(head=("time", "rain_mm", "wind_mps", "temp_c")).replace("0.3,", "a pass phrase of many words,", 1)
    found = name_record(put(named)).record.findings
    assert ['"a …"' in str(one) and "phrase" not in str(one) for one in found] == [True]


def test_date_and_hour_may_stand_in_columns_of_their_own(put):
    plain = name_record(put(station())).record
    text = station(";", ",", lambda iso: dotted(iso).replace(" ", ";"), ("Date", "Time", "rain_mm", "wind_mps", "temp_c"))
    for keys in ({}, {"columns": "time=Date+Time,rain=rain_mm,wind=wind_mps,temperature=temp_c"}):
        found = name_record({**put(text, "two.csv"), **keys}).record
        assert found.first == plain.first
        assert all(np.array_equal(found.values[name], values) for name, values in plain.values.items())


def test_an_order_of_dates_that_the_file_does_not_have_is_refused(put):
    put(station(";", ",", dotted))
    with pytest.raises(ScenarioError) as refused:
        name_record({"file": "station.csv", "date_order": "month first"})
    assert "dates are not in the calendar, read month first; write another order, or leave it out" in str(refused.value)
