"""`keystrip studies` and `keystrip repeat`, as a person uses them."""

import json
from pathlib import Path

import pytest
from rich.console import Console
from scenarios import SHORT

from simulation.present.renderers.terminal import print_answer
from simulation.questions.studies.answer import studies_answer
from simulation.replicate import do_runs
from simulation.replicate.identity import Identity
from simulation.replicate.manifest import Manifest
from simulation.scenario import parse_scenario


def test_what_all_studies_of_a_folder_have_in_common_is_said_once(keystrip, tmp_path):
    (tmp_path / "short.toml").write_text(SHORT, encoding="utf-8")
    keystrip("compare", "short.toml", "--vary", "laying.place=x1.23456789,x0.9", "--runs", 2, "--workers", 1)
    code, out, _ = keystrip("studies", "reports/short")
    assert code == 0
    assert "All of them: seed 11, job-wide values random, by this program." in out
    header = next(line for line in out.splitlines() if line.startswith("scenario"))
    assert header.split() == ["scenario", "study", "runs", "last", "run,", "UTC"]
    assert "x1.235" in out and "…" not in out
    keystrip("forecast", "short.toml", "--runs", 2, "--workers", 1, "--seed", 12)
    assert "All of them: job-wide values random, by this program." in keystrip("studies", "reports/short")[1]


def run(number, *changes):
    identity = Identity("scenario", 7, "random", "another program", {})
    moment = "2031-04-02T06:00:00.000+00:00"
    return Manifest(identity, "North strip", "north.toml", "", {}, changes, (), "1", "any", moment, number, moment, 1.0, 400)


def printed(studies, width=80):
    console = Console(width=width, markup=False, highlight=False, emoji=False)
    with console.capture() as captured:
        print_answer(studies_answer(Path("kept"), studies), console)
    return captured.get()


def test_seventy_studies_stand_within_eighty_columns_and_nothing_of_a_change_is_cut():
    keys = [f"supply.trucks.{number}.from" for number in range(1, 35)]
    studies = [run(1)]
    studies += [run(place, (keys[place % 34], "240.0 h"), ("forklifts.breakdown_every", "x1.11111")) for place in range(2, 36)]
    spread = '{ mean = "75.123456 min", scatter = "exponential" }'
    studies += [run(place, ("laying.starter_key_strip", spread), (keys[place % 34], "x0.9")) for place in range(36, 70)]
    studies += [run(70)]
    out = printed(studies)
    assert out.endswith("\nkept keeps 70 studies with 28,000 runs.\n")
    assert "\nAll of them: seed 7, job-wide values random, by another program.\n" in out
    assert max(map(len, out.splitlines())) <= 80 and "…" not in out
    lines = [line.rstrip() for line in out.splitlines()]
    for key in keys:  # a change stands whole on a line
        assert sum(key in line for line in lines) == 2
    assert sum("forklifts.breakdown_every=x1.111" in line for line in lines) == 34
    assert sum(line.startswith("with laying.starter_key_strip={ ") for line in lines) == 34
    assert lines.count('    mean="75.12 min", scatter="exponential"},') == 34
    assert sum("from=240 h" in line for line in lines) == 34


@pytest.mark.parametrize(
    ("text", "short"),
    [
        ("1000000.0 h", "1000000 h"),
        ("123456.789", "123457"),
        ("0.000123456", "0.0001235"),
        ("2031-04-02T06:00:00.000", "2031-04-02T06:00:00.000"),
        ("v1.20300", "v1.20300"),
        ('["0.0 h", "24.0 h"]', '["0 h", "24 h"]'),
    ],
)
def test_numbers_are_shortened_and_times_and_names_are_not(text, short):
    assert f"key={short} " in printed([run(1), run(2, ("key", text))], 200)


def test_the_command_that_repeats_a_study_stands_whole_on_its_line(keystrip, tmp_path):
    folder = "a folder/" + "of a very long name, " * 4 + "that goes on"
    do_runs(parse_scenario(SHORT), 2, workers=1, folder=tmp_path / folder)
    _, out, _ = keystrip("studies", folder)
    assert f"\nkeystrip repeat '{folder}/1'\n" in out
    code, out, err = keystrip("repeat", f"{folder}/1", "--workers", 1, "--json")
    found = json.loads(out)
    again = found["answer"]
    assert (code, err) == (0, "")
    assert (again["agrees"], again["runs_done_again"], again["differing_run_count"]) == (True, 2, 0)
    assert (again["changed"], found["study"]["runs"]) == ([], 2)
