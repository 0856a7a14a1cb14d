"""The smallest team as text and as JSON: the answer first, and nothing wider than the terminal."""

import io
import json

import pytest
from rich.console import Console
from staffed_answers import QUESTIONS, answer, stopped

from simulation.present.own_files import RECORD
from simulation.present.record import as_json
from simulation.questions.staffing.folder import staff_record, write_staff
from simulation.questions.staffing.study import Effort
from simulation.questions.staffing.tables import answer_lines, effort_line, one_more_lines, print_staff


def printed(found, width=80):
    page = Console(file=io.StringIO(), width=width, markup=False, highlight=False, emoji=False)
    print_staff(found, page)
    return page.file.getvalue()


def flat(found):
    return " ".join(printed(found).split())


@pytest.mark.parametrize("name", QUESTIONS)
def test_no_line_is_wider_than_80_columns_and_no_word_of_the_table_is_cut(name):
    text = printed(answer(name))
    assert max(len(line) for line in text.splitlines()) <= 80
    for sign in ("\x1b", "nan", "inf ", "None", "…"):
        assert sign not in text
    rows = [line.split() for line in text.splitlines()]
    for one in answer(name).teams:
        assert any(row[:1] == [str(one.candidate.team)] and f"{one.runs:,}" in row for row in rows)
        assert one.verdict.value in flat(answer(name))


def test_the_answer_stands_first_with_people_chance_and_word():
    head = flat(answer("answered"))[:700]
    assert "with a chance of at least 80 %: 1x18; 22 people on site. Ready by then: " in head
    assert "very likely" in head
    assert "Too close to call after 300 runs, and no larger: 1x16." in head


def test_what_was_not_looked_at_to_the_end_is_said():
    text = flat(answer("left open"))
    assert "Left open, because they are larger and so not the answer: 1 team." in text
    assert "left open: not looked at to the end, so nothing is said of it." in text


def test_the_error_of_all_verdicts_and_of_each_is_stated():
    text = flat(answer("answered"))
    assert "Any verdict is wrong with a chance of at most 5 %, all 4 teams together (1.2 % each)" in text
    assert "sampling error only" in text


def test_where_none_meets_it_what_limits_the_best_is_said():
    text = flat(answer("not met"))
    assert "No team in question is shown to be ready by 8.2 h" in text
    assert "with a chance of at least 80 %; 6 of 6 are shown not to be." in text
    assert "What limits it: final sweep, inspection and marking, 8.0 of the" in text
    assert "At work in the workable hours: crew red " in text
    assert "hours of its chain of causes by cause" in text
    never = flat(answer("never ready"))
    assert "ready by the last day simulated in none of its runs" in never
    assert "No team in question has its P80 by the last day simulated, so nothing is said of more people." in never


def test_on_a_full_edge_it_says_that_people_added_buy_nothing():
    assert "More people in the crews stop helping at 28 on site, 1x24: people added buy nothing." in flat(
        answer("full laying edge")
    )


def test_where_larger_teams_are_not_looked_at_it_does_not_say_that_people_stop_helping():
    assert "More people help up to the largest team in question, 1x20" in flat(answer("answered"))
    assert "All teams in question have as many people" in flat(answer("one team"))


def test_an_answer_that_was_stopped_says_so():
    found = stopped()
    assert found.stopped == "stopped early"
    text = flat(found)
    assert "Stopped early: what is said here is what was known by then." in text
    assert "Not looked at to the end: 1x14; 1x16; 1x18." in text
    assert "What limits it" not in text


@pytest.mark.parametrize("name", QUESTIONS)
def test_the_record_is_json_and_says_what_the_answer_says(name):
    found = answer(name)
    record = json.loads(as_json(staff_record(found)))
    assert record["smallest"] == [one.candidate.name for one in found.answer]
    assert [one["verdict"] for one in record["teams"]] == [one.verdict.value for one in found.teams]
    assert record["error"]["each_team"] == pytest.approx(0.05 / len(found.teams))
    assert (record["limits"] is None) == bool(found.answer)
    json.loads(as_json(staff_record(stopped())))


def test_the_files_are_written_whole_or_not_at_all(tmp_path):
    files = write_staff(answer("answered"), tmp_path / "new")
    assert sorted(file.name for file in (tmp_path / "new").iterdir()) == [RECORD, "staffing.json", "staffing.png", "staffing.svg"]
    assert {file.name for file in files} == {"staffing.json", "staffing.png", "staffing.svg"}
    (tmp_path / "taken").write_text("a file, not a folder")
    with pytest.raises(OSError, match="taken"):
        write_staff(answer("answered"), tmp_path / "taken")


def test_the_effort_is_a_range_in_words():
    line = effort_line(Effort(teams=16, least=3200, most=32_000, seconds=0.006))
    assert line == (
        "16 teams in question: from 3,200 runs, 19 seconds, to 32,000 runs, 3 minutes if every one of them is close to the line"
    )
    assert effort_line(Effort(16, 0, 28_800, 0.006)).startswith("16 teams in question: at most about 29,000 runs, 3 minutes")
    assert effort_line(Effort(16, 0, 0, 0.0)) == ""


@pytest.mark.parametrize("name", sorted(QUESTIONS))
def test_what_one_more_forklift_buys_is_said_in_a_sentence_without_a_minus_before_a_zero(name):
    found = answer(name)
    (line,) = one_more_lines(found)
    assert line.startswith(
        f"One more forklift, {found.one_more.forklifts}, for {found.teams[found.one_more.place].candidate.name}: "
    )
    assert "-0.00" not in line
    told = found.one_more.against.p80.measurable
    assert ("on time" in line) == told
    assert one_more_lines(found)[0] in answer_lines(found)


def test_a_question_that_was_stopped_says_nothing_of_another_forklift():
    assert one_more_lines(stopped()) == []


def test_a_team_that_is_never_on_time_is_not_called_the_one_most_often_on_time():
    said = flat(answer("never ready"))
    assert "No team is on time in any of its runs; the most promising: 1x10" in said
    assert "most often on time" not in said
