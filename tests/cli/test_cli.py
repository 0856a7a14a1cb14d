"""The command line as a planner meets it: what is printed where, which files are left, and with which code it ends."""

import io
import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pandas as pd
import pytest
from scenarios import SHORT

from simulation.present.own_files import RECORD

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(autouse=True)
def fields(tmp_path, monkeypatch, keystrip):
    (tmp_path / "short.toml").write_text(SHORT, encoding="utf-8")
    monkeypatch.setenv("COLUMNS", "100")


def in_a_shell(*words, **how):
    env = {**os.environ, "PYTHONPATH": str(ROOT), "COLUMNS": "100"}
    return subprocess.run(
        [sys.executable, "-m", "simulation", *words], capture_output=True, text=True, env=env, check=False, **how
    )


def test_a_forecast_prints_the_answer_and_leaves_a_report(keystrip, tmp_path):
    code, out, err = keystrip("forecast", "short.toml", "--runs", 20, "--workers", 1, "--deadline", "2 day")
    assert code == 0
    assert "Short strip: 20 runs, seed 11" in out
    assert "Four runs in five reach operational readiness by" in " ".join(out.splitlines()[-2:])
    assert "Ready by the deadline 2 day" in out
    assert "sampling error only" in " ".join(out.split())
    assert len(out.splitlines()) <= 45
    assert "technical manual" in out
    assert "report in reports/short" in err
    kept = {file.name for file in (tmp_path / "reports" / "short").iterdir()}
    assert kept == {"runs.sqlite", "forecast.json", "forecast.txt", "runs.csv", "s_curve.png", RECORD}
    assert len(pd.read_csv(tmp_path / "reports" / "short" / "runs.csv")) == 20


def test_json_is_all_that_stands_on_standard_output_and_equals_the_file(keystrip, tmp_path):
    code, out, _ = keystrip("forecast", "short.toml", "--runs", 20, "--workers", 1, "--out", "here", "--json")
    assert code == 0
    assert json.loads(out) == json.loads((tmp_path / "here" / "forecast.json").read_text(encoding="utf-8"))
    found = json.loads(out)["answer"]
    assert (found["runs"], found["seed"], found["unfinished"]) == (20, 11, 0)
    assert sum(cause_of_time["share"] for cause_of_time in found["causes"]) == pytest.approx(1.0, abs=1e-9)
    hours = sum(cause_of_time["hours"] for cause_of_time in found["causes"])
    (ready,) = (one for one in found["milestones"] if one["ready"])
    assert hours == pytest.approx(24 * ready["mean_days"], abs=1e-6)


def test_the_numbers_do_not_depend_on_the_number_of_workers(keystrip):
    def found(*words):
        return json.loads(keystrip("forecast", "short.toml", "--runs", 12, "--json", *words)[1])

    alone, shared, other = (
        found("--workers", 1, "--out", "1"),
        found("--workers", 3, "--out", "3"),
        found("--workers", 1, "--seed", 12),
    )
    assert alone.pop("study")["runs"] == shared.pop("study")["runs"] == 12
    assert alone == shared
    assert other["answer"]["milestones"] != alone["answer"]["milestones"]


def test_one_run_is_forecast_without_a_spread(keystrip):
    code, out, _ = keystrip("forecast", "short.toml", "--runs", 1, "--workers", 1, "--json")
    (ready,) = json.loads(out)["answer"]["milestones"]
    assert code == 0
    assert ready["sd_days"] is None
    assert ready["p80_interval_days"] == ready["p80"]["interval_days"] == [None, None]
    assert ready["p80_days"] == pytest.approx(ready["mean_days"])


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["forecast", "short.toml", "--runs", "0"], "--runs"),
        (["forecast", "short.toml", "--runs", "many"], "--runs"),
        (["forecast", "short.toml", "--workers", "0"], "--workers"),
        (["forecast", "short.toml", "--seed", "-1"], "--seed"),
        (["forecast", "short.toml", "--deadline", "soon"], "deadline"),
        (["forecast", "short.toml", "--deadline", "2031-04-01"], "deadline"),
        (["forecast", "nowhere.toml"], "nowhere.toml"),
        (["forecast", "."], "."),
        (["forecast", "short.toml", "--replicatoins", "9"], "--replicatoins"),
        (["forecat"], "forecat"),
        (["forecast", "short.toml", "--precision", "1"], "precision: "),
        (["forecast", "short.toml", "--confidence", "0.9"], "belongs to --precision"),
        (["forecast", "short.toml", "--of", "p90"], "belongs to --precision"),
        (["forecast", "short.toml", "--precision", "1 h", "--of", "p800"], "of: "),
        (["forecast", "short.toml", "--precision", "1 h", "--runs", "9"], "--runs"),
        (["forecast", "short.toml", "--precision", "1 h", "--sampling", "lhs", "--most", "950"], "write 1000"),
        (["forecast", "short.toml", "--sampling", "sobol"], "--sampling"),
        (["forecast", "short.toml", "--sampling", "lhs", "--runs", "1"], "write 100"),
        (["studies", "nowhere"], "nowhere"),
        (["repeat", "nowhere/3"], "nowhere"),
        (["trace", "short.toml", "--run", "-1"], "--run"),
        (["trace", "short.toml", "--out", "no/such/folder/steps.csv"], "--out"),
        (["takeoff", "short.toml", "more"], "more"),
        (["new"], "FILE"),
        (["new", "no/such/folder/mine.toml"], "mine.toml"),
        (["new", "."], "."),
    ],
)
def test_a_mistake_is_one_line_on_standard_error_and_code_2(keystrip, words, said):
    code, out, err = keystrip(*words)
    assert code == 2
    assert out == ""
    assert said in err
    assert len(err.strip().splitlines()) == 1
    assert "Traceback" not in err


def test_check_says_a_scenario_is_sound(keystrip):
    code, out, _ = keystrip("check", "short.toml")
    assert code == 0
    assert re.fullmatch(r"short.toml: sound; one drawn run, no forecast: ready after \d+\.\d days\n", out)


def test_check_names_every_mistake_on_a_line_with_the_file(keystrip, tmp_path):
    wrong = SHORT.replace('"72 ft"', '"71 ft"').replace("people = 16", "poeple = 16")
    (tmp_path / "wrong.toml").write_text(wrong, encoding="utf-8")
    code, out, err = keystrip("check", "wrong.toml")
    count, *lines = err.strip().splitlines()
    assert (code, out, count) == (2, "", f"{len(lines)} mistakes in wrong.toml:")
    assert len(lines) >= 2
    assert all(line.startswith("wrong.toml: ") for line in lines)
    assert any("did you mean people?" in line for line in lines)
    assert any('"66 ft" (20.12 m) and "72 ft" (21.95 m)' in line for line in lines)


def test_too_few_pallets_are_refused_before_the_first_run_with_the_file(keystrip, tmp_path):
    (tmp_path / "few.toml").write_text(SHORT.replace("on_hand = 12", "on_hand = 3\ntotal = 3"), encoding="utf-8")
    for command in ("check", "forecast"):
        code, out, err = keystrip(command, "few.toml")
        assert (code, out) == (2, "")
        assert any(line.startswith("few.toml: supply.total: 3 pallets come, 7 too few") for line in err.splitlines())


def test_a_take_off_counts_the_rows_of_the_strip(keystrip):
    code, out, _ = keystrip("takeoff", "short.toml", "--json")
    found = json.loads(out)
    assert code == 0
    assert (found["question"], found["scenario"], found["study"]) == ("takeoff", "Short strip", {})
    assert found["answer"]["areas"][0]["rows"] == 20
    assert found["answer"]["areas"][0]["square_feet"] == 2880
    code, out, _ = keystrip("takeoff", "short.toml", "--full")
    assert code == 0
    assert "strip, alone" in out


def test_a_trace_is_a_table_of_steps_from_hour_zero(keystrip, tmp_path):
    code, out, _ = keystrip("trace", "short.toml", "--run", 3)
    steps = pd.read_csv(io.StringIO(out))
    assert code == 0
    assert {"step", "actor", "work", "start", "end", "because"} <= set(steps.columns)
    assert (steps["end"] >= steps["start"]).all()
    code, out, err = keystrip("trace", "short.toml", "--run", 3, "--out", "steps.csv")
    assert (code, out) == (0, "")
    assert f"{len(steps)} steps in steps.csv" in err
    pd.testing.assert_frame_equal(pd.read_csv(tmp_path / "steps.csv"), steps)


def test_a_trace_ends_when_the_forecast_says_that_run_was_ready(keystrip, tmp_path):
    keystrip("forecast", "short.toml", "--runs", 4, "--workers", 1, "--out", "here")
    runs = pd.read_csv(tmp_path / "here" / "runs.csv")
    steps = pd.read_csv(io.StringIO(keystrip("trace", "short.toml", "--run", 3)[1]))
    ready = runs["milestone.operational readiness"][3]
    assert (abs(steps["end"] - ready) < 1e-9).any()


def test_new_writes_a_sound_scenario_and_never_overwrites(keystrip, tmp_path):
    code, _, _ = keystrip("new", "mine.toml")
    assert code == 0
    assert keystrip("check", "mine.toml")[0] == 0
    (tmp_path / "mine.toml").write_text(SHORT, encoding="utf-8")
    code, _, err = keystrip("new", "mine.toml")
    assert code == 2
    assert "not overwritten" in err
    assert (tmp_path / "mine.toml").read_text(encoding="utf-8") == SHORT


def test_the_shipped_scenarios_are_sound_and_found_by_name_from_any_folder(keystrip):
    for words in (
        ["check"],
        ["check", "first_look"],
        ["check", "railed_strip"],
        ["check", "night_and_heat"],
        ["check", "early_opening"],
    ):
        code, out, _ = keystrip(*words)
        assert code == 0
        assert ".toml: sound; one drawn run, no forecast: ready after " in out


def test_a_file_in_the_folder_goes_before_a_shipped_scenario_of_its_name(keystrip, tmp_path):
    (tmp_path / "first_look").write_text(SHORT, encoding="utf-8")
    assert "Short strip" in keystrip("takeoff", "first_look")[1]


def test_a_folder_that_cannot_be_written_is_refused_before_the_first_run(keystrip, tmp_path, monkeypatch):
    monkeypatch.setattr("simulation.replicate.batches.do_batch", None)
    (tmp_path / "taken").write_text("a file, no folder", encoding="utf-8")
    code, out, err = keystrip("forecast", "short.toml", "--runs", 3, "--workers", 1, "--out", "taken")
    assert (code, out) == (2, "")
    assert "taken/runs.sqlite: cannot be used" in err
    assert len(err.strip().splitlines()) == 1


def test_a_report_that_cannot_be_written_is_said_with_the_runs_that_are_kept_and_the_table_still_printed(
    keystrip, tmp_path, monkeypatch
):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("simulation.present.renderers.record.write_whole", full)
    code, out, err = keystrip("forecast", "short.toml", "--runs", 3, "--workers", 1, "--out", "here")
    assert code == 2
    assert "Four runs in five reach" in out
    (said,) = err.splitlines()
    assert "the report cannot be written (No space left on device); make room" in said
    assert said.endswith("; 3 runs are kept in here: run the same again then")
    assert {file.name for file in (tmp_path / "here").iterdir()} == {"runs.sqlite"}


def test_a_run_stopped_early_keeps_what_is_done_and_ends_with_3(keystrip, tmp_path, monkeypatch):
    from simulation.replicate import batches

    whole = batches.do_batch

    def stop_after(runs):
        def do(order, numbers):
            if numbers[0] >= runs:
                raise KeyboardInterrupt
            return whole(order, numbers[:1])

        monkeypatch.setattr(batches, "do_batch", do)
        monkeypatch.setattr(batches, "BATCH_SECONDS", 0.0)

    stop_after(0)
    code, out, err = keystrip("forecast", "short.toml", "--runs", 10, "--workers", 1)
    assert (code, out) == (130, "")
    assert "nothing to report" in err
    stop_after(1)
    code, out, err = keystrip("forecast", "short.toml", "--runs", 10, "--workers", 1)
    assert "stopped early: 1 run is kept in reports/short; the same command goes on from there" in err
    stop_after(7)
    code, out, err = keystrip("forecast", "short.toml", "--runs", 10, "--workers", 1)
    assert code == 3
    assert "1 run of this study is kept in reports/short already" in err
    assert "Stopped early: 7 of 10 runs done." in out
    assert "stopped early: 7 runs are kept in reports/short; the same command goes on from there" in err
    assert len(pd.read_csv(tmp_path / "reports" / "short" / "runs.csv")) == 7
    stop_after(10)
    code, out, err = keystrip("forecast", "short.toml", "--runs", 10, "--workers", 1)
    assert code == 0
    assert "7 runs of this study are kept in reports/short already" in err


def test_help_names_commands_codes_and_cautions():
    done = in_a_shell("--help")
    flat = " ".join(done.stdout.split())
    assert done.returncode == 0
    assert all(command in flat for command in ("forecast", "takeoff", "check", "trace", "new", "studies", "repeat"))
    assert "3 stopped early with results kept" in flat
    assert "technical manual" in flat


def test_the_heavy_libraries_are_not_loaded_for_help():
    code = (
        "import sys, simulation.cli; sys.argv = ['keystrip', '--help']\n"
        "try:\n    simulation.cli.main()\nexcept SystemExit:\n    pass\n"
        "heavy = {'matplotlib', 'pandas', 'scipy', 'numpy', 'pint', 'pydantic', 'simpy'}\n"
        "print(sorted(heavy & set(sys.modules)), file=sys.stderr)"
    )
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=env, check=True)
    assert done.stderr.strip() == "[]"


def test_version_and_no_command_at_all(keystrip):
    code, out, _ = keystrip("--version")
    assert code == 0
    assert out.startswith("keystrip ")
    code, out, _ = keystrip()
    assert code == 0
    assert "forecast" in out


def test_whoever_stops_reading_gets_no_traceback(tmp_path):
    (tmp_path / "short.toml").write_text(SHORT, encoding="utf-8")
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    command = f"{sys.executable} -m simulation trace first_look | head -n 1"
    done = subprocess.run(command, shell=True, capture_output=True, text=True, env=env, cwd=tmp_path, check=False)
    assert done.stdout.count("\n") == 1
    assert done.stderr == ""


def test_a_pipe_gets_no_progress_and_no_colour(tmp_path):
    (tmp_path / "short.toml").write_text(SHORT, encoding="utf-8")
    done = in_a_shell("forecast", "short.toml", "--runs", "8", "--workers", "1", cwd=tmp_path)
    assert done.returncode == 0
    assert "\x1b" not in done.stdout + done.stderr
    assert "a second" not in done.stderr
    assert done.stderr.count("\n") == 1
