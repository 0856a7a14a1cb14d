"""Plans side by side on the page: sentences that answer, tables within 80 columns, pictures whose words stand apart, files."""

import csv
import json
import math
from dataclasses import replace

import pytest
from invented_runs import PLANS, TWO_AREAS, comparison, invented_scenario
from rich.console import Console
from words_on_pictures import assert_readable, texts_of
from words_on_pictures import drawn as in_the_look_of_all

from simulation.present.file_names import answer_files
from simulation.present.own_files import RECORD
from simulation.present.renderers.record import write_answer
from simulation.present.renderers.terminal import print_answer
from simulation.present.words.change_format import change_format
from simulation.questions.compare.answer import compare_answer
from simulation.questions.compare.file_names import list_files, name_files
from simulation.questions.compare.people_picture import draw_people
from simulation.questions.compare.picture import draw_comparison
from simulation.questions.compare.sentences import write_conclusion, write_headline, write_lines, write_warnings
from simulation.questions.compare.study import MOST_SHOWN
from simulation.questions.compare.verdicts import Verdict
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY

QUESTIONS = {
    "by a deadline": {"deadline": "9 day"},
    "far deadline": {"deadline": "30 day", "reference": 4},
    "early deadline": {"deadline": "2 h", "reference": 1},
    "without": {},
    "hours": {"scale": 0.05, "deadline": "0.4 day"},
    "few runs": {"count": 6},
    "open end": {"reference": 1},
    "never ready": {"reference": 0},
    "many": {"deadline": "9 day"},
}
NAMES = {
    "early deadline": ("late and open", "late and open"),
    "open end": ("as written", "open", "late and open"),
    "never ready": ("horizon=8 day", "never"),
    "many": (*(f"twin {number}" for number in range(7)), *tuple(PLANS)[:5], "late and open", "nearly"),
}


def found(question):
    return comparison(*NAMES.get(question, ()), **QUESTIONS[question])


def printed(comparison_, width=80, full=True):
    console = Console(width=width, markup=False, highlight=False, emoji=False)
    with console.capture() as captured:
        print_answer(compare_answer(comparison_), console, full, "All tables: --full, or reports/invented/compare.txt")
    return captured.get()


def sentences(comparison_):
    return [write_headline(comparison_), *write_lines(comparison_), *write_warnings(comparison_)]


def drawn(question, draw=draw_comparison):
    return in_the_look_of_all(draw, found(question))


@pytest.mark.parametrize("question", QUESTIONS)
def test_everything_fits_80_columns_with_nothing_cut(question):
    lines = printed(found(question)).splitlines()
    assert max(map(len, lines)) <= 80
    text = " ".join(" ".join(lines).split())
    assert SAMPLING_ERROR_ONLY in text
    for name in ("plan", "P50", "P80", "change", "people", "crew-days", "mats/person-h", "P80 is"):
        assert name in text


@pytest.mark.parametrize("question", QUESTIONS)
def test_every_plan_has_a_row_under_the_same_label_in_every_table(question):
    compared = found(question)
    tables = 3 if compared.plans[0].outcome.deadline else 2
    lines = printed(compared, 220).splitlines()
    for index, one in enumerate(compared.plans):
        rows = sum(line.startswith(f"{index + 1} {one.outcome.name}") for line in lines)
        assert rows == tables + (index in compared.that_matter)


@pytest.mark.parametrize("question", QUESTIONS)
def test_the_short_form_has_at_most_45_lines_and_says_where_the_rest_is(question):
    lines = printed(found(question), full=False).splitlines()
    assert len(lines) <= 45
    assert any("All tables: --full, or reports/invented/compare.txt" in line for line in lines)
    assert " ".join(" ".join(lines).split()).endswith(write_headline(found(question)))


@pytest.mark.parametrize("question", QUESTIONS)
def test_the_headline_is_one_sentence_that_can_be_repeated(question):
    headline = write_headline(found(question))
    assert len(headline) <= 200
    assert headline.count(". ") == 0


def test_of_many_plans_the_earliest_and_those_that_are_named_are_shown_best_p80_first():
    compared = found("many")
    shown = compared.that_matter
    assert len(compared.plans) > MOST_SHOWN == len(shown)
    assert {compared.reference, compared.earliest, compared.with_fewer_people, compared.most_often_on_time} <= {*shown}
    days = [compared.plans[index].outcome.p80.value for index in compared.by_p80]
    assert days == sorted(days)
    assert compare_answer(compared).pages[0].parts[0].blocks[0].rows[0][0].startswith(f"{compared.by_p80[0] + 1} ")
    text = " ".join(printed(compared, full=False).split())
    assert "The 10 plans that matter, of 14, best P80 first" in text
    assert f"4 more plans not shown: all of them stand in the full text and in {asked(compared)}.csv" in text
    assert "not shown" not in printed(found("by a deadline"), full=False)


def test_the_answer_names_the_earliest_plan_what_it_gains_and_who_does_it_with_fewer_people():
    assert write_headline(found("by a deadline")) == (
        "Plans 2 and 3 are ready first, alike to within half a shift; the 80 % date of plan 2 (people=24, start=centre-out) is "
        "Wed 9 Apr 2031 (7.2 days), 1.0 day earlier than plan 1."
    )
    both = comparison("as written", "people=24, start=centre-out", "nearly", deadline="9 day")
    fewer, on_time = write_lines(both)
    assert fewer == ("Plan 3 (nearly) needs fewer people than plan 2: 41 on site instead of 49. Half a shift is 5.5 hours.")
    assert "almost certain" in on_time
    assert "95 % interval" in on_time
    assert write_conclusion(both) == "Plans 2 and 3 are ready first, alike to within half a shift; plan 3 with fewer people"


def test_a_plan_that_the_runs_cannot_tell_from_the_earliest_is_named_beside_it_in_headline_and_title():
    equal = comparison("as written", "people=24, start=centre-out", "nearly")
    apart = replace(equal, as_early=())
    first = "Plans 2 and 3 are ready first and not measurably apart in these 200 runs"
    assert write_headline(apart).startswith(f"{first}; the 80 % date of plan 2 ")
    assert write_conclusion(apart) == first
    alone = comparison("as written", "people=24, start=centre-out")
    assert alone.first_ones == (1,)
    assert write_conclusion(alone) == "Plan 2 is ready first"
    assert comparison("as written", "later").first_ones == (0,)


def test_a_change_is_told_in_days_or_in_hours_whichever_the_plans_are_long():
    assert "change, days" in compare_answer(found("by a deadline")).parts[0].blocks[0].columns
    assert "change, hours" in compare_answer(found("hours")).parts[0].blocks[0].columns


def changes(compared):
    return {row[0].partition(" ")[2]: row[3:5] for row in compare_answer(compared).parts[0].blocks[0].rows}


def test_a_change_of_nearly_nothing_shows_on_which_side_of_zero_it_lies_and_nothing_has_no_sign():
    assert changes(comparison("as written", "hardly earlier"))["hardly earlier"] == (">-0.1", "no spread")
    rows = compare_answer(comparison("as written", "as written")).parts[0].blocks[0].rows
    assert rows[1][3:5] == ("(0.0)", "no spread")
    assert "-0.0" not in printed(comparison("as written", "not earlier to speak of"))


def test_what_lies_after_the_last_day_simulated_is_said_where_it_is_so():
    said = sentences(found("far deadline"))
    assert "that of plan 5 lies after the last day simulated" in said[0]
    assert "60 of 200 runs of plan 5 (horizon=8 day). They count as late." in " ".join(said)
    text = " ".join(printed(found("far deadline"), 120).split())
    assert "by the last day simulated" in text
    assert "At least, for plan 5" in text
    assert write_headline(found("never ready")).startswith("No plan is measurably earlier than plan 1")


def test_with_few_runs_no_difference_counts_as_measured_and_it_is_said_why():
    compared = found("few runs")
    assert "With fewer than 20 runs" in " ".join(write_warnings(compared))
    assert write_headline(compared).startswith("No plan is measurably earlier than plan 1 (as written)")
    assert write_lines(compared) == [
        "Plan 2 (people=24, start=centre-out) has the lowest P80, 6.5 days, but its gain on plan 1 is too small to measure with "
        "so many runs."
    ]
    assert all(value.startswith("(") for name, (value, _) in changes(compared).items() if value[-1] not in "ed")


def test_where_no_plan_is_earlier_the_last_line_says_which_is_measurably_later_and_by_how_much():
    one = comparison("as written", "later")
    (row,) = [row for row in one.plans if row.verdict is Verdict.LATER]
    said = write_headline(one)
    assert said.startswith("No plan is measurably earlier than plan 1 (as written): 80 % date ")
    assert said.endswith(
        f"; plan 2 (later) is measurably later, by {change_format(one.plans[0].outcome).of(row.against.p80.value)}."
    )
    assert write_conclusion(one) == "No plan is measurably earlier than plan 1; plan 2 is measurably later"
    two = comparison("as written", "later", "much later")
    assert "; 2 plans are measurably later, plan 3 (much later) by " in write_headline(two)
    assert len(write_headline(two)) <= 200
    assert "measurably later" not in write_headline(comparison("as written", "not earlier to speak of"))


def test_of_many_plans_it_is_said_that_some_differ_by_chance():
    assert "of twenty plans that change nothing" in " ".join(printed(found("many")).split())
    assert "of twenty" not in printed(found("by a deadline"))


def test_of_plans_with_the_same_chance_the_reference_is_named_and_not_one_that_looks_like_a_gain():
    alike = comparison("as written", "twin 0", deadline="39 day")
    assert [one.outcome.chance.probability for one in alike.plans] == [1.0, 1.0]
    fewer = replace(alike, plans=(alike.plans[0], replace(alike.plans[1], outcome=_with_fewer_people(alike.plans[1].outcome))))
    assert fewer.plans[1].outcome.people < fewer.plans[0].outcome.people
    (line,) = [line for line in write_lines(fewer) if line.startswith("Ready by 39 day: plan 1 (as written)")]
    assert line.endswith("plan 2 is as good in the same runs, and none is measurably better.")


def test_a_plan_with_a_higher_chance_is_not_called_the_best_where_the_runs_cannot_tell_it_from_the_reference():
    compared = comparison("as written", "hardly earlier", deadline="9 day")
    row = compared.plans[1]
    assert row.outcome.chance.probability > compared.plans[0].outcome.chance.probability
    assert not row.against.chance.measurable
    said = " ".join(write_lines(compared))
    assert "Best chance" not in said
    assert "; none of the other plans is measurably better." in said


def test_the_reference_read_from_more_runs_does_not_lose_to_a_plan_that_is_as_good_in_the_same_runs():
    compared = comparison("as written", "twin 0", deadline="39 day")
    first = compared.plans[0].outcome
    lower = replace(first, chance=replace(first.chance, count=180, probability=0.9))
    read = replace(compared, plans=(replace(compared.plans[0], outcome=lower), compared.plans[1]))
    assert read.most_often_on_time == 0
    assert read.as_often_on_time == (1,)


def test_a_plan_measurably_more_often_on_time_is_the_best_and_stands_beside_the_reference():
    (line,) = [line for line in write_lines(found("by a deadline")) if " by 9 day" in line]
    assert line.startswith("Most often ready by 9 day: plan 2 and plan 3, which these runs cannot tell apart; plan 2, ")
    assert "; plan 1, " in line
    (alone,) = write_lines(comparison("as written", "people=24, start=centre-out", deadline="9 day"))
    assert alone.startswith("Best chance of being ready by 9 day: plan 2 (people=24, start=centre-out), ")


def _with_fewer_people(outcome):
    return replace(outcome, scenario=invented_scenario(TWO_AREAS.replace("people = 20", "people = 16")))


def test_a_stop_is_told():
    assert write_warnings(comparison("as written", "people=16", asked=400))[-1] == "Stopped early: 200 of 400 runs of each plan."


def test_the_stroke_of_p90_stands_on_the_bar_of_p80_where_that_reaches_past_it():
    compared = next(iter(QUESTIONS))
    (axes,) = drawn(compared).axes
    bars = max(line.get_zorder() for line in axes.get_lines() if line.get_linewidth() == 4.0)
    strokes = [line for line in axes.get_lines() if line.get_marker() == "|" and line.get_zorder() > bars]
    p90 = {plan.outcome.p90.value / 24.0 for plan in found(compared).plans}
    assert strokes and {line.get_xdata()[0] for line in strokes} <= p90


@pytest.mark.parametrize("draw", [draw_comparison, draw_people])
@pytest.mark.parametrize("question", QUESTIONS)
def test_words_are_large_enough_within_the_picture_and_not_over_each_other(question, draw):
    assert_readable(drawn(question, draw))


@pytest.mark.parametrize("question", ["by a deadline", "hours", "open end"])
def test_every_plan_has_its_p80_on_a_row_of_its_own_and_the_reference_differs_in_shape_of_fill(question):
    compared = found(question)
    (axes,) = drawn(question).axes
    marks = [line for line in axes.get_lines() if line.get_marker() == "o"]
    ordered = [compared.plans[index] for index in compared.that_matter]
    known = [one for one in ordered if math.isfinite(one.outcome.p80.value)]
    assert [line.get_xdata()[0] for line in marks] == pytest.approx([one.outcome.p80.value / 24 for one in known])
    assert len({line.get_ydata()[0] for line in marks}) == len(known)
    open_marks = [one for one, line in zip(known, marks, strict=True) if line.get_markerfacecolor() == "white"]
    assert open_marks == [compared.plans[compared.reference]]


def test_the_deadline_is_drawn_where_it_is_or_pointed_to():
    (axes,) = drawn("by a deadline").axes
    assert any(list(line.get_xdata()) == [9.0, 9.0] for line in axes.get_lines())
    assert "deadline 9.0 days" in texts_of(drawn("by a deadline"))
    assert "deadline 30.0 days →" in texts_of(drawn("far deadline"))
    assert "← deadline 0.1 days" in texts_of(drawn("early deadline"))


def test_what_lies_beyond_the_horizon_is_written_not_drawn():
    texts = texts_of(drawn("by a deadline"))
    assert "P50 7.1 days, P80 after the last day simulated" in texts
    texts = texts_of(drawn("open end"))
    assert texts.count("→") == 2
    assert any("→ P90 lies after the last day simulated" in " ".join(text.split()) for text in texts)


def test_every_plan_has_its_mark_at_its_people_and_its_p80_and_its_number_beside_it():
    compared = found("many")
    figure = drawn("many", draw_people)
    (axes,) = figure.axes
    marks = {(line.get_xdata()[0], line.get_ydata()[0]) for line in axes.get_lines() if len(line.get_xdata()) == 1}
    known = [index for index, one in enumerate(compared.plans) if math.isfinite(one.outcome.p80.value)]
    assert marks == {(compared.plans[index].outcome.people, compared.plans[index].outcome.p80.value / 24.0) for index in known}
    numbers = texts_of(figure)
    assert all(str(index + 1) in numbers for index in compared.that_matter if index in known)


def test_people_are_drawn_only_where_they_differ():
    names = [figure.name for figure in compare_answer(found("by a deadline")).figures]
    assert names == [f"{asked(found('by a deadline'))}_people", asked(found("by a deadline"))]
    alike = comparison("as written", "twin 0")
    assert [figure.name for figure in compare_answer(alike).figures] == [asked(alike)]


def asked(compared):
    return name_files([one.outcome.name for one in compared.plans])


def written(compared, folder):
    return write_answer(compare_answer(compared), folder, lambda _: "all tables")


@pytest.mark.usefixtures("painted")
def test_the_folder_holds_the_table_the_record_and_the_pictures_and_the_same_ones_again(tmp_path):
    compared = found("by a deadline")
    files = written(compared, tmp_path / "one")
    people = [one.outcome.people for one in compared.plans]
    assert {file.name for file in files} == {*list_files([one.outcome.name for one in compared.plans], people)}
    stem = asked(compared)
    assert {file.name for file in files} == {*answer_files(stem, (stem, f"{stem}_people"), (f"{stem}.csv",))}
    assert {file.name for file in (tmp_path / "one").iterdir()} == {RECORD, *(file.name for file in files)}
    again = written(compared, tmp_path / "two")
    assert [file.read_bytes() for file in files] == [file.read_bytes() for file in again]


def test_the_record_and_the_csv_say_what_the_table_says(tmp_path):
    compared = found("by a deadline")
    written(compared, tmp_path)
    record = json.loads((tmp_path / f"{asked(compared)}.json").read_text())["answer"]
    with (tmp_path / f"{asked(compared)}.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert [row["name"] for row in rows] == [one.outcome.name for one in compared.plans] == list(PLANS)[: len(rows)]
    assert record["headline"] == write_headline(compared)
    for row, plan, one in zip(rows, record["plans"], compared.plans, strict=True):
        assert row["verdict"] == plan["verdict"] == one.verdict.value
        assert int(row["people_on_site"]) == one.outcome.people
        if math.isinf(one.outcome.p80.value):
            assert (row["p80_days"], plan["outcome"]["p80"]["days"], plan["p80_change"]["days"]) == ("", None, None)
        else:
            assert float(row["p80_days"]) == pytest.approx(one.outcome.p80.value / 24)
            assert float(row["p80_change_interval_days_low"]) == pytest.approx(one.against.p80.low / 24)
        assert float(row["deadline_chance_share"]) == one.outcome.chance.probability


def test_the_files_are_called_after_what_is_varied_whatever_its_values_are():
    assert asked(comparison("as written", "people=16")) == "compare_people"
    assert asked(found("by a deadline")).startswith("compare_people_start_count_truck-haul_wet_spell")
    assert asked(comparison("never", "open")) == "compare_never_open"
    assert len(asked(comparison(*(f"twin {number}" for number in range(7)), "late and open", "hardly earlier"))) <= 60
