"""`keystrip weather`, as a person uses it."""

import json

import numpy as np
import pytest
from short_strip import LEAST

from simulation.scenario import parse_scenario

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
    return tmp_path


def test_it_prints_what_was_found_and_leaves_a_picture_and_a_block_that_loads(keystrip, folder):
    code, out, err = keystrip(*ASKED)
    assert (code, err) == (0, "keystrip: report in reports/station: weather.svg, weather.png, weather.toml, weather.json\n")
    assert 'line 42    wind holds "99", not within 0 to 100 mph; taken as missing, filled' in out
    assert "line 100   after it 3 hours have no value of rain, wind; filled in" in out
    for figure in ("wet days", "sd of wet hours a week", "dry weeks", "correlation from one hour to the next"):
        assert figure in out
    assert "In-sample: the record's 200 days are fitted and compared" in out
    fitted = {line.split()[0]: line for line in out.splitlines() if line[:3] in ("Jan", "Mar", "Dec") and " h " in line}
    assert [name for name, line in fitted.items() if line.rstrip().endswith(" *")] == ["Jan", "Dec"]
    assert "* The record has nothing of this month." in out
    assert "Gusts, temperature, humidity: planning values, the record has none." in out
    block = out[out.index("[weather]") :]
    left = folder / "reports" / "station"
    assert block.strip() == (left / "weather.toml").read_text().strip()
    assert parse_scenario(FIELD + block).weather.model == "three-state"
    assert {file.name for file in left.iterdir()} == {"weather.svg", "weather.png", "weather.toml", "weather.json"}


def test_json_is_all_that_stands_on_standard_output_and_equals_the_file(keystrip, folder):
    code, out, _ = keystrip(*ASKED, "--json", "--out", "here")
    record = json.loads(out)
    assert code == 0 and record == json.loads((folder / "here" / "weather.json").read_text())
    assert record["in_sample"] is True and record["filled"] == {"rain": 3, "wind": 4}
    assert len(record["measures"]) == 5 and {one["line"] for one in record["findings"]} == {42, 100}
    assert parse_scenario(FIELD + record["scenario"]).weather.states is not None


@pytest.mark.parametrize(
    ("words", "line"),
    [
        ((), "keystrip: --columns: is missing, and the file has time,rain,wind; write --columns time="),
        (("--columns", "time=time"), "station.csv: columns.rain: the column of rain is not named; "),
        (("--columns", "time=time,rain"), "keystrip: --columns: 'rain' is not NAME=VALUE; "),
        (("--columns", "time=time,rain=rain:mph"), 'station.csv: columns.rain: "mph" is no unit of this kind; '),
        (("--columns", "time=time,rain=rain:mm", "--by", "week"), 'station.csv: by: "week" is not one of the choices; '),
        (("--columns", "time=time,rain=rain:mm", "--fill", "6"), 'station.csv: fill: "6" has no unit; '),
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
