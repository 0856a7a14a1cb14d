"""What matters most as text, as JSON and as a picture."""

import io
import json
import math

import numpy as np
import pandas as pd
import pytest
from matplotlib import image
from rich.console import Console
from summing_strip import summing

from simulation.construction import compile_plan
from simulation.present.cautions import CAUTIONS
from simulation.present.own_files import RECORD
from simulation.present.record import as_json
from simulation.questions.sensitivity.answer import answer
from simulation.questions.sensitivity.level_inputs import inputs_of
from simulation.questions.sensitivity.picture import draw_sensitivity, save_sensitivity
from simulation.questions.sensitivity.record import sensitivity_record, write_sensitivity
from simulation.questions.sensitivity.study import read_sensitivity, sensitivity
from simulation.questions.sensitivity.tables import print_sensitivity
from simulation.scenario import Scenario, load_scenario
from simulation.study.calendar import make_calendar
from simulation.study.deadline import read_deadline
from simulation.study.run_context import RunContext

PLACE = {"p10": "1 h", "p90": "3 h"}
SHARED = {**PLACE, "shared_by": "crews"}


def printed(found, width=80):
    page = Console(file=io.StringIO(), width=width, markup=False, highlight=False, emoji=False)
    print_sensitivity(found, page)
    return page.file.getvalue()


def flat(text):
    return " ".join(text.split())


def invented(scenario: Scenario, count, hours, deadline=None):
    """Return what runs say whose inputs are normal and whose readiness is what `hours` makes of them."""
    inputs = inputs_of(scenario, compile_plan(scenario))
    values = np.random.default_rng(1).standard_normal((count, len(inputs)))
    table = pd.DataFrame({"run": range(count)})
    for place, one in enumerate(inputs):
        for key in one.keys:
            table[f"level.{key}"] = values[:, place]
    for milestone in scenario.milestones:
        table[f"milestone.{milestone.name}"] = hours(values)
    return read_sensitivity(scenario, table, 3, count, read_deadline(deadline, make_calendar(scenario)) if deadline else None)


@pytest.fixture(scope="module")
def fixed():
    """Return a question with a tornado and a deadline, of two levels that matter and one that does not."""
    scenario = summing(place=SHARED, pick_up=SHARED, starter=PLACE, connect=PLACE)
    return sensitivity(scenario, RunContext(runs=150, workers=1, deadline="16 h"), tornado=True)


@pytest.mark.parametrize("width", [80, 120])
def test_no_line_is_wider_than_the_terminal_and_no_number_is_cut(fixed, width):
    shipped = load_scenario()
    late = invented(shipped, 200, lambda x: np.where(x[:, 0] > 1, math.inf, 200 + 20 * x[:, 0]), "9 day")
    for found in (fixed, late, invented(shipped, 30, lambda x: 200 + x[:, 0])):
        text = printed(found, width)
        assert max(len(line) for line in text.splitlines()) <= width
        assert "…" not in text
        assert "nan" not in text
        assert "\x1b" not in text


def test_the_answer_comes_first_and_names_level_share_interval_and_direction(fixed):
    lines = answer(fixed)
    assert lines[0].startswith(
        "Known today, crews (laying.pick_up, laying.place) would move P80 farthest: at its P10 (1 h, 1 h) P80 comes "
    )
    assert "earlier (95 % interval" in lines[0]
    assert f"a swing of {fixed.bars[0].span / 24:.2f} days" in lines[0]
    assert lines[0].endswith("Nothing else can be measurable.")
    assert lines[1].startswith("Of the spread of readiness crews alone explains most: ")
    assert "more of it is later" in lines[1]
    assert "laying.connect" not in " ".join(lines)
    assert "ready by 16 h: " in lines[2]
    assert flat(" ".join(lines)) in flat(printed(fixed))


def test_what_cannot_be_told_stands_in_brackets_and_what_moves_as_one_is_named(fixed):
    text = printed(fixed)
    row = next(line for line in text.splitlines() if line.startswith("laying.connect "))
    assert row.count("(") == 2
    swing, crews = [line for line in text.splitlines() if line.startswith("crews ")][:2]
    assert "(" not in crews + swing
    assert "With 3 levels looked at at once, each must clear a higher bar" in flat(text)
    assert "These move as one and count as one: crews (laying.pick_up, laying.place)." in flat(text)
    assert "Not shown, no swing in P80 that can be told: laying.connect." in flat(text)


def test_the_notes_say_what_the_measures_miss_and_how_many_runs_it_takes(fixed):
    text = flat(printed(fixed))
    assert "It misses effects that rise and fall" in text
    assert "S / (1 + f)" in text
    assert "With 150 runs and 3 levels a share below" in text
    assert "1 % takes about" in text
    assert text.count("sampling error only") == 3
    assert "corrected for its bias with few runs" in text


def test_levels_move_p80_by_what_stands_in_the_table(fixed):
    lines = printed(fixed).splitlines()
    place = next(number for number, line in enumerate(lines) if line.startswith("level known to be"))
    crews, low, high = lines[place + 2 : place + 5]
    assert crews.split()[:3] == ["crews", "swing", f"{fixed.bars[0].span / 24:.2f}"]
    change = fixed.bars[0].low.against.p80.value / 24
    assert low.startswith("  P10: 1 h, 1 h")
    assert f"{change:+.2f}" in low
    assert high.startswith("  P90: 3 h, 3 h")


def test_nothing_is_claimed_where_nothing_can_be_told():
    scenario = summing(place=PLACE, starter=PLACE)
    luck = np.random.default_rng(9)
    none = invented(scenario, 200, lambda x: 100 + luck.standard_normal(len(x)))
    assert answer(none)[0].startswith("No level can be measurable by its share of the spread with 200 runs")
    same = invented(scenario, 200, lambda x: np.full(len(x), 50.0))
    assert "all runs are ready at the same hour" in answer(same)[0]
    few = invented(scenario, 30, lambda x: 100 + x[:, 0])
    assert answer(few)[0] == (
        "What nobody knows today about laying.place matters most, and more of it is later; fewer than 100 runs tell no shares. "
        "Nothing else can be measurable."
    )
    assert answer(sensitivity(summing(), RunContext(runs=3, workers=1)))[0].startswith("Every level of this scenario is known")
    printed(same), printed(few)


def test_an_effect_that_rises_and_falls_is_named_without_a_direction():
    scenario = summing(place=PLACE, starter=PLACE)
    found = invented(scenario, 400, lambda x: 100 + 10 * np.abs(x[:, 0]) + x[:, 1])
    assert "more of it" not in answer(found)[0]
    assert "hardly in one direction; it may rise and fall: laying.place" in flat(printed(found))


def test_unfinished_runs_and_an_early_stop_are_said():
    scenario = summing(place=PLACE)
    text = flat(" ".join(answer(invented(scenario, 200, lambda x: np.where(x[:, 0] > 1, math.inf, 100 + x[:, 0])))))
    assert "not ready by the last day simulated: ranked last" in text


def test_the_record_is_json_with_the_same_numbers(fixed):
    found = json.loads(as_json(sensitivity_record(fixed)))
    assert found["answer"] == answer(fixed)
    assert [level["level"] for level in found["levels"]] == [one.input.name for one in fixed.inputs]
    crews = found["levels"][0]
    assert crews["keys"] == ["laying.pick_up", "laying.place"]
    assert crews["first_order"]["value"] == fixed.inputs[0].share.value
    assert crews["spearman"]["interval"] == [fixed.inputs[0].rank.low, fixed.inputs[0].rank.high]
    (bar, *_) = found["tornado"]
    assert bar["p10"]["known_to_be"] == "1 h, 1 h"
    assert bar["p80_swing_days"]["value"] == fixed.bars[0].span / 24
    assert found["question"] == {
        "command": "sensitivity",
        "tornado": True,
        "deadline": "16 h",
        "runs": 150,
        "seed": fixed.seed,
    }
    assert found["cautions"]
    assert bar["p90"]["p80_change_days"]["value"] == fixed.bars[0].high.against.p80.value / 24
    assert found["deadline"]["probability"] == fixed.outcome.chance.probability
    assert found["interval_covers"]


def test_what_is_not_known_is_null():
    scenario = summing(place=PLACE)
    found = json.loads(as_json(sensitivity_record(invented(scenario, 20, lambda x: np.full(len(x), math.inf)))))
    assert found["readiness"]["p80_days"]["value"] is None
    assert found["levels"][0]["first_order"] is None
    assert found["levels"][0]["spearman"] is None
    assert found["tornado"] is found["deadline"] is found["explained_together"] is None


def words_of(file):
    return file.read_text(encoding="utf-8")


def test_the_tornado_bears_the_inputs_at_either_end_and_its_caution(fixed, tmp_path):
    svg, png = save_sensitivity(fixed, tmp_path / "sensitivity")
    assert image.imread(png).std() > 0.05
    text = words_of(svg)
    axis = "change of the P80 of readiness, days"
    for label in ("1 h, 1 h", "3 h, 3 h", "level at its P10, its low end", axis, "sampling error only"):
        assert f"<!-- {label}" in text or label in text


def test_without_a_tornado_shares_and_rank_correlations_are_drawn(tmp_path):
    scenario = summing(place=PLACE, starter=PLACE)
    found = invented(scenario, 200, lambda x: 100 + 3 * x[:, 0] + x[:, 1])
    files = write_sensitivity(found, tmp_path / "new")
    assert [file.name for file in files] == ["sensitivity.json", "sensitivity.svg", "sensitivity.png"]
    assert {file.name for file in (tmp_path / "new").iterdir()} == {
        RECORD,
        *(f"sensitivity.{end}" for end in ("json", "svg", "png")),
    }
    assert json.loads(words_of(files[0])) == json.loads(as_json(sensitivity_record(found)))
    text = words_of(files[1])
    assert "share of the spread, alone" in text
    assert "rank correlation" in text
    assert image.imread(files[2]).std() > 0.05


def test_the_same_question_gives_the_same_picture(fixed, tmp_path):
    (first, _), (second, _) = (save_sensitivity(fixed, tmp_path / name) for name in "ab")
    assert first.read_bytes() == second.read_bytes()


def test_a_question_without_levels_or_with_unknown_bars_is_drawn_all_the_same(tmp_path):
    save_sensitivity(sensitivity(summing(), RunContext(runs=3, workers=1)), tmp_path / "none")
    beyond = sensitivity(
        summing(place={"p10": "1 h", "p90": "400 h"}, horizon="20 day"), RunContext(runs=120, workers=1), tornado=True
    )
    assert "after the last day simulated" in " ".join(answer(beyond))
    assert "Beyond: after the last day simulated" in flat(printed(beyond))
    json.loads(as_json(sensitivity_record(beyond)))
    save_sensitivity(beyond, tmp_path / "beyond")


def test_headline_tables_and_picture_stand_in_one_order(fixed):
    names = [bar.input.name for bar in fixed.bars]
    assert [bar.span for bar in fixed.bars] == sorted((bar.span for bar in fixed.bars), reverse=True)
    assert [one.input.name for one in fixed.inputs] == names == ["crews", "laying.starter_key_strip", "laying.connect"]
    text = printed(fixed)
    assert [line.split()[0] for line in text.splitlines() if "  swing  " in line] == names[:2]
    (axes,) = draw_sensitivity(fixed).axes
    assert [label.get_text() for label in axes.get_yticklabels()] == names[:2]
    marks = [mark.get_text() for mark in axes.texts]
    assert marks[:2] == ["P10: 1 h, 1 h", "P90: 3 h, 3 h"]


def test_no_bracketed_level_is_named_where_few_runs_tell_none():
    luck = np.random.default_rng(4)
    found = invented(summing(place=PLACE, starter=PLACE), 40, lambda x: 100 + luck.standard_normal(len(x)), "4 day")
    said = " ".join(answer(found))
    assert said.startswith("What explains most of the spread of readiness cannot be told: fewer than 100 runs tell no shares.")
    assert "laying." not in said
    assert "of 40 runs (95 % interval" in said


def test_the_cautions_close_the_page(fixed):
    assert printed(fixed, 200).splitlines()[-len(CAUTIONS) :] == [f"* {caution}" for caution in CAUTIONS]
