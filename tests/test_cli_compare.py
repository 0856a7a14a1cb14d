"""`keystrip compare` as a commander meets it."""

import csv
import json
import sys

import pytest

from simulation import cli

SHORT = """
title = "Short strip"
seed = 11
[[area]]
name = "strip"
length = "40 ft"
width = "72 ft"
[[crew]]
name = "red"
people = 16
areas = ["strip"]
[supply]
on_hand = 12
[site]
latitude = 31.0
longitude = -30.0
utc_offset = "-2 h"
[weather]
wet_spell = "3 h"
dry_spell = "2 day"
"""


@pytest.fixture
def keystrip(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "80")
    (tmp_path / "short.toml").write_text(SHORT, encoding="utf-8")
    (tmp_path / "long.toml").write_text(SHORT.replace('"40 ft"', '"60 ft"').replace("on_hand = 12", "on_hand = 20"))

    def run(*words):
        monkeypatch.setattr(sys, "argv", ["keystrip", "compare", *map(str, words)])
        with pytest.raises(SystemExit) as ended:
            cli.main()
        return ended.value.code, *capsys.readouterr()

    return run


def test_plans_stand_side_by_side_in_80_columns_and_leave_a_report(keystrip, tmp_path):
    words = ("short.toml", "--vary", "crew.red.people=12,24", "--deadline", "1 day", "--replications", 40, "--workers", 1)
    code, out, err = keystrip(*words)
    assert code == 0
    assert max(map(len, out.splitlines())) <= 80
    assert "…" not in out
    assert "Earliest at P80: plan 3 (people=24)" in out
    assert all(title in out for title in ("Days until ready", "People and effort", "Ready by the deadline"))
    assert "sampling error only" in " ".join(out.split())
    assert "3 plans: 120 builds" in err
    kept = {file.name for file in (tmp_path / "reports" / "short").iterdir()}
    assert kept == {"builds.sqlite", "compare.json", "compare.csv", "compare.svg", "compare.png"}
    with (tmp_path / "reports" / "short" / "compare.csv").open() as file:
        rows = list(csv.DictReader(file))
    assert [row["verdict"] for row in rows] == ["the reference", "later", "earlier"]
    assert float(rows[2]["p80_change_days_high"]) < 0


def test_json_is_all_that_stands_on_standard_output(keystrip):
    code, out, _ = keystrip("short.toml", "--crews", "1x12,2x8", "--replications", 20, "--workers", 1, "--json")
    found = json.loads(out)
    assert code == 0
    assert [plan["name"] for plan in found["plans"]] == ["as written", "1x12", "2x8"]
    assert found["plans"][0]["p80_change_days"] == {"value": 0.0, "interval": [0.0, 0.0]}


def test_several_scenarios_are_compared_as_they_are_written(keystrip):
    code, out, _ = keystrip("short.toml", "long.toml", "--replications", 20, "--workers", 1)
    assert code == 0
    assert "2 long" in out
    assert "later" in out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["short.toml"], "nothing is varied"),
        (["short.toml", "--vary", "forklifts.cuont=2"], "did you mean count?"),
        (["short.toml", "--vary", "laying.place=2 ft"], "is not a duration"),
        (["short.toml", "--vary", "forklifts.count="], "write KEY="),
        (["short.toml", "--crews", "2x"], "no team"),
        (["short.toml", "--crews", "1x20", "--reference", "9"], "--reference"),
        (["short.toml", "--crews", "1x20", "--deadline", "2031-04-01"], "deadline"),
        (["short.toml", "long.toml", "--crews", "1x20"], "varies one scenario"),
        (["short.toml", "nowhere.toml"], "nowhere.toml"),
    ],
)
def test_a_mistake_is_one_line_on_standard_error_and_code_2(keystrip, words, said):
    code, out, err = keystrip(*words)
    assert (code, out) == (2, "")
    assert said in err
    assert len(err.strip().splitlines()) == 1
