"""`keystrip staffing` as a planner meets it: what is printed where, which files are left, and with which code it ends."""

import json

import pytest
from scenarios import SHORT

from simulation.present.own_files import RECORD
from simulation.questions.staffing.verdicts import NAMED


@pytest.fixture(autouse=True)
def fields(tmp_path, monkeypatch, keystrip):
    (tmp_path / "short.toml").write_text(SHORT, encoding="utf-8")
    monkeypatch.setenv("COLUMNS", "100")


ASKED = ("staffing", "short.toml", "--deadline", "20 h", "--crews", "1x10..14:4", "--workers", 1, "--most", 200)


@pytest.mark.usefixtures("painted")
def test_the_answer_is_printed_and_a_picture_is_left(keystrip, tmp_path):
    code, out, err = keystrip(*ASKED)
    assert code == 0
    assert out.startswith("Short strip: 2 teams tried, to be ready by 20 h")
    assert "ready by 20 h (0.8 days, Thu 3 Apr 2031 02:00) with a chance of at least 80 %" in " ".join(out.split())
    before, after = err.splitlines()
    assert before.startswith("keystrip: 2 teams to try: from 100 runs, ")
    assert before.endswith(" if every one of them is close to the line")
    assert after == "keystrip: report in reports/short: staffing.json, staffing.txt, staffing.png"
    kept = {file.name for file in (tmp_path / "reports" / "short").iterdir()}
    assert kept == {"runs.sqlite", "staffing.json", "staffing.txt", "staffing.png", RECORD}


@pytest.mark.usefixtures("few_of_each_team", "unpainted")
def test_json_is_all_that_stands_on_standard_output_and_equals_the_file(keystrip, tmp_path):
    code, out, _ = keystrip(*ASKED, "--json", "--out", "here", "--start", "one-end,centre-out", "--forklifts", "1..2")
    assert code == 0
    assert json.loads(out) == json.loads((tmp_path / "here" / "staffing.json").read_text(encoding="utf-8"))
    assert len(json.loads(out)["answer"]["teams"]) == 8


def test_the_same_question_again_is_answered_from_what_is_kept(keystrip, monkeypatch):
    for room in ("study", "verdicts"):
        monkeypatch.setattr(f"simulation.questions.staffing.{room}.FIRST", NAMED)
    asked = (*ASKED[:-1], NAMED)  # every team has as many as it may: nothing is left that might be asked for
    first = keystrip(*asked)
    again = keystrip(*asked)
    assert again[1] == first[1]
    assert "runs," not in again[2]


def test_stopped_early_it_says_what_is_known_and_goes_on_from_there(keystrip, monkeypatch):
    from simulation.replicate import Alternatives

    reach, calls = Alternatives.reach, []

    def interrupted(self, count, places=None):
        calls.append(count)
        if len(calls) > 1:
            self.runs[0].stopped = "stopped early"
            return False
        return reach(self, count, places)

    with monkeypatch.context() as patched:
        patched.setattr(Alternatives, "reach", interrupted)
        code, out, err = keystrip(*ASKED)
    assert code == 3
    assert "Stopped early" in out
    assert err.splitlines()[-1] == (
        "keystrip: stopped early: 100 runs are kept in reports/short; the same command goes on from there"
    )
    assert keystrip(*ASKED)[0] == 0


@pytest.mark.parametrize(
    ("words", "line"),
    [
        (("--confidence", 0), "keystrip: --confidence: 0 does not lie between 0 and 1; write a chance such as 0.8"),
        (("--confidence", 1), "keystrip: --confidence: 1 does not lie between 0 and 1; write a chance such as 0.8"),
        (("--confidence", 80), "keystrip: --confidence: 80 does not lie between 0 and 1; write a chance such as 0.8"),
        (("--confidence", "nan"), "keystrip: --confidence: nan does not lie between 0 and 1; write a chance such as 0.8"),
        (("--deadline", "2031-04-01"), "deadline: 2031-04-01 is not after the start, 2031-04-02 06:00; write a later one"),
        (("--deadline", "-1 d"), "deadline: "),
        (("--deadline", "9 ft"), 'deadline: "9 ft" is neither a duration nor a date; '),
        (("--deadline", ""), '--deadline: it is what a team is to meet; write --deadline "9 day"'),
        (("--deadline", "21 d"), "deadline: 21 d lies beyond the 20 days simulated"),
        (("--crews", ""), '--crews: "" leaves something out'),
        (("--crews", "1x40..16"), "--crews: 40..16 runs backwards; write 16..40"),
        (("--crews", "1..9x1..99"), "--crews: 891 teams are in question; at most 300 are taken"),
        (("--forklifts", "5..2"), "--forklifts: 5..2 runs backwards; write 2..5"),
        (("--forklifts", ","), '--forklifts: "," leaves something out'),
        (("--start", "middle"), '--start: "middle" is no start'),
        (("--start", ""), '--start: "" leaves something out'),
        (("--forklifts", ""), '--forklifts: "" leaves something out'),
        (("--crews", "1x4"), "short.toml: --crews 1x4: 4 are too few to carry a mat"),
        (("--most", 20), "--most"),
    ],
)
def test_a_mistake_is_one_line_and_code_2(keystrip, tmp_path, words, line):
    code, out, err = keystrip(*ASKED, *words)
    assert code == 2
    assert out == ""
    (only,) = err.splitlines()
    assert line in only
    assert not (tmp_path / "reports").exists()


def test_a_deadline_must_be_given(keystrip):
    code, _, err = keystrip("staffing", "short.toml")
    assert code == 2
    assert "--deadline" in err


def test_help_says_how_a_range_is_written(keystrip):
    code, out, _ = keystrip("staffing", "--help")
    assert code == 0
    text = " ".join(out.replace("│", " ").split())
    assert "A range is N, LOW..HIGH or LOW..HIGH:STEP; several stand apart by commas." in text
    assert "1..2x16..40:4" in text
