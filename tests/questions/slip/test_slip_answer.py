"""How what it costs to come late reads: sentences, tables, record and picture."""

import io
import json
from dataclasses import replace

import numpy as np
import pytest
from rich.console import Console
from words_on_pictures import assert_readable, drawn

from simulation.present.renderers.record import answer_record, as_json, write_answer
from simulation.present.renderers.terminal import print_answer
from simulation.questions.slip.answer import slip_answer
from simulation.questions.slip.picture import draw_slip
from simulation.questions.slip.record import slip_record
from simulation.questions.slip.sentences import slip_headline, slip_lines
from simulation.questions.slip.study import slip
from simulation.scenario import load_scenario, parse_scenario, shipped
from simulation.stats.paired_difference import Difference
from simulation.study.run_context import RunContext

RUNS = 20


@pytest.fixture(scope="module")
def result():
    return slip(load_scenario(shipped("first_look")), RunContext(runs=RUNS, workers=1, deadline="31 h"), by="1 day,2 day")


def printed(result, width=80, full=True):
    console = Console(file=io.StringIO(), width=width, markup=False, highlight=False)
    print_answer(slip_answer(result), console, full)
    return console.file.getvalue()


@pytest.mark.parametrize("width", [80, 100])
@pytest.mark.parametrize("full", [False, True])
def test_the_tables_fit_the_terminal_and_the_short_form_a_page(result, width, full):
    text = printed(result, width, full)
    assert max(map(len, text.splitlines())) <= width
    assert "…" not in text
    assert full or len(text.splitlines()) <= 45
    assert " ".join(text.split()).endswith(slip_headline(result))


def test_each_longest_delay_is_said_with_what_it_does_to_the_chance(result):
    said = slip_lines(result)
    assert said[1].startswith("Crew A 2 days late: the 80 % date moves ")
    assert f"ready by 31 h: in 0 of {RUNS} runs instead of {result.outcome.chance.count}, " in said[1]
    assert "chance)" not in " ".join(said)
    text = printed(result)
    assert text.count("sampling error only") == 2
    assert text.count("crew A") == 3  # once in each table, of which one goes on below


def test_the_headline_is_the_delay_that_costs_most(result):
    worst = max(result.rows, key=lambda row: row.against.p80.value)
    assert worst.trial.late.name == "crew.A"
    assert slip_headline(result).startswith("Crew A 2 days late costs most of the delays tried: it moves the 80 % date ")
    assert len(slip_headline(result)) <= 200


def test_things_that_cost_as_much_at_the_same_delay_are_named_together(result):
    """Two crews alike: neither costs most."""
    crew = [row for row in result.rows if row.trial.late.name == "crew.A"]
    other = [replace(row, trial=replace(row.trial, late=replace(row.trial.late, name="crew.B", called="crew B"))) for row in crew]
    said = slip_headline(replace(result, rows=(*result.rows, *other)))
    assert said.startswith(
        "Crew A and crew B, each alone 2 days late, cost most of the delays tried: either moves the 80 % date "
    )


def test_the_record_has_the_shapes_of_every_question(result):
    whole = json.loads(as_json(answer_record(slip_answer(result))))
    record = whole["answer"]
    assert (whole["question"], record["by"], record["what"], record["deadline"]) == ("slip", "1 day,2 day", None, "31 h")
    assert [delay["what"] for delay in record["delays"]] == 2 * ["forklift"] + 2 * ["crew.A"]
    assert record["delays"][2]["changes"] == ["crew.A.from=24.0 h"]
    assert record["delays"][3]["p80_change"]["days"] == pytest.approx(result.rows[3].against.p80.value / 24)
    assert [record["headline"], *record["lines"]] == [slip_headline(result), *slip_lines(result)]
    assert whole["study"]["seed"] == 1


@pytest.mark.usefixtures("painted")
def test_its_files_bear_what_comes_late_and_are_the_same_each_time(result, tmp_path):
    for what, stem in (((), "slip"), (("crew.A", "forklift"), "slip_crew-A_forklift")):
        answer = slip_answer(replace(result, what=what))
        files = write_answer(answer, tmp_path, lambda _: printed(result))
        assert [file.name for file in files] == [f"{stem}.{ending}" for ending in ("json", "txt", "svg", "png")]
        first = [file.read_bytes() for file in files]
        write_answer(answer, tmp_path, lambda _: printed(result))
        assert [file.read_bytes() for file in files] == first
        assert json.loads(files[0].read_text(encoding="utf-8"))["answer"]["what"] == (list(what) or None)


def test_the_picture_states_its_conclusion_and_shows_each_delay(result):
    figure = drawn(draw_slip, result)
    assert_readable(figure)
    assert " ".join(figure.texts[0].get_text().split()) == slip_headline(result)
    (axes,) = figure.axes
    labels = [text.get_text().replace("\n", " ") for text in axes.get_legend().get_texts()]
    assert labels[1:] == [
        "the forklift" if len(result.rows[0].outcome.scenario.forklifts.all_since) == 1 else "one forklift",
        "crew A",
    ]
    costs = [line for line in axes.get_lines() if line.get_label() == "crew A"]
    assert list(costs[0].get_ydata()) == pytest.approx([row.against.p80.value for row in result.rows[2:]])


def test_a_mark_that_stands_aside_lies_above_the_line_only_where_it_costs_more_than_the_delay(result):
    """Beside the marks of one delay the line on which all of it is lost is level."""
    (axes,) = drawn(draw_slip, result).axes
    no_slack = next(line for line in axes.get_lines() if "no slack" in line.get_label())
    delays = [row.trial.delay.hours for row in result.rows if row.trial.late.name == result.rows[0].trial.late.name]
    for label in ("crew A", axes.get_legend().get_texts()[1].get_text().replace("\n", " ")):
        marks = next(line for line in axes.get_lines() if line.get_label() == label).get_xdata()
        assert list(np.interp(marks, *no_slack.get_data())) == pytest.approx(delays)


def test_a_delay_that_costs_less_more_or_nothing_is_called_so(result):
    crew = result.rows[-1]

    def sentence(value, low, high):
        change = Difference(value, low, high)
        row = replace(crew, against=replace(crew.against, p80=change, around_p80=change), identical=False)
        return slip_lines(replace(result, rows=(row,)))[0]

    assert "50 % of the delay; the rest is absorbed" in sentence(24.0, 23.0, 25.0)
    assert "day for day" in sentence(47.0, 46.0, 49.0)
    assert "more than the delay itself" in sentence(60.0, 58.0, 62.0)
    assert "day for day" in sentence(47.9, 47.8, 47.95)
    assert "83 % of the delay, or possibly all of it" in sentence(40.0, 20.0, 49.0)
    around = "(dates around it, in hours on shift: 95 % interval 1.0 hour earlier to {} hours later)"
    no_matter = f"no difference that matters to the 80 % date {around.format(2.0)}"
    assert crew.margin == pytest.approx(5.5)
    assert no_matter in sentence(1.0, -1.0, 2.0)
    too_close = f"a difference to the 80 % date that is too close to call {around.format(5.6)}"
    assert too_close in sentence(1.0, -1.0, 5.6)
    assert "no difference that matters to the 80 % date." in sentence(0.0, 0.0, 0.0).replace("; the mean", ".")
    assert "too few runs for an interval)" in sentence(1.0, None, None)


def test_things_whose_delay_costs_nothing_share_one_sentence(result):
    nothing = Difference(0.0, -1.0, 1.0)
    rows = tuple(
        replace(row, against=replace(row.against, p80=nothing, around_p80=nothing, mean=nothing, chance=nothing), identical=False)
        for row in result.rows
    )
    lines = slip_lines(replace(result, rows=rows))
    assert lines[0] == "No difference that matters to the 80 % date: one forklift 2 days late, crew A 2 days late."
    assert lines[1].startswith("Current plan: ready at P50 ")


def test_where_no_delay_does_anything_the_headline_says_so(result):
    still = tuple(
        replace(
            row, against=replace(row.against, p80=Difference(0.0, 0.0, 0.0), around_p80=Difference(0.0, 0.0, 0.0)), identical=True
        )
        for row in result.rows
    )
    assert slip_headline(replace(result, rows=still)) == "None of the delays tried makes a difference to any run."
    assert slip_headline(replace(result, rows=still[:2])) == "One forklift 2 days late makes no difference to any run."
    small, unclear = (
        tuple(replace(row, against=replace(row.against, p80=change, around_p80=change), identical=False) for row in result.rows)
        for change in (Difference(0.0, -1.0, 1.0), Difference(0.0, -9.0, 9.0))
    )
    none = "None of the delays tried makes a {} to the 80 % date."
    assert slip_headline(replace(result, rows=small)) == none.format("difference that matters")
    assert slip_headline(replace(result, rows=unclear)) == none.format("measurable difference")
    single = "One forklift 2 days late makes a difference to the 80 % date that is too close to call."
    assert slip_headline(replace(result, rows=unclear[:2])) == single
    assert slip_headline(replace(result, rows=())) == "No delay was tried."


def test_where_the_current_plan_is_not_ready_in_time_a_delay_is_not_blamed():
    text = shipped("first_look").read_text(encoding="utf-8").replace('horizon = "30 day"', 'horizon = "32 h"')
    late = slip(parse_scenario(text), RunContext(runs=RUNS, workers=1), what=["crew.A"], by="1 day")
    assert (
        slip_lines(late)[0] == "Crew A 1 day late: the 80 % date lies after the last day simulated, as it does without the delay."
    )
    assert slip_headline(late) == "The 80 % date lies after the last day simulated even without a delay."
    as_json(slip_record(late))
    draw_slip(late)


def test_a_delay_that_moves_the_dates_around_p80_and_not_p80_measurably_is_told_by_them(result):
    crew = result.rows[-1]
    changes = replace(crew.against, p80=Difference(9.0, -1.0, 14.0), around_p80=Difference(4.0, 2.0, 6.0))
    alone = replace(result, rows=(replace(crew, against=changes, identical=False),))
    around = "the dates around the 80 % date move 4.0 hours on shift later (95 % interval 2.0 to 6.0)"
    moved = f"{around}, the 80 % date itself not measurably"
    assert slip_lines(alone)[0].startswith(f"Crew A 2 days late: {moved}")
    assert slip_headline(alone) == f"Crew A 2 days late: {moved}."
