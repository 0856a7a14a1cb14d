"""`keystrip weather`, as a person uses it."""

import json
import re

import numpy as np
import pytest
from scenarios import LEAST

from simulation.present.own_files import RECORD
from simulation.present.words.wording import MONTHS
from simulation.questions.weather.sentences import weather_lines
from simulation.questions.weather.study import fit_weather
from simulation.scenario import parse_scenario
from simulation.scenario.weather_record.weather_records import name_record

COLUMNS = "time=time,rain=rain:inch,wind=wind:m/s"
FIELD = LEAST


ASKED = ("weather", "station.csv", "--columns", COLUMNS)


@pytest.fixture(scope="module")
def record():
    """An hourly record with a wind that cannot be and three lines left out."""
    luck = np.random.default_rng(5)
    rows = ["time,rain,wind"]
    wet = False
    for hour in range(24 * 200):
        wet = luck.random() < (0.7 if wet else 0.04)
        wind = "99" if hour == 40 else f"{luck.weibull(2.2) * 5:.1f}"
        rows.append(f"{np.datetime64('2021-03-01T00') + hour}:00,{luck.exponential(0.05) + 0.01 if wet else 0:.2f},{wind}")
    del rows[100:103]
    return "\n".join(rows) + "\n"


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch, keystrip, record):
    (tmp_path / "station.csv").write_text(record)
    monkeypatch.setenv("COLUMNS", "100")
    monkeypatch.setattr("simulation.questions.weather.study.DRAWN", 0)  # held to twenty drawn records instead of 180
    return tmp_path


@pytest.fixture
def two_months(folder, record):
    """The first sixty days of the record: enough where it is about words."""
    (folder / "station.csv").write_text("\n".join(record.splitlines()[: 24 * 60]) + "\n")


def test_it_prints_what_was_found_and_leaves_a_picture_and_a_block_that_loads(keystrip, folder):
    code, out, err = keystrip(*ASKED, "--full")
    made = ["weather.json", "weather.txt", "weather.toml", "weather.png"]
    assert (code, err) == (0, f"keystrip: report in reports/station: {', '.join(made)}\n")
    assert 'line 42    wind holds "99", not within 0 to 100 mph; taken as missing, filled' in out
    assert "line 100   after it 3 hours have no value of rain, wind; filled in" in out
    for figure in ("wet days", "sd of wet hours a week", "dry weeks", "correlation from one hour to the next"):
        assert figure in out
    assert "In-sample: the record's 200 days are fitted and compared" in out
    marked = [line[:5].rstrip() for line in out.splitlines() if line[:3] in MONTHS]
    assert marked == 2 * [*(f"{month} *" for month in MONTHS[:2]), *MONTHS[2:9], *(f"{month} *" for month in MONTHS[9:])]
    assert out.count("* no record of this month: its figures are those of other months or planning values.") == 2
    assert "Gusts, temperature, humidity: planning values, columns names none of them." in out
    block = block_of(out)
    left = folder / "reports" / "station"
    assert block.strip() == (left / "weather.toml").read_text().strip()
    assert parse_scenario(FIELD + block).weather.model == "three-state"
    assert {file.name for file in left.iterdir()} == {*made, RECORD}


def block_of(out):
    return out[out.index("[weather]") : re.search(r"\n+\d+ % of the days are wet", out).start()]


def test_the_short_form_has_room_on_one_screen_and_says_where_the_block_is(keystrip, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    code, out, _ = keystrip(*ASKED)
    assert code == 0 and len(out.splitlines()) <= 45
    assert "[weather.states]" not in out and "The block to paste into a scenario is in weather.toml" in " ".join(out.split())
    assert out[out.rindex("\n\n") :].strip().startswith("The fitted model ")


@pytest.mark.usefixtures("two_months")
def test_wind_is_told_in_the_units_that_are_asked_for(keystrip, folder, two_months):
    feet, metric = (keystrip(*ASKED, "--full", "--units", units)[1] for units in ("feet", "metric"))
    assert "wind, mph" in feet
    assert "wind, m/s" in metric
    assert block_of(feet) == block_of(metric)


def test_json_is_all_that_stands_on_standard_output_and_equals_the_file(keystrip, folder):
    code, out, _ = keystrip(*ASKED, "--json", "--out", "here")
    record = json.loads(out)
    assert code == 0 and record == json.loads((folder / "here" / "weather.json").read_text())
    record = record["answer"]
    assert record["months_without_record"] == ["Jan", "Feb", "Oct", "Nov", "Dec"]
    assert record["in_sample"] is True and record["filled"] == {"rain": 3, "wind": 4}
    assert len(record["measures"]) == 5 and {one["line"] for one in record["findings"]} == {42, 100}
    assert parse_scenario(FIELD + record["block"]).weather.states is not None


@pytest.mark.parametrize(
    ("words", "line"),
    [
        ((), "station.csv: --columns: in which unit rain is, its name does not tell; write columns time=time,rain=rain:mm or "),
        (("--columns", "time=time"), "station.csv: --columns rain: the column of rain is not named; "),
        (("--columns", "time=time,rain"), 'station.csv: --columns: "rain" is not WHAT=COLUMN:UNIT; '),
        (("--columns", "time=time,rain=rain:mph"), 'station.csv: --columns rain: "mph" is no unit of this kind; '),
        (("--columns", "time=time,rain=rain:mm", "--by", "week"), 'station.csv: --by: "week" is not one of the choices; '),
        (("--columns", "time=time,rain=rain:mm", "--fill", "6"), 'station.csv: --fill: "6" has no unit; '),
        (("--columns", "time=time,rain=rain:mm", "--wet", "20"), "station.csv: file: every hour of it is dry; "),
    ],
)
def test_what_is_asked_wrongly_is_one_line_and_exit_code_2(keystrip, words, line):
    code, out, err = keystrip("weather", "station.csv", *words)
    assert (code, out) == (2, "")
    assert err.startswith(line) and err.count("\n") == 1


def test_a_file_that_is_not_there_is_one_line(keystrip):
    code, _, err = keystrip("weather", "nowhere.csv", "--columns", COLUMNS)
    assert code == 2 and err.startswith('nowhere.csv: file: "nowhere.csv": there is no such file; ')


@pytest.fixture
def gap(folder, record):
    """The same record without 200 hours, and more than a dozen hours of it without rain."""
    rows = record.splitlines()
    for row in range(5, 2000, 97):
        moment, _, wind = rows[row].split(",")
        rows[row] = f"{moment},,{wind}"
    del rows[2500:2700]
    (folder / "gap.csv").write_text("\n".join(rows) + "\n")
    return "gap.csv"


@pytest.mark.usefixtures("painted")
def test_the_gap_that_loses_most_stands_first_and_counts_neither_as_dry_nor_as_a_spell(keystrip, folder, gap, monkeypatch):
    from simulation.questions.weather import answer as weather_answer

    drawn = []
    monkeypatch.setattr(weather_answer, "describe_weather", lambda result: drawn.append(result) or "in words")
    code, out, _ = keystrip("weather", gap, "--columns", COLUMNS, "--svg")
    lines = out.splitlines()
    first = lines[lines.index("What to know of the record") + 1]
    assert code == 0 and first.split(maxsplit=2)[2].rstrip() == "after it 200 hours have no value of rain, wind; not filled in"
    rain = drawn[0].record.values["rain"]
    known = rain[: len(rain) // 24 * 24].reshape(-1, 24)
    known = known[~np.isnan(known).any(axis=1)]
    share = (known >= 0.2).any(axis=1).mean()
    assert f"\n{100 * share:.0f} % of the days are wet" in out
    assert drawn[0].recorded.dry_spells.max() < 200
    assert "in words" in (folder / "reports" / "gap" / "weather.svg").read_text()


@pytest.mark.parametrize("days", [120, 370])
def test_resampling_is_named_only_where_the_record_is_long_enough_for_it(folder, days):
    # Ten wet hours in every week: no chain has weeks that are all alike.
    rows = [f"{np.datetime64('2021-03-01T00') + hour},{int(hour % 168 < 20 and hour % 2)}" for hour in range(24 * days)]
    (folder / "odd.csv").write_text("\n".join(["time,rain", *rows]) + "\n")
    columns = {"time": "time", "rain": {"column": "rain", "unit": "mm"}}
    headline = weather_lines(fit_weather(name_record({"file": "odd.csv", "columns": columns})))[0]
    assert headline.startswith(
        "The fitted model does not reproduce how many days are wet, how much the rain varies from week to week"
    )
    assert ('draw from the record itself (use = "resample").' in headline) == (days > 360)
    assert len(headline) <= 260


def test_wet_days_are_days_of_the_calendar_whenever_the_record_begins(folder):
    # Rain from ten in the evening to two in the morning, every other night: it makes two wet days of each wet night.
    rows = [f"{np.datetime64('2021-03-01T20') + hour},{int((hour - 2) % 48 < 4)}" for hour in range(24 * 60)]
    (folder / "nights.csv").write_text("\n".join(["time,rain", *rows]) + "\n")
    columns = {"time": "time", "rain": {"column": "rain", "unit": "mm"}}
    found = fit_weather(name_record({"file": "nights.csv", "columns": columns}))
    assert next(one.record for one in found.measures if one.name == "wet days") == 1.0


def test_how_much_wetter_the_chain_is_than_the_record_is_said_plainly(folder):
    from dataclasses import replace

    rows = [f"{np.datetime64('2021-03-01T00') + hour},{int(hour % 30 < 4)}" for hour in range(24 * 200)]
    (folder / "even.csv").write_text("\n".join(["time,rain", *rows]) + "\n")
    columns = {"time": "time", "rain": {"column": "rain", "unit": "mm"}}
    found = fit_weather(name_record({"file": "even.csv", "columns": columns}))
    recorded, fitted = found.share
    assert recorded == pytest.approx(4 / 30, rel=0.01)
    assert fitted == pytest.approx(recorded, rel=0.01)
    assert f"record {100 * recorded:.2f} %, fitted model {100 * fitted:.2f} %." in weather_lines(found)[1]
    wetter = replace(
        found.fit,
        chain=replace(
            found.fit.chain,
            long_ends=tuple(1.5 * one for one in found.fit.chain.long_ends),
            short_ends=tuple(1.5 * one for one in found.fit.chain.short_ends),
        ),
    )
    assert "% wetter)" in weather_lines(replace(found, fit=wetter))[1]


@pytest.mark.usefixtures("two_months")
def test_a_file_is_told_in_its_own_units_and_the_record_of_a_scenario_in_those_of_the_scenario(keystrip, folder, two_months):
    assert "wind, m/s" in keystrip(*ASKED, "--full")[1]
    assert "wind, mph" in keystrip("weather", "station.csv", "--columns", COLUMNS.replace("m/s", "mph"), "--full")[1]
    assert "wind, mph" in keystrip("weather", "station.csv", "--columns", "time=time,rain=rain:inch", "--full")[1]
    named = f'[weather]\nmodel = "records"\n[weather.records]\nfile = "station.csv"\ncolumns = "{COLUMNS}"\n'
    for units, told in (("metric", "wind, m/s"), ("feet", "wind, mph")):
        (folder / "plan.toml").write_text(f'units = "{units}"\n{FIELD}{named}')
        assert told in keystrip("weather", "plan.toml", "--full")[1]


@pytest.mark.usefixtures("two_months")
def test_what_columns_lack_is_told_by_its_option_and_not_said_of_the_file(keystrip, folder, two_months):
    (folder / "odd.csv").write_text((folder / "station.csv").read_text().replace("time,rain,wind", "time,regn,wind", 1))
    code, _, err = keystrip("weather", "odd.csv")
    assert code == 2 and err.startswith("odd.csv: --columns: no column is plainly that of rain; ")
    code, _, err = keystrip("weather", "station.csv", "--columns", COLUMNS, "--time-offset", "x")
    assert code == 2 and err.startswith("station.csv: --time-offset: ")
    out = keystrip("weather", "station.csv", "--columns", "time=time,rain=rain:inch", "--full")[1]
    assert "Wind, gusts, temperature, humidity: planning values, columns names none of them." in out
    (folder / "plain.csv").write_text((folder / "station.csv").read_text().replace("time,rain,wind", "time,rain_in,ff", 1))
    assert (
        "Wind, gusts, temperature, humidity: planning values, no column is plainly theirs."
        in keystrip("weather", "plain.csv", "--full")[1]
    )
