"""Plans side by side on the page: sentences that answer, tables within 80 columns, a picture whose words stand apart, files."""

import csv
import itertools
import json
import math
import re
from dataclasses import replace

import matplotlib
import pytest
from compared_plans import PLANS, comparison
from invented_runs import TWO_AREAS, invented_scenario
from matplotlib.text import Text
from rich.console import Console

from simulation.present.figure import SMALL, STYLE
from simulation.present.own_files import RECORD
from simulation.questions.compare.folder import comparison_record, question, write_comparison
from simulation.questions.compare.picture import draw_comparison, save_comparison
from simulation.questions.compare.tables import answer_lines, print_comparison
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
}
NAMES = {
    "early deadline": ("late and open", "late and open"),
    "open end": ("as written", "open", "late and open"),
    "never ready": ("horizon=8 day", "never"),
}


def found(question):
    return comparison(*NAMES.get(question, ()), **QUESTIONS[question])


def printed(comparison_, width=80):
    console = Console(width=width, markup=False, highlight=False, emoji=False)
    with console.capture() as captured:
        print_comparison(comparison_, console)
    return captured.get()


def drawn(question):
    with matplotlib.rc_context(STYLE):
        figure = draw_comparison(found(question))
        figure.draw_without_rendering()
    return figure


def words(figure):
    return [
        (one.get_text(), one.get_window_extent(), one.get_fontsize())
        for one in figure.findobj(Text)
        if one.get_visible() and one.get_text().strip() and not _unseen_tick(one, figure)
    ]


def _unseen_tick(one, figure):
    """Return whether it is a label of a tick outside the view, which exists but is not drawn."""
    (axes,) = figure.axes
    low, high = axes.get_xlim()
    return any(one in (tick.label1, tick.label2) and not low <= tick.get_loc() <= high for tick in axes.xaxis.get_major_ticks())


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
    lines = printed(compared, 200).splitlines()
    for place, one in enumerate(compared.plans, 1):
        assert sum(line.startswith(f"{place} {one.outcome.name}") for line in lines) == tables


def test_the_answer_names_the_earliest_plan_what_it_gains_and_who_does_it_with_fewer_people():
    lines = answer_lines(found("by a deadline"))
    assert lines[0].startswith("Earliest at P80: plan 2 (people=24, start=centre-out), 7.2 days against 8.2 days of plan 1")
    assert "-1.0 days" in lines[0]
    both = answer_lines(comparison("as written", "people=24, start=centre-out", "nearly", deadline="9 day"))
    assert both[1] == (
        "With fewer people and a P80 alike to within half a shift (5.5 hours) of plan 2 (people=24, start=centre-out): "
        "plan 3 (nearly), 41 people on site "
        "instead of 49."
    )
    assert "almost certain" in both[2]
    assert "95 % interval" in both[2]


def test_a_change_is_told_in_days_or_in_hours_whichever_the_plans_are_long():
    assert "in days, paired run by run" in " ".join(printed(found("by a deadline")).split())
    assert "in hours, paired run by run" in " ".join(printed(found("hours")).split())


def test_a_change_of_nearly_nothing_shows_on_which_side_of_zero_it_lies_and_nothing_has_no_minus_sign():
    assert re.search(r"hardly earlier.* -0\.0[1-9] ", printed(comparison("as written", "hardly earlier")))
    assert re.search(r"2 as written.* \+0\.0 +\+0\.0 to \+0\.0", printed(comparison("as written", "as written")))
    hours = printed(comparison("as written", "not earlier to speak of"))
    assert "-0.0 " not in hours


def test_beyond_the_horizon_is_said_where_it_is_so():
    lines = answer_lines(found("far deadline"))
    assert "the P80 of plan 5 (horizon=8 day) lies after the last day simulated" in lines[0]
    assert "60 of 200 runs of plan 5 (horizon=8 day), counted as late" in " ".join(lines)
    text = " ".join(printed(found("far deadline")).split())
    assert "by the last day simulated" in text
    assert "At least, for plan 5" in text
    assert answer_lines(found("never ready"))[0].startswith("No plan is told to be earlier at P80 than plan 1")


def test_with_few_runs_no_difference_is_told_and_it_is_said_why():
    text = " ".join(printed(found("few runs")).split())
    assert "With fewer than 20 runs" in text
    assert "No plan is told to be earlier" in text
    assert "earlier at P80: plan" not in text.lower()


def test_of_many_plans_it_is_said_that_some_differ_by_chance():
    many = comparison(*(f"twin {number}" for number in range(7)))
    assert "of twenty plans that change nothing" in " ".join(printed(many).split())
    assert "of twenty" not in printed(found("by a deadline"))


def test_of_plans_with_the_same_chance_the_reference_is_named_and_not_one_that_looks_like_a_gain():
    alike = comparison("as written", "twin 0", deadline="39 day")
    assert [one.outcome.chance.probability for one in alike.plans] == [1.0, 1.0]
    fewer = replace(alike, plans=(alike.plans[0], replace(alike.plans[1], outcome=_with_fewer_people(alike.plans[1].outcome))))
    assert fewer.plans[1].outcome.people < fewer.plans[0].outcome.people
    assert any(line.startswith("Best chance of the deadline 39 day: plan 1 (as written)") for line in answer_lines(fewer))


def _with_fewer_people(outcome):
    return replace(outcome, scenario=invented_scenario(TWO_AREAS.replace("people = 20", "people = 16")))


def test_a_stop_is_told():
    assert answer_lines(comparison("as written", "people=16", asked=400))[-1] == "Stopped early: 200 of 400 runs of each plan."


@pytest.mark.parametrize("question", QUESTIONS)
def test_words_are_large_enough_within_the_picture_and_not_over_each_other(question):
    figure = drawn(question)
    texts = words(figure)
    width, height = figure.bbox.width, figure.bbox.height
    for text, box, size in texts:
        assert size >= SMALL, text
        assert box.x0 >= 0 and box.y0 >= 0 and box.x1 <= width and box.y1 <= height, text
    for (one, first, _), (other, second, _) in itertools.combinations(texts, 2):
        # Line spacing belongs to the box of a text, ink does not: a little common height is not an overlap.
        wide = min(first.x1, second.x1) - max(first.x0, second.x0)
        tall = min(first.y1, second.y1) - max(first.y0, second.y0)
        assert wide <= 0 or tall <= 2.0, (one, other)


@pytest.mark.parametrize("question", ["by a deadline", "hours", "open end"])
def test_every_plan_has_its_p80_on_a_row_of_its_own_and_the_reference_differs_in_shape_of_fill(question):
    compared = found(question)
    (axes,) = drawn(question).axes
    marks = [line for line in axes.get_lines() if line.get_marker() == "o"]
    known = [one for one in compared.plans if math.isfinite(one.outcome.p80.value)]
    assert [line.get_xdata()[0] for line in marks] == pytest.approx([one.outcome.p80.value / 24 for one in known])
    assert len({line.get_ydata()[0] for line in marks}) == len(known)
    open_marks = [one for one, line in zip(known, marks, strict=True) if line.get_markerfacecolor() == "white"]
    assert open_marks == [compared.plans[compared.reference]]


def test_the_deadline_is_drawn_where_it_is_or_pointed_to():
    (axes,) = drawn("by a deadline").axes
    assert any(list(line.get_xdata()) == [9.0, 9.0] for line in axes.get_lines())
    assert "deadline 9.0 days" in [text for text, _, _ in words(drawn("by a deadline"))]
    assert "deadline 30.0 days →" in [text for text, _, _ in words(drawn("far deadline"))]
    assert "← deadline 0.1 days" in [text for text, _, _ in words(drawn("early deadline"))]


def test_what_lies_beyond_the_horizon_is_written_not_drawn():
    texts = [text for text, _, _ in words(drawn("by a deadline"))]
    assert "P50 7.1 days, P80 after the last day simulated" in texts
    texts = [text for text, _, _ in words(drawn("open end"))]
    assert texts.count("→") == 2
    assert any("→ P90 lies after the last day simulated" in " ".join(text.split()) for text in texts)


def asked(compared):
    return question([one.outcome.name for one in compared.plans])


def test_the_folder_holds_the_table_the_record_and_the_picture_and_the_same_ones_again(tmp_path):
    compared = found("by a deadline")
    files = write_comparison(compared, tmp_path / "one")
    assert {file.suffix for file in files} == {".json", ".csv", ".svg", ".png"}
    assert {file.stem for file in files} == {asked(compared)}
    assert {file.name for file in (tmp_path / "one").iterdir()} == {RECORD, *(file.name for file in files)}
    again = write_comparison(compared, tmp_path / "two")
    assert [file.read_bytes() for file in files] == [file.read_bytes() for file in again]


def test_the_record_and_the_csv_say_what_the_table_says(tmp_path):
    compared = found("by a deadline")
    write_comparison(compared, tmp_path)
    record = json.loads((tmp_path / f"{asked(compared)}.json").read_text())
    assert record == json.loads(json.dumps(comparison_record(compared)))
    with (tmp_path / f"{asked(compared)}.csv").open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert [row["name"] for row in rows] == [one.outcome.name for one in compared.plans] == list(PLANS)[: len(rows)]
    for row, plan, one in zip(rows, record["plans"], compared.plans, strict=True):
        assert row["verdict"] == plan["verdict"] == one.verdict.value
        assert int(row["people_on_site"]) == one.outcome.people
        if math.isinf(one.outcome.p80.value):
            assert (row["p80_days"], plan["p80_days"], plan["p80_change_days"]) == ("", None, None)
        else:
            assert float(row["p80_days"]) == pytest.approx(one.outcome.p80.value / 24)
            assert float(row["p80_change_days_low"]) == pytest.approx(one.against.p80.low / 24)
        assert float(row["on_time"]) == one.outcome.chance.probability


def test_the_picture_alone_can_be_saved(tmp_path):
    assert [file.suffix for file in save_comparison(found("without"), tmp_path / "picture")] == [".svg", ".png"]


def test_the_files_are_called_after_what_is_varied_whatever_its_values_are():
    assert asked(comparison("as written", "people=16")) == "compare_people"
    assert asked(found("by a deadline")).startswith("compare_people_start_count_truck-haul_wet_spell")
    assert asked(comparison("never", "open")) == "compare_never_open"
    assert len(asked(comparison(*(f"twin {number}" for number in range(7)), "late and open", "hardly earlier"))) <= 60
