"""`keystrip repair` as a planner meets it: what is printed, which files are left, and what a season of damage adds."""

import json

import pytest
from scenarios import LEAST

DAMAGE = '\n[damage]\nper_day = 0.5\nper_1000_landings = 0\ninspect_every = "0 h"\nstay = "60 day"\ntouchdown = "100 ft"\n'


@pytest.fixture(autouse=True)
def fields(tmp_path):
    (tmp_path / "strip.toml").write_text(LEAST + DAMAGE, encoding="utf-8")
    (tmp_path / "calm.toml").write_text(LEAST, encoding="utf-8")


@pytest.mark.usefixtures("painted")
def test_the_answer_stands_last_in_80_columns_and_leaves_record_text_and_picture(keystrip, tmp_path):
    code, out, err = keystrip("repair", "strip.toml", "--at", "strip 150 ft", "--mats", 2, "--runs", 40)
    assert (code, max(map(len, out.splitlines())) <= 80, len(out.splitlines()) <= 60) == (0, True, True), err
    assert " ".join(out[out.rindex("\n\n") :].split()).startswith(
        ("Cut 2 damaged mats out: strip is closed for", "For 2 damaged")
    )
    assert "fire watch" in out
    left = {file.name for file in (tmp_path / "reports" / "strip").glob("repair*")}
    assert left == {f"repair_strip-150-ft_mats-2.{ending}" for ending in ("json", "txt", "png")}


def test_a_second_question_leaves_the_answer_of_the_first(keystrip, tmp_path):
    for options in ((), ("--mats", 2), ("--crater", "6 ft", "--begin", "10 d 20 h")):
        keystrip("repair", "calm.toml", "--runs", 2, *options)
    left = {file.name for file in (tmp_path / "reports" / "calm").glob("repair*.txt")}
    assert left == {"repair.txt", "repair_mats-2.txt", "repair_crater-6-ft_begin-10-d-20-h.txt"}


def test_the_record_says_what_the_words_say(keystrip):
    _, out, _ = keystrip("repair", "strip.toml", "--at", "strip 180 ft", "--mats", 2, "--runs", 40, "--json")
    found = json.loads(out)["answer"]
    assert found["mats"] == {"full": 2, "half": 0}
    assert f"closed for {found['cut_out']['closed']['p50_hours']['hours']:.1f} hours" in found["headline"]
    assert [way["direction"] for way in found["openings"]] == ["against", "along"]
    assert found["openings"][0]["closed"]["p50_hours"]["hours"] < found["openings"][1]["closed"]["p50_hours"]["hours"]


def test_a_season_brings_as_many_repairs_as_its_rate_says_and_none_where_none_is_asked_for(keystrip):
    _, out, _ = keystrip("repair", "strip.toml", "--runs", 100, "--json")
    season = json.loads(out)["answer"]["season"]
    # Half a repair a day, less what is damaged already: 15 a month, known to a tenth of that.
    assert season["a_month"]["repairs"]["mean"] == pytest.approx(15, rel=0.1)
    assert season["stay"]["mats"]["mean"] == pytest.approx(2 * 15 * 1.5, rel=0.15)
    assert 0 < season["stay"]["closed_hours"]["mean"] < 60 * 24
    _, out, _ = keystrip("repair", "calm.toml", "--runs", 3, "--json")
    assert json.loads(out)["answer"]["season"] is None


def test_what_cannot_be_ends_with_a_line_and_code_2(keystrip):
    code, _, err = keystrip("repair", "calm.toml", "--at", "strip 900 ft")
    assert code == 2
    assert "--at: 900 ft lies off strip; write 0 to 300 ft" in " ".join(err.split())
