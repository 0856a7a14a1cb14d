"""`keystrip sensitivity` as a planner meets it: what is printed where, which files are left, and with which code it ends."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from scenarios import SHORT

ROOT = Path(__file__).resolve().parents[3]
LEVELS = '[laying]\nkey_strip = "15 min"\nstarter_key_strip = "45 min"\nconnect = "1 h"\nmove = "15 min"\ndamaged_mats = 0.0\n'
FEW_LEVELS = (
    SHORT
    + LEVELS
    + """[forklifts]
handle = "90 s"
breakdown_every = "100 h"
repair = "2 h"
efficiency = 0.8
[grading]
rate = "9000 ft**2/h"
efficiency = 0.8
trench = "5 h"
"""
)


@pytest.fixture(autouse=True)
def fields(tmp_path):
    (tmp_path / "short.toml").write_text(FEW_LEVELS, encoding="utf-8")


def flat(text):
    return " ".join(text.split())


@pytest.mark.usefixtures("painted")
def test_the_runs_of_a_forecast_answer_at_once(keystrip, tmp_path, monkeypatch):
    assert keystrip("forecast", "short.toml", "--runs", 150, "--workers", 1)[0] == 0
    monkeypatch.setattr("simulation.replicate.batches.do_batch", None)  # a run to do would end in an error
    code, out, err = keystrip("sensitivity", "short.toml", "--runs", 150, "--workers", 1)
    assert code == 0
    # The crews' pace explains nearly as much: 150 runs cannot tell which is the bigger.
    paces = "how long it takes to pick up a mat and to place and seat a mat"
    efficiency = "what share of an hour laying crews really work (laying.efficiency)"
    assert f"One of the biggest unknowns, with {paces}, is {efficiency}" in flat(out)
    assert len(out.splitlines()) <= 45
    assert max(len(line) for line in out.splitlines()) <= 80
    assert "150 runs of this study are kept in reports/short already" in err
    assert "to do" not in err
    assert "report in reports/short: sensitivity.json, sensitivity.txt, sensitivity.png" in err
    kept = {file.name for file in (tmp_path / "reports" / "short").iterdir()}
    assert {"sensitivity.png", "forecast.json", "runs.sqlite"} <= kept
    whole = (tmp_path / "reports" / "short" / "sensitivity.txt").read_text(encoding="utf-8")
    assert "It misses effects that rise and then fall" in flat(whole)


def test_a_tornado_says_what_there_is_to_do_and_what_each_level_changes(keystrip):
    code, out, err = keystrip("sensitivity", "short.toml", "--runs", 20, "--workers", 1, "--tornado")
    assert code == 0
    # The scenario as it is, and both ends of the crews' pace and of their efficiency.
    assert re.search(r"to do: 20 runs, .+; then at most 400 runs, .+ seconds\nkeystrip: to do: 80 runs, .+ seconds", err)
    assert "If one input were known today: change of the time to readiness, in days" in out
    assert "low end: 15 s, 30 s" in out
    assert max(len(line) for line in out.splitlines()) <= 80
    again = keystrip("sensitivity", "short.toml", "--runs", 20, "--workers", 1, "--tornado")
    assert again[:2] == (code, out)
    assert "to do" not in again[2]


def test_json_is_all_that_stands_on_standard_output(keystrip):
    words = ("sensitivity", "short.toml", "--runs", 20, "--tornado", "--deadline", "1 day", "--json")
    record = json.loads(keystrip(*words, "--workers", 1)[1])
    found = record["answer"]
    assert (found["runs"], record["study"]["seed"], found["stopped"]) == (20, 11, None)
    assert {row["input"] for row in found["inputs"]} == {"crews", "laying.efficiency"}
    assert len(found["tornado"]) == 2
    assert found["deadline"] == "1 day"
    other = json.loads(keystrip(*words, "--workers", 2, "--out", "2")[1])
    assert other["answer"] == found


def test_with_a_deadline_the_thirds_of_the_runs_are_set_against_each_other(keystrip):
    code, out, _ = keystrip("sensitivity", "short.toml", "--runs", 150, "--workers", 1, "--deadline", "6 h", "--full")
    assert code == 0
    assert "Chance of being ready by the deadline 6 h" in out
    assert "in its lowest third" in out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["short.toml", "--runs", "0"], "--runs"),
        (["short.toml", "--deadline", "soon"], "deadline"),
        (["short.toml", "--deadline", "2031-04-01"], "deadline"),
        (["nowhere.toml"], "nowhere.toml"),
        (["short.toml", "--tornadoes"], "--tornadoes"),
        (["short.toml", "--cluster", "nowhere"], "--cluster"),
    ],
)
def test_a_mistake_is_one_line_and_exit_code_2(keystrip, words, said):
    code, out, err = keystrip("sensitivity", *words)
    assert (code, out) == (2, "")
    assert len(err.strip().splitlines()) == 1
    assert said in err


def test_a_scenario_without_levels_is_told_how_to_give_some(keystrip, tmp_path):
    known = 'pick_up = "20 s"\nplace = "40 s"\nefficiency = 0.6\n'
    (tmp_path / "known.toml").write_text(FEW_LEVELS.replace(LEVELS, LEVELS + known), encoding="utf-8")
    code, out, _ = keystrip("sensitivity", "known.toml", "--runs", 5, "--workers", 1, "--tornado")
    assert code == 0
    assert "Every input has a fixed value, so there is nothing to rank: give a range" in flat(out)


def test_stopped_early_the_answer_is_printed_and_the_same_command_goes_on(keystrip, monkeypatch):
    from simulation.replicate import batches

    whole, done = batches.do_batch, []

    def do(order, numbers):
        done.append(numbers)
        if len(done) > 70:
            raise KeyboardInterrupt
        return whole(order, numbers[:1])

    # A run at a time: of 20 each, the scenario's own and both ends of one level are done before the stop, and half of an end.
    monkeypatch.setattr(batches, "do_batch", do)
    monkeypatch.setattr(batches, "BATCH_SECONDS", 0.0)
    words = ("sensitivity", "short.toml", "--runs", 20, "--workers", 1, "--tornado")
    code, out, err = keystrip(*words)
    assert code == 3
    assert "Stopped early: 20 of 20 runs of the current plan done, 1 of 2 inputs fixed." in flat(out)
    assert "the same command goes on from there" in err
    monkeypatch.setattr(batches, "do_batch", whole)
    code, out, err = keystrip(*words)
    assert code == 0
    assert "Stopped early" not in out
    assert "runs of this study are kept" in err


def test_stopped_before_the_first_run_there_is_nothing_to_report(keystrip, monkeypatch):
    from simulation.replicate import batches

    def do(order, numbers):
        raise KeyboardInterrupt

    monkeypatch.setattr(batches, "do_batch", do)
    code, out, err = keystrip("sensitivity", "short.toml", "--runs", 40, "--workers", 1)
    assert (code, out) == (130, "")
    assert "nothing to report" in err


def test_a_picture_that_cannot_be_written_is_said_and_the_answer_still_printed(keystrip, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("simulation.present.renderers.record.write_whole", full)
    code, out, err = keystrip("sensitivity", "short.toml", "--runs", 5, "--workers", 1, "--out", "here")
    assert code == 2
    assert "With fewer than 100 runs" in out
    assert "cannot be written" in err


def test_help_names_the_command_and_loads_no_library_of_sensitivities():
    code = (
        "import sys, simulation.cli; sys.argv = ['keystrip', 'sensitivity', '--help']\n"
        "try:\n    simulation.cli.main()\nexcept SystemExit:\n    pass\n"
        "heavy = {'SALib', 'matplotlib', 'pandas', 'scipy', 'numpy', 'pint', 'simpy'}\n"
        "print(sorted(heavy & set(sys.modules)), file=sys.stderr)"
    )
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=env, check=True)
    assert done.stderr.strip() == "[]"
    assert "--tornado" in done.stdout
