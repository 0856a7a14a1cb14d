"""`keystrip compare` as a commander meets it."""

import csv
import json

import pytest
from scenarios import SHORT

from simulation.present.own_files import RECORD
from simulation.session import session


@pytest.fixture(autouse=True)
def fields(tmp_path):
    (tmp_path / "short.toml").write_text(SHORT, encoding="utf-8")
    (tmp_path / "long.toml").write_text(SHORT.replace('"40 ft"', '"60 ft"').replace("on_hand = 12", "on_hand = 20"))


@pytest.mark.usefixtures("painted")
def test_plans_stand_side_by_side_in_80_columns_and_leave_a_report(keystrip, tmp_path):
    words = ("short.toml", "--vary", "crew.red.people=12,24", "--deadline", "1 day", "--runs", 40, "--workers", 1)
    code, out, err = keystrip("compare", *words)
    assert code == 0
    assert max(map(len, out.splitlines())) <= 80
    assert "…" not in out
    assert len(out.splitlines()) <= 45
    assert "Plan 3 (people=24) is ready first: 80 % date " in out
    assert "Plans side by side, best P80 first" in out
    assert "All tables: --full, or reports/short/compare_people.txt" in " ".join(out.split())
    assert "sampling error only" in " ".join(out.split())
    assert "to do: 120 runs" in err
    kept = {file.name for file in (tmp_path / "reports" / "short").iterdir()}
    assert kept == {
        "runs.sqlite", RECORD, *(f"compare_people.{end}" for end in ("json", "txt", "csv", "png")),
        "compare_people_people.png",
    }  # fmt: skip
    whole = (tmp_path / "reports" / "short" / "compare_people.txt").read_text()
    assert all(f"All plans: {title}" in whole for title in ("days until ready", "people and effort", "ready by the deadline"))
    with (tmp_path / "reports" / "short" / "compare_people.csv").open() as file:
        rows = list(csv.DictReader(file))
    assert [row["verdict"] for row in rows] == ["the reference", "later", "earlier"]
    assert float(rows[2]["p80_change_interval_days_high"]) < 0


def test_json_is_all_that_stands_on_standard_output(keystrip):
    code, out, _ = keystrip("compare", "short.toml", "--crews", "1x12,2x8", "--runs", 20, "--workers", 1, "--json")
    found = json.loads(out)["answer"]
    assert code == 0
    assert [plan["name"] for plan in found["plans"]] == ["as written", "1x12", "2x8"]
    none = {"days": 0.0, "interval_days": [0.0, 0.0], "measurable": False, "withheld": False}
    assert found["plans"][0]["p80_change"] == none


def test_several_scenarios_are_compared_as_they_are_written(keystrip):
    code, out, _ = keystrip("compare", "short.toml", "long.toml", "--runs", 20, "--workers", 1)
    assert code == 0
    assert "2 long" in out
    assert "No plan is measurably earlier than plan 1 (short)" in out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["short.toml"], "nothing is varied"),
        (["short.toml", "--vary", "forklifts.count=3"], "every value is the scenario's own"),
        (["short.toml", "--vary", "forklifts.count=2", "--vary", "forklifts.count=4"], "varied twice"),
        (["short.toml", "--vary", "forklifts.count=2,2"], "given twice"),
        (["short.toml", "--vary", "laying.place=x0"], "multiply by more than 0"),
        (["short.toml", "--vary", "crew.rad.people=20"], "did you mean red?"),
        (["short.toml", "--vary", "crew.red.people=20", "--crews", "1x20"], "leave one of them out"),
        (
            ["short.toml", "--vary", f"crew.red.people={','.join(map(str, range(10, 211)))}"],
            "201 plans, 80,400 runs, are too many",
        ),
        (["short.toml", "--crews", "1x20", "--deadline", "soon"], "neither a duration nor a date"),
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
    code, out, err = keystrip("compare", *words)
    assert (code, out) == (2, "")
    assert said in err
    assert len(err.strip().splitlines()) == 1


def test_equal_headcount_is_one_option_and_help_says_so(keystrip):
    words = ("--crews", "1x24,2x12", "--vary", "area.strip.start=one-end,centre-out")
    code, out, _ = keystrip("compare", "short.toml", *words, "--runs", 20, "--workers", 1, "--json")
    assert code == 0
    found = json.loads(out)["answer"]["plans"]
    assert [plan["name"] for plan in found[1:]] == [
        "1x24, start=one-end",
        "1x24, start=centre-out",
        "2x12, start=one-end",
        "2x12, start=centre-out",
    ]
    assert len({plan["people_on_site"] for plan in found[1:]}) == 1
    code, out, _ = keystrip("compare", "--help")
    assert code == 0
    assert "equal headcount" in " ".join(out.split())


def test_one_at_a_time_and_another_reference(keystrip):
    words = ("--one-at-a-time", "--vary", "crew.red.people=10,30", "--vary", "forklifts.count=5", "--reference", 2)
    code, out, _ = keystrip("compare", "short.toml", *words, "--runs", 20, "--workers", 1, "--json")
    found = json.loads(out)["answer"]
    assert code == 0
    assert [plan["name"] for plan in found["plans"]] == ["as written", "people=10", "people=30", "forklifts.count=5"]
    assert found["reference"] == 2
    assert [plan["verdict"] for plan in found["plans"]][1] == "the reference"


def test_the_same_command_again_does_no_run(keystrip):
    words = ("short.toml", "--crews", "1x20", "--runs", 20, "--workers", 1)
    _, first, said = keystrip("compare", *words)
    assert "40 runs" in said
    _, again, said = keystrip("compare", *words)
    assert again == first
    assert "to do" not in said


def test_runs_are_shared_with_the_forecast_of_the_scenario(keystrip):
    few = ("--runs", 20, "--workers", 1)
    keystrip("forecast", "short.toml", *few)
    assert "to do: 20 runs" in keystrip("compare", "short.toml", "--crews", "1x20", *few)[2]


def test_a_stop_prints_what_is_known_and_says_how_to_go_on(keystrip, tmp_path, monkeypatch):
    from contextlib import contextmanager

    @contextmanager
    def impatient(*_, **__):
        def advance(done, expected):
            if done > 250:
                raise KeyboardInterrupt

        yield advance

    words = ("short.toml", "--crews", "1x20", "--runs", 200, "--workers", 1)
    with monkeypatch.context() as patched:
        patched.setattr(session, "progress", impatient)
        code, out, err = keystrip("compare", *words)
    assert code == 3
    assert "Stopped early: 1" in out
    assert "the same command goes on from there" in err
    code, out, err = keystrip("compare", *words)
    assert code == 0
    assert "Stopped early" not in out


def test_each_question_keeps_its_own_files(keystrip, tmp_path):
    for words in (["--vary", "forklifts.count=1"], ["--crews", "1x20"], ["--vary", "forklifts.count=4"]):
        keystrip("compare", "short.toml", *words, "--runs", 20, "--workers", 1)
    kept = tmp_path / "reports" / "short"
    assert {file.stem for file in kept.glob("compare*")} == {
        "compare_forklifts-count", "compare_forklifts-count_people", "compare_crews", "compare_crews_people",
    }  # fmt: skip
    plans = json.loads((kept / "compare_forklifts-count.json").read_text())["answer"]["plans"]
    assert [plan["name"] for plan in plans] == ["as written", "forklifts.count=4"]


@pytest.mark.parametrize(
    ("files", "said"),
    [
        (["short.toml"] * 2, "compare: short.toml is given twice; give each file once"),
        ([f"{number}.toml" for number in range(300)], "compare: 300 files are too many to compare; name 200 or fewer"),
    ],
)
def test_files_that_are_too_many_or_the_same_are_refused_before_they_are_read(keystrip, files, said):
    assert keystrip("compare", *files) == (2, "", f"keystrip: {said}\n")
