"""`keystrip replay` from the outside: which run, which file, and one line for what cannot be."""

import pytest
from scenarios import SHORT

from simulation.questions.forecast.single_run.typical_run import typical_run
from simulation.scenario import parse_scenario
from simulation.study.run_context import RunContext


@pytest.fixture
def short(tmp_path):
    file = tmp_path / "short.toml"
    file.write_text(SHORT, encoding="utf-8")
    return file


def test_the_run_nearest_to_the_median_of_the_forecast_is_replayed(keystrip, short, tmp_path):
    from simulation import forecast

    code, _, _ = keystrip("forecast", short, "--runs", 40, "--workers", 1)
    assert code == 0
    answer = forecast(parse_scenario(SHORT), RunContext(runs=40, workers=1))
    for name, share in (("median", 0.5), ("p80", 0.8)):
        typical = typical_run(answer, name)
        hours = answer.runs["milestone.operational readiness"]
        assert hours[typical.run_number] == answer.readiness.quantile(share).value == typical.quantile
        code, out, said = keystrip("replay", short, "--run", name, "--among", 40, "--workers", 1)
        assert code == 0
        assert f"run {typical.run_number}, nearest to" in out
        assert "40 runs of this study are kept" in said  # nothing is done twice
    page = (tmp_path / "reports" / "short" / "replay.html").read_text(encoding="utf-8")
    assert "nearest to P80 of 40 runs" in page
    assert len(page) < 2_000_000


def test_a_run_that_was_not_ready_stands_for_a_quantile_beyond_the_horizon():
    from simulation import forecast

    scenario = parse_scenario(SHORT.replace('"20 day"', '"6 h"'))
    typical = typical_run(forecast(scenario, RunContext(runs=10, workers=1)), "median")
    assert typical.run_number == 0
    assert typical.hours == typical.quantile == float("inf")


@pytest.mark.usefixtures("painted")
def test_a_still_of_an_hour(keystrip, short, tmp_path):
    code, out, _ = keystrip("replay", short, "--run", 2, "--at", "2 h 30 min", "--out", tmp_path / "still.svg")
    assert code == 0
    assert "Day 1, Wed 2 Apr 2031, 08:30" in out
    assert "run 2" in out
    assert (tmp_path / "still.svg").read_text(encoding="utf-8").startswith("<?xml")
    code, out, _ = keystrip("replay", short, "--run", 2, "--at", "2031-04-02T08:30")
    assert code == 0
    assert (tmp_path / "reports" / "short" / "replay.png").read_bytes()[:4] == b"\x89PNG"


def test_a_film_by_the_step_that_is_asked_for(keystrip, short, tmp_path):
    from PIL import Image

    code, out, _ = keystrip("replay", short, "--run", 0, "--every", "2 h", "--out", "film.gif")
    assert code == 0
    assert "pictures, one picture every 2 h\n" in out
    with Image.open(tmp_path / "film.gif") as film:
        assert f"{film.n_frames} pictures" in out


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (
            ["--out", "replay.avi"],
            "--out: replay.avi does not end as a replay does; write .html, .gif or .mp4, or .png or .svg with --at",
        ),
        (
            ["--out", "still.png"],
            '--out: still.png holds one hour; say which, such as --at "3 d 4 h", or write .html, .gif or .mp4',
        ),
        (
            ["--at", "1 h", "--out", "a.html"],
            "--out: a.html holds all hours, and --at is about one; leave --at out, or write .png or .svg",
        ),
        (["--run", "-1"], "--run: -1 is no run; write a number from 0 to 99,999, median or p80"),
        (["--run", "100000"], "--run: 100000 is no run; write a number from 0 to 99,999, median or p80"),
        (["--run", "mean"], "--run: mean is no run; write a number from 0 to 99,999, median or p80"),
        (["--at", "soon"], '--at: "soon" is not a duration; write hours after the start, such as "3 d 4 h", or a local time'),
        (["--every", "0 h"], '--every: 0 h leads nowhere; write a step above zero, such as "1 h"'),
        (["--every", "2 ft"], '--every: "2 ft" is not a duration; write one such as "1 h" or "30 min"'),
    ],
)
def test_what_cannot_be_is_one_line_and_nothing_is_computed(keystrip, short, tmp_path, words, line):
    (tmp_path / "replay.avi").write_text("old")
    code, out, said = keystrip("replay", short, *words)
    assert code == 2
    assert out == ""
    assert said.count("\n") == 1
    assert line in said
    assert sorted(one.name for one in tmp_path.iterdir()) == ["replay.avi", "short.toml"]


def test_an_hour_after_the_end_and_too_many_pictures_are_one_line(keystrip, short, monkeypatch):
    monkeypatch.setattr("simulation.questions.replay.files.page_of", lambda _: "as many pictures as there may be")
    code, out, said = keystrip("replay", short, "--run", 1, "--at", "300 d")
    assert (code, out, said.count("\n")) == (2, "", 1)
    assert "--at: 300 d 0 h is after the end of run 1, " in said
    code, out, said = keystrip("replay", short, "--run", 1, "--every", "1 s")
    assert (code, out, said.count("\n")) == (2, "", 1)
    assert "--every: 1 s makes " in said
    step = said.split('write "')[1].split('"')[0]
    assert keystrip("replay", short, "--run", 1, "--every", step)[0] == 0


def test_without_ffmpeg_an_mp4_is_refused_before_anything_is_computed(keystrip, short, tmp_path, monkeypatch):
    monkeypatch.setenv("PATH", str(tmp_path))
    code, out, said = keystrip("replay", short, "--out", "film.mp4")
    assert (code, out) == (2, "")
    assert said == "keystrip: --out: an .mp4 needs ffmpeg, which is not installed; .html and .gif work without it\n"
    assert [one.name for one in tmp_path.iterdir()] == ["short.toml"]


def test_a_disk_that_fails_while_it_is_written_keeps_the_old_file(keystrip, short, tmp_path, monkeypatch):
    from simulation.questions.replay import files as replay_files

    def full(replay):
        raise OSError(28, "No space left on device")

    old = tmp_path / "old.html"
    old.write_text("old")
    monkeypatch.setattr(replay_files, "page_of", full)
    code, _, said = keystrip("replay", short, "--run", 0, "--out", old)
    assert (code, "add --force" in said, old.read_text()) == (2, True, "old")
    code, _, said = keystrip("replay", short, "--run", 0, "--out", old, "--force")
    assert code == 2
    assert said == f"keystrip: --out: {old} cannot be written (No space left on device); name a file that can be\n"
    assert old.read_text() == "old"
    assert sorted(one.name for one in tmp_path.iterdir()) == ["old.html", "short.toml"]
