"""`keystrip conditions` as an analyst meets it: what is printed where, which files are left, and with which code it ends."""

import json

import pytest
from scenarios import SHORT


@pytest.fixture(autouse=True)
def fields(tmp_path):
    (tmp_path / "short.toml").write_text(SHORT + '\n[shifts.all]\nhours = ["06:00-18:00"]\n', encoding="utf-8")


@pytest.mark.usefixtures("painted")
def test_losses_stand_in_80_columns_and_leave_a_record_and_a_picture(keystrip, tmp_path):
    code, out, err = keystrip("conditions", "short.toml", "--seasons", 20, "--months", 2)
    assert (code, max(map(len, out.splitlines())) <= 80) == (0, True)
    assert "laying" in out
    assert "rain" in out
    assert "Where the weather comes from" not in out
    assert len(out.splitlines()) <= 45
    assert out[out.rindex("\n\n") :].strip().startswith("Weather takes ")
    assert "Where the weather comes from" in keystrip("conditions", "short.toml", "--seasons", 20, "--full")[1]
    kept = tmp_path / "reports" / "short"
    assert {file.name for file in kept.glob("conditions*")} == {f"conditions.{ending}" for ending in ("json", "txt", "png")}
    assert "conditions.json" in err


def test_json_is_all_that_stands_on_standard_output_and_hours_add_up(keystrip):
    code, out, _ = keystrip("conditions", "short.toml", "--seasons", 20, "--months", 1, "--json")
    found = json.loads(out)["answer"]
    assert code == 0
    assert found["seasons"] == 20
    for work in found["works"]:
        hours = work["at_work_hours"]["mean"] + sum(lost["mean"] for lost in work["lost_hours"].values())
        assert hours == pytest.approx(found["hours"], abs=1e-6)


def test_a_replayed_record_of_days_stands_in_80_columns_beside_its_own_rain_days(keystrip, tmp_path):
    days = "".join(f"2021-{month:02d}-{day:02d},{9 if day % 4 else 0}\n" for month in range(1, 13) for day in range(1, 29))
    (tmp_path / "days.csv").write_text("date,rain\n" + days, encoding="utf-8")
    table = """model = "records"
[weather.records]
file = "days.csv"
use = "replay"
fill = "72 h"
columns = { time = "date", rain = { column = "rain", unit = "mm" } }
"""
    (tmp_path / "days.toml").write_text(SHORT.partition("[weather]")[0] + "[weather]\n" + table, encoding="utf-8")
    code, out, err = keystrip("conditions", "days.toml", "--seasons", 20, "--full")
    assert (code, max(map(len, out.splitlines())) <= 80) == (0, True), err
    header = next(line for line in out.splitlines() if line.startswith("month") and "shift h" in line)
    assert header.split()[-4:] == ["rain", "days", "on", "record"]
    assert "the year 2021 as it was; which hours of a day, by the fitted chain" in " ".join(out.split())
    late = (tmp_path / "days.toml").read_text().replace("2031-04-02", "2031-12-20")
    (tmp_path / "late.toml").write_text(late, encoding="utf-8")
    _, out, err = keystrip("conditions", "late.toml", "--seasons", 20, "--full")
    assert "the year 2021 as it was, other days of it where it has none;" in " ".join(out.split()), err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["nowhere.toml"], "nowhere.toml"),
        (["short.toml", "--work", "flying"], "--work"),
        (["short.toml", "--seasons", "0"], "--seasons"),
    ],
)
def test_a_mistake_is_one_line_and_code_2(keystrip, words, said):
    code, out, err = keystrip("conditions", *words)
    assert (code, out) == (2, "")
    assert len(err.strip().splitlines()) == 1
    assert said in err
