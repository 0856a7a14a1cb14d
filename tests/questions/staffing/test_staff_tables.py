"""The smallest team as text and as JSON: the answer last, and nothing wider than the terminal."""

import io
import json
import re
from dataclasses import replace

import pytest
from rich.console import Console
from staffed import DEADLINE, QUESTIONS, answer, staffed, stopped

from simulation import staffing
from simulation.present.own_files import RECORD
from simulation.present.renderers.record import as_json, write_answer
from simulation.present.renderers.terminal import print_answer
from simulation.questions.staffing.answer import find_teams_around, staffing_answer
from simulation.questions.staffing.candidates import LeftOut, read_search
from simulation.questions.staffing.effort import Effort, describe_effort
from simulation.questions.staffing.record import staffing_record
from simulation.questions.staffing.sentences import describe_one_more_forklift, write_headline, write_lines, write_warnings
from simulation.stats.paired_difference import Difference
from simulation.study.run_context import RunContext


def printed(found, width=80, full=True):
    page = Console(file=io.StringIO(), width=width, markup=False, highlight=False, emoji=False)
    print_answer(staffing_answer(found), page, full, "All tables: --full, or reports/staffed/staffing.txt")
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


@pytest.mark.parametrize("name", QUESTIONS)
def test_the_short_form_has_at_most_45_lines_and_ends_with_one_sentence(name):
    lines = printed(answer(name), full=False).splitlines()
    assert len(lines) <= 45
    headline = write_headline(answer(name))
    assert len(headline) <= 200
    assert " ".join(" ".join(lines).split()).endswith(headline)


def test_the_answer_names_people_chance_and_word():
    assert write_headline(answer("answered")).endswith(
        "with a chance of at least 80 %: 1 crew of 18, 22 people on site; it is on time in 92.0 % of runs; not settled: 1x16."
    )
    assert write_headline(answer("answered")).startswith("The smallest team shown to be ready by ")
    said = " ".join(write_lines(answer("answered")))
    assert "very likely" in said
    assert "No larger, and too close to call after 200 runs: 1x16." in said


def test_a_usual_team_that_is_left_out_is_said_with_its_reason_before_the_numbers_and_recorded():
    found = replace(answer("answered"), left_out=(LeftOut("own crews at 50 %, 8 + 8", "of 8 people 4 are handlers"),))
    assert write_warnings(found) == ["Left out, own crews at 50 %, 8 + 8: of 8 people 4 are handlers."]
    assert staffing_record(found)["left_out"] == [{"name": "own crews at 50 %, 8 + 8", "why": "of 8 people 4 are handlers"}]


def test_of_many_teams_those_around_the_answer_are_shown():
    found = answer("many kinds")
    shown = find_teams_around(found)
    assert len(shown) == 12 < len(found.teams)
    assert found.teams.index(found.answer[0]) in shown
    assert "4 more teams not shown: all stand in the full text." in " ".join(printed(found, full=False).split())


def test_what_was_not_looked_at_to_the_end_is_said():
    text = flat(answer("left open"))
    assert "Left open because larger than the answer: 1 team." in text
    assert "Open: not looked at to the end, so not judged." in text


def test_the_error_of_all_verdicts_is_stated():
    text = flat(answer("answered"))
    assert "Any verdict is wrong with a chance of at most 5 %, all 4 teams together." in text
    assert "sampling error only" in text


def test_where_none_meets_it_what_limits_the_best_is_said():
    text = flat(answer("not met"))
    assert "No team tried is shown to be ready by 8.2 h with a chance of at least 80 %; the nearest, 1 crew of 14, " in text
    assert "Shown to fall short of that chance: 6 of 6 teams." in text
    assert re.search(
        r"What takes its time: final sweep, inspection and marking, 8.0 of the \d+\.\d hours until it is ready", text
    )
    assert "At work in the workable hours: crew red " in text
    assert "hours of its chain of causes" in text
    never = flat(answer("never ready"))
    assert "Not one of its runs is ready by the last day simulated" in never
    assert "No team tried has its P80 by the last day simulated, so nothing can be said about more people." in never


def test_on_a_full_edge_it_says_that_people_added_gain_nothing():
    said = flat(answer("full laying edge"))
    assert "Beyond 28 people on site (1x24) more people in the crews gain nothing: the quickest larger team, 1x28" in said


def test_where_larger_teams_gain_little_it_says_how_little_and_not_that_people_stop_helping():
    # 18 minutes in a job of a day: they are measured, and no table of days shows them.
    said = flat(answer("answered"))
    assert "Beyond 18 people on site (1x14) larger teams gain less than half a shift, 0.5 days: the quickest, 1x20" in said
    assert "All teams tried have as many people" in flat(answer("one team"))


def test_where_more_people_help_up_to_the_largest_team_it_says_by_how_much():
    asked = answer("answered")
    helping = replace(asked.helping, at=3, earliest=None, smaller=2, gain=Difference(-24.0, -30.0, -18.0))
    said = flat(replace(asked, helping=helping))
    line = "up to the largest team tried, 1x20 (24 people on site): P80 -1.00 (-1.25 to -0.75) days against 1x18, in 100 runs"
    assert line in said


def test_an_answer_that_was_stopped_says_so():
    found = stopped()
    assert found.stopped == "stopped early"
    text = flat(found)
    assert "Stopped early: the answer rests on the runs that were done by then." in text
    assert "Not looked at to the end: 1x14; 1x16; 1x18." in text
    assert "What takes its time" not in text


@pytest.mark.parametrize("name", QUESTIONS)
def test_the_record_is_json_and_says_what_the_answer_says(name):
    found = answer(name)
    record = json.loads(as_json(staffing_record(found)))
    assert record["smallest"] == [one.candidate.name for one in found.answer]
    assert [one["verdict"] for one in record["teams"]] == [one.verdict.value for one in found.teams]
    assert record["error"]["each_team"] == max(one.error for one in found.teams)
    assert sum(one.error for one in found.teams) <= record["error"]["all_teams"] == 0.05
    assert (record["limits"] is None) == bool(found.answer)
    json.loads(as_json(staffing_record(stopped())))


def test_the_files_are_written_whole_or_not_at_all(tmp_path):
    said = staffing_answer(answer("answered"))
    files = write_answer(said, tmp_path / "new", lambda _: "all tables")
    made = {f"staffing.{ending}" for ending in ("json", "txt", "png", "svg")}
    assert {file.name for file in (tmp_path / "new").iterdir()} == {RECORD, *made}
    assert {file.name for file in files} == made
    (tmp_path / "taken").write_text("a file, not a folder")
    with pytest.raises(OSError, match="taken"):
        write_answer(said, tmp_path / "taken", lambda _: "all tables")


def test_the_effort_is_a_range_in_words():
    line = describe_effort(Effort(teams=16, least=3200, most=32_000, seconds=0.006))
    assert line == (
        "16 teams to try: from 3,200 runs, 19 seconds, to 32,000 runs, 3 minutes if every one of them is close to the line"
    )
    assert describe_effort(Effort(16, 0, 28_800, 0.006)).startswith("16 teams to try: at most about 29,000 runs, 3 minutes")
    assert describe_effort(Effort(16, 0, 0, 0.0)) == ""


@pytest.mark.parametrize("name", sorted(QUESTIONS))
def test_what_one_more_forklift_gains_is_said_in_a_sentence_without_a_minus_before_a_zero(name):
    found = answer(name)
    (line,) = describe_one_more_forklift(found)
    assert line.startswith(
        f"One more forklift, {found.one_more.forklifts}, for {found.teams[found.one_more.index].candidate.name}"
    )
    assert "-0.00" not in line
    told = found.one_more.against.p80.measurable
    assert ("on time" in line) == told
    assert line in write_lines(found)


def test_a_question_that_was_stopped_says_nothing_of_another_forklift():
    assert describe_one_more_forklift(stopped()) == []


def test_a_team_that_is_never_on_time_is_not_called_the_one_most_often_on_time():
    said = flat(answer("never ready"))
    assert "No team is on time in any of its runs. The nearest: 1x10" in said
    assert "most often on time" not in said


def test_where_the_most_runs_leave_the_nearest_open_the_last_line_says_that_more_may_settle_it():
    asked = RunContext(deadline=f"{DEADLINE!r} h", workers=1)
    found = staffing(staffed(), asked, search=read_search("100%"), most=100)
    assert write_headline(found).endswith(
        "the nearest, own crews at 100 %, 16, is on time in 83.0 % of runs; more runs (--most) may settle it."
    )
    assert "Too close to call after 100 runs, the most of one team (--most): own crews at 100 %, 16." in write_lines(found)
    assert "100 %: 16 " in flat(found)
    assert "Team: the plan's own crews with a share of their people, each crew on its own hours" in flat(found)
    assert "crews x people" not in flat(found)
    assert "(--most)" not in write_headline(answer("not met"))  # shown to fall short: more runs would not help
