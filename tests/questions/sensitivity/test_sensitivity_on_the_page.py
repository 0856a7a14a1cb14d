"""What matters most as text, as JSON and as a picture."""

import io
import json
import math
import re

import numpy as np
import pandas as pd
import pytest
from every_key_scenario import every_key
from fields import summing
from rich.console import Console
from words_on_pictures import assert_readable, drawn, text_of

from simulation.construction import compile_plan
from simulation.present.answer import CAUTIONS
from simulation.present.renderers.record import answer_record, as_json
from simulation.present.renderers.terminal import print_answer
from simulation.questions.sensitivity.answer import sensitivity_answer
from simulation.questions.sensitivity.input_words import _WORDS, input_in_words, input_name
from simulation.questions.sensitivity.level_inputs import list_inputs
from simulation.questions.sensitivity.picture import draw_sensitivity
from simulation.questions.sensitivity.sentences import sensitivity_lines
from simulation.questions.sensitivity.study import read_sensitivity, sensitivity
from simulation.scenario import Scenario, load_scenario
from simulation.study.calendar import make_calendar
from simulation.study.deadline import read_deadline
from simulation.study.run_context import RunContext

PLACE = {"p10": "1 h", "p90": "3 h"}
SHARED = {**PLACE, "shared_by": "crews"}
CREWS = "how long it takes to pick up a mat and to place and seat a mat (crews)"


def printed(result, width=80, full=True):
    page = Console(file=io.StringIO(), width=width, markup=False, highlight=False, emoji=False)
    print_answer(sensitivity_answer(result), page, full)
    return page.file.getvalue()


def record(result):
    return json.loads(as_json(answer_record(sensitivity_answer(result))))["answer"]


def flat(text):
    return " ".join(text.split())


def invented(scenario: Scenario, count, hours, deadline=None):
    """Return what runs say whose inputs are normal and whose readiness is what `hours` makes of them."""
    inputs = list_inputs(scenario, compile_plan(scenario))
    values = np.random.default_rng(1).standard_normal((count, len(inputs)))
    table = pd.DataFrame({"run": range(count)})
    for column, level in enumerate(inputs):
        for key in level.keys:
            table[f"level.{key}"] = values[:, column]
    for milestone in scenario.milestones:
        table[f"milestone.{milestone.name}"] = hours(values)
    return read_sensitivity(scenario, table, 3, count, read_deadline(deadline, make_calendar(scenario)) if deadline else None)


@pytest.fixture(scope="module")
def fixed():
    """Return a question with a tornado and a deadline, of two levels that matter and one that does not."""
    scenario = summing(place=SHARED, pick_up=SHARED, starter=PLACE, connect=PLACE)
    return sensitivity(scenario, RunContext(runs=150, workers=1, deadline="16 h"), tornado=True)


def test_every_uncertain_key_of_a_scenario_has_words_and_no_words_lack_a_key():
    keys = {plan.key for ending in ("records", "taken_up") for plan in compile_plan(every_key(ending)).levels}
    block = r"^(area|task)\.\w+\.|(?<=trucks\.)1\.|(?<=shipments\.)1\."
    named = {re.sub(block, lambda name: f"{name[1]}." if name[1] else "", key) for key in keys}
    otherwise = {key for key in _WORDS if key.startswith("up.")}  # what a key means where the field is taken up
    assert named == set(_WORDS) - otherwise
    assert {key.removeprefix("up.") for key in otherwise} <= named


def test_an_input_is_named_in_words_with_its_key_in_brackets():
    names = {level.name: input_name(level) for level in list_inputs(load_scenario(), compile_plan(load_scenario()))}
    said = "how long a forklift takes to pick up or set down a pallet (forklifts.handle)"
    assert names["forklifts.handle"] == said
    assert names["crews"] == CREWS
    drill = next(level for level in list_inputs(every_key(), compile_plan(every_key())) if level.name.endswith("drill"))
    assert input_in_words(drill) == "how long it takes to drill a tie-down hole"


def test_no_line_is_wider_than_the_terminal_and_no_number_is_cut(fixed):
    shipped = load_scenario()
    late = invented(shipped, 200, lambda x: np.where(x[:, 0] > 1, math.inf, 200 + 20 * x[:, 0]), "9 day")
    for result in (fixed, late, invented(shipped, 30, lambda x: 200 + x[:, 0])):
        for width in (80, 120):
            text = printed(result, width)
            assert max(len(line) for line in text.splitlines()) <= width
            assert "…" not in text
            assert "nan" not in text
            assert "\x1b" not in text


def test_the_short_form_has_room_on_one_screen_however_many_inputs_there_are(fixed):
    many = invented(load_scenario(), 400, lambda x: 200 + x.sum(axis=1), "9 day")
    assert len(many.measurable_rows) > 6
    for result in (fixed, many):
        assert len(printed(result, full=False).splitlines()) <= 45
    assert "How to read" not in printed(many, full=False)


def test_rows_stand_once_in_the_full_form_the_short_ones_first():
    many = invented(load_scenario(), 400, lambda x: 200 + x.sum(axis=1))
    parts = [part for part in sensitivity_answer(many).parts if part.title.startswith("Share")]
    assert [part.short for part in parts] == [True, False]
    names = [row[0] for part in parts for row in part.blocks[0].rows]
    assert names == [input_name(row.input) for row in many.rows]


def test_the_headline_names_input_ends_and_changes_and_the_lines_their_intervals(fixed):
    headline, *lines = sensitivity_lines(fixed)
    assert headline.startswith(f"H{CREWS[1:]} matters most to the 80 % date: ")
    assert "earlier at its low end (1 h, 1 h), " in headline
    assert headline.endswith("later at its high end (3 h, 3 h).")
    assert len(headline) <= 230
    assert f"the date swings by {fixed.bars[0].span / 24:.2f} days: at its low end 95 % interval" in lines[0]
    assert "No other input's effect on the 80 % date shows in these runs." in lines
    assert any(line.startswith(f"Of the spread of the ready date, {CREWS} alone explains most: ") for line in lines)
    assert any(line.endswith("the longer it takes, the later the field is ready.") for line in lines)
    assert "laying.connect" not in " ".join(lines)
    assert any("ready by 16 h: " in line for line in lines)
    assert flat(printed(fixed)).endswith(headline)


def test_what_is_not_measurable_stands_in_brackets_and_what_moves_as_one_is_named(fixed):
    rows = {row[0]: row for part in sensitivity_answer(fixed).parts[2:] for row in getattr(part.blocks[0], "rows", ())}
    connect = rows["how long it takes to connect two areas (laying.connect)"]
    assert connect[1].startswith("(") and connect[3].startswith("(")
    assert not any(cell.startswith("(") for cell in rows[CREWS][1:])
    text = flat(printed(fixed))
    assert "With 3 inputs looked at together, each must clear a higher bar" in text
    assert "These keys share a name, move as one and count as one: crews (laying.pick_up, laying.place)." in text
    assert "Not shown, no measurable swing of P80: laying.connect." in text


def test_the_notes_say_what_the_measures_miss_and_how_many_runs_it_takes(fixed):
    text = flat(printed(fixed))
    assert "It misses effects that rise and then fall" in text
    assert "S / (1 + f)" in text
    assert "With 150 runs and 3 inputs a share below" in text
    assert "1 % takes about" in text
    assert text.count("sampling error only") == 3
    assert "corrected for its bias with few runs" in text


def test_inputs_move_p80_by_what_stands_in_the_table(fixed):
    crews, low, high = sensitivity_answer(fixed).parts[0].blocks[0].rows[:3]
    assert crews[:4] == (CREWS, "", "swing", f"{fixed.bars[0].span / 24:.2f}")
    change = fixed.bars[0].low.against.p80.value / 24
    assert low[0] == "  low end: 1 h, 1 h"
    assert f"{change:+.2f}" in low
    assert high[0] == "  high end: 3 h, 3 h"


def test_nothing_is_claimed_where_nothing_is_measurable():
    scenario = summing(place=PLACE, starter=PLACE)
    luck = np.random.default_rng(9)
    none = invented(scenario, 200, lambda x: 100 + luck.standard_normal(len(x)))
    assert sensitivity_lines(none)[0] == "No input's effect on the ready date shows in these 200 runs."
    same = invented(scenario, 200, lambda x: np.full(len(x), 50.0))
    assert sensitivity_lines(same)[1] == "All runs are ready at the same hour, so there is no spread to explain."
    few = invented(scenario, 30, lambda x: 100 + x[:, 0])
    assert sensitivity_lines(few)[:3] == [
        "The biggest unknown is how long it takes to place and seat a mat (laying.place): "
        "the longer it takes, the later the field is ready.",
        "With fewer than 100 runs the size of an effect cannot be given.",
        "No other input's effect shows in these 30 runs.",
    ]
    fixed = sensitivity(summing(), RunContext(runs=3, workers=1))
    assert sensitivity_lines(fixed)[0].startswith("Every input has a fixed value, so there is nothing to rank")
    printed(same), printed(few), printed(fixed)


def test_an_effect_that_rises_and_falls_is_named_without_a_direction():
    scenario = summing(place=PLACE, starter=PLACE)
    result = invented(scenario, 400, lambda x: 100 + 10 * np.abs(x[:, 0]) + x[:, 1])
    assert "the longer it takes" not in sensitivity_lines(result)[0]
    said = "it may rise and then fall: how long it takes to place and seat a mat (laying.place)"
    assert said in flat(printed(result))


def test_unfinished_runs_are_said():
    scenario = summing(place=PLACE)
    lines = sensitivity_lines(invented(scenario, 200, lambda x: np.where(x[:, 0] > 1, math.inf, 100 + x[:, 0])))
    assert any("of 200 not ready by the last day simulated: ranked last" in line for line in lines)


def test_the_record_has_the_same_numbers(fixed):
    found = record(fixed)
    assert found["headline"] == sensitivity_lines(fixed)[0]
    assert [row["input"] for row in found["inputs"]] == [row.input.name for row in fixed.rows]
    crews = found["inputs"][0]
    assert crews["keys"] == ["laying.pick_up", "laying.place"]
    assert crews["share_of_spread"]["share"] == fixed.rows[0].share.value
    assert crews["rank_correlation"]["interval"] == [fixed.rows[0].rank.low, fixed.rows[0].rank.high]
    (bar, *_) = found["tornado"]
    assert bar["at_p10"]["known_to_be"] == "1 h, 1 h"
    assert bar["p80_swing"]["days"] == fixed.bars[0].span / 24
    assert bar["at_p90"]["p80_change"]["days"] == fixed.bars[0].high.against.p80.value / 24
    assert (found["deadline"], found["asked"], found["runs"]) == ("16 h", 150, 150)
    assert found["current_plan"]["deadline"]["chance"]["share"] == fixed.outcome.chance.probability
    assert found["cautions"] and found["interval_covers"]


def test_what_is_not_known_is_null():
    scenario = summing(place=PLACE)
    found = record(invented(scenario, 20, lambda x: np.full(len(x), math.inf)))
    assert found["current_plan"]["p80"]["days"] is None
    assert found["inputs"][0]["share_of_spread"] is None
    assert found["inputs"][0]["rank_correlation"] is None
    assert found["tornado"] is found["deadline"] is found["explained_together"] is None


def test_the_tornado_bears_the_inputs_at_either_end_its_conclusion_and_its_caution(fixed):
    figure = drawn(draw_sensitivity, fixed)
    assert_readable(figure)
    text = flat(text_of(figure))
    title = "Matters most to the 80 % date: how long it takes to pick up a mat and to place and seat a mat"
    ends = ("P10: 1 h, 1 h", "P90: 3 h, 3 h", "known to be at its low end", "change of the 80 % date, days")
    for words in (title, *ends, "sampling error only", "1 input without a measurable swing not drawn"):
        assert words in text


def test_without_a_tornado_shares_and_rank_correlations_are_drawn():
    scenario = summing(place=PLACE, starter=PLACE)
    figure = drawn(draw_sensitivity, invented(scenario, 200, lambda x: 100 + 3 * x[:, 0] + x[:, 1]))
    assert_readable(figure)
    text = flat(text_of(figure))
    title = "The biggest unknown: how long it takes to place and seat a mat"
    axes = ("share of the spread that it explains alone", "rank correlation")
    for words in (title, *axes, "measurable effect", "no measurable effect"):
        assert words in text


@pytest.mark.usefixtures("painted")
def test_the_same_question_gives_the_same_picture(fixed, tmp_path):
    files = []
    for name in "ab":
        (tmp_path / name).mkdir()
        files.append(sensitivity_answer(fixed).figures[0].save(tmp_path / name))
    (first, _), (second, _) = files
    assert (first.name, first.read_bytes()) == ("tornado.svg", second.read_bytes())


def test_a_question_without_levels_or_with_unknown_bars_is_drawn_all_the_same():
    assert_readable(drawn(draw_sensitivity, sensitivity(summing(), RunContext(runs=3, workers=1))))
    beyond = sensitivity(
        summing(place={"p10": "1 h", "p90": "400 h"}, horizon="20 day"), RunContext(runs=120, workers=1), tornado=True
    )
    assert "after the last day simulated at its high end" in sensitivity_lines(beyond)[0]
    assert "Beyond: after the last day simulated" in flat(printed(beyond))
    record(beyond)
    assert_readable(drawn(draw_sensitivity, beyond))


def test_headline_tables_and_picture_stand_in_one_order(fixed):
    names = [input_name(bar.input) for bar in fixed.bars]
    assert [bar.span for bar in fixed.bars] == sorted((bar.span for bar in fixed.bars), reverse=True)
    assert [row.input.name for row in fixed.rows] == ["crews", "laying.starter_key_strip", "laying.connect"]
    tornado, shares = (sensitivity_answer(fixed).parts[index].blocks[0].rows for index in (0, 2))
    assert [row[0] for row in tornado if row[2] == "swing"] == names[:2]
    assert [row[0] for row in shares] == names
    (axes,) = drawn(draw_sensitivity, fixed).axes
    assert [flat(label.get_text()) for label in axes.get_yticklabels()] == names[:2]
    assert [mark.get_text() for mark in axes.texts][:2] == ["P10: 1 h, 1 h", "P90: 3 h, 3 h"]


def test_an_input_that_cannot_be_told_from_the_next_is_one_of_the_biggest_unknowns():
    both = invented(summing(place=PLACE, starter=PLACE), 80, lambda x: 100 + x[:, 0] + 0.9 * x[:, 1])
    first, second = (row.input for row in both.rows)
    assert both.beside == (second,)
    said = f"One of the biggest unknowns, with {input_in_words(second)}, is {input_name(first)}: the longer"
    assert sensitivity_lines(both)[0].startswith(said)
    clear = invented(summing(place=PLACE, starter=PLACE), 80, lambda x: 100 + x[:, 0] + 0.3 * x[:, 1])
    assert sensitivity_lines(clear)[0].startswith("The biggest unknown is ") and not clear.beside


def test_no_input_is_named_where_few_runs_detect_none():
    luck = np.random.default_rng(4)
    result = invented(summing(place=PLACE, starter=PLACE), 40, lambda x: 100 + luck.standard_normal(len(x)), "4 day")
    said = " ".join(sensitivity_lines(result))
    assert said.startswith("No input's effect on the ready date shows in these 40 runs. With fewer than 100 runs")
    assert "laying." not in said
    assert "of 40 runs (95 % interval" in said


def test_the_cautions_stand_before_the_headline(fixed):
    assert flat(" ".join(CAUTIONS)) in flat(printed(fixed, 200, full=False))
