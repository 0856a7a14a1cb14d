"""How what holds a run up reads: sentences, tables, record and picture."""

import io
import json
import math
import re
from dataclasses import replace

import pandas as pd
import pytest
from rich.console import Console
from scenarios import LEAST, make_scenario
from words_on_pictures import assert_readable, drawn

from simulation.present.own_files import RECORD
from simulation.present.renderers.record import answer_record, as_json, write_answer
from simulation.present.renderers.terminal import print_answer
from simulation.present.words.trial_words import name_effect
from simulation.questions.bottlenecks.answer import MOST, bottlenecks_answer
from simulation.questions.bottlenecks.idea import Kind
from simulation.questions.bottlenecks.ideas import list_ideas
from simulation.questions.bottlenecks.picture import draw_bottlenecks
from simulation.questions.bottlenecks.record import bottlenecks_record
from simulation.questions.bottlenecks.sentences import bottleneck_lines, gain_lines, held_back, warning_lines
from simulation.questions.bottlenecks.study import bottlenecks
from simulation.scenario import load_scenario, parse_scenario, shipped
from simulation.stats.paired_difference import Difference
from simulation.study.changes.foremost import Standing
from simulation.study.outcomes import against, summarise_outcome
from simulation.study.run_context import RunContext

RUNS = 20


@pytest.fixture(scope="module")
def result():
    return bottlenecks(load_scenario(shipped("first_look")), RunContext(runs=RUNS, workers=1, deadline="31 h"))


def printed(result, width=80, full=True):
    console = Console(file=io.StringIO(), width=width, markup=False, highlight=False)
    print_answer(bottlenecks_answer(result), console, full, "All tables: --full")
    return console.file.getvalue()


@pytest.mark.parametrize("width", [80, 100])
@pytest.mark.parametrize("full", [False, True])
def test_the_tables_fit_the_terminal_and_no_number_is_cut(result, width, full):
    text = printed(result, width, full)
    assert max(map(len, text.splitlines())) <= width
    assert "…" not in text


def test_the_short_form_is_a_page_with_the_answer_last_and_the_changes_that_gain_most(result):
    text = printed(result, full=False)
    assert len(text.splitlines()) <= 45
    answer = bottlenecks_answer(result)
    assert " ".join(text.split()).endswith(answer.headline)
    assert len(answer.headline) <= 220 and answer.headline.count(". ") == 0
    shown = [row.trial.name for row in result.rows if re_row(row.trial.name, text)]
    assert shown == [row.trial.name for row in result.rows[:MOST]]
    assert f"{len(result.rows) - MOST} more in the full table." in text


def re_row(name, text):
    """Return whether a row of a table begins with a name."""
    return any(line.startswith(f"{name}  ") for line in text.splitlines())


def test_every_change_stands_in_the_tables_with_sampling_error_under_each(result):
    text = " ".join(printed(result).split())
    for row in result.rows:
        assert row.trial.name in text
    for title in (
        "What each change gains",
        "The same for P80 alone and the median",
        "What held up the finish",
        "The main constraint over time",
    ):
        assert title in text
    assert text.count("sampling error only") == 4
    assert "Not tried: one more truck (no truck drives); one more grading gang (no ground is left to grade)" in text
    assert "The same people cannot do that" in text


def test_what_is_not_measurable_stands_in_brackets(result):
    lines = printed(result, 120).splitlines()
    first = next(index for index, line in enumerate(lines) if line.startswith("What each change gains"))
    shown = {line.split("  ")[0].strip(): line for line in lines[first : first + 20]}
    for row in result.rows:
        line = shown[row.trial.name]
        if row.identical:
            assert "none" in line.split()
        else:
            assert ("(" in line) == (not row.earlier_around_p80.measurable), row.trial.name
            assert name_effect(row) in line
    assert any(row.earlier_around_p80.measurable for row in result.rows)
    assert any(row.identical for row in result.rows)


def test_the_record_holds_what_the_tables_say(result):
    whole = json.loads(as_json(answer_record(bottlenecks_answer(result))))
    record = whole["answer"]
    assert [record["headline"], *record["lines"]] == bottleneck_lines(result)
    assert [change["what"] for change in record["changes"]] == [row.trial.name for row in result.rows]
    assert record["changes"][0]["p80_change"]["days"] == pytest.approx(-result.rows[0].earlier_p80.value / 24)
    forklift = next(change for change in record["changes"] if change["what"] == "one more forklift")
    assert forklift["changes"] == ["forklifts.count=+1"]
    assert sum(holder["hours"] for holder in record["chain_of_causes"]["holders"]) < record["chain_of_causes"]["hours"]
    assert record["current_plan"]["deadline"]["chance"]["words"] is None  # twenty runs bear no word
    assert (whole["question"], record["deadline"], record["asked"]) == ("bottlenecks", "31 h", RUNS)
    assert whole["study"]["seed"] == 1


def later(row):
    """Return a change as if it came three hours later, measurably."""
    change = Difference(3.0, 2.0, 4.0)
    return replace(row, against=replace(row.against, p80=change, around_p80=change), identical=False)


def test_what_makes_it_later_is_said(result):
    worse = replace(result, rows=tuple(later(row) if row.trial.name == "one more forklift" else row for row in result.rows))
    assert "These make the dates around the 80 % date later: one more forklift." in bottleneck_lines(worse)
    row = next(line for line in printed(worse).splitlines() if line.startswith("one more forklift"))
    assert " 3.0 " in row and "-3.0" not in row


def cut_off(horizon, runs, **more):
    text = shipped("first_look").read_text(encoding="utf-8").replace('horizon = "30 day"', f'horizon = "{horizon}"')
    return bottlenecks(parse_scenario(text), RunContext(runs=runs, workers=1, **more))


def test_a_scenario_beyond_its_last_day_is_described_as_such():
    result = cut_off("32 h", RUNS, deadline="31 h")
    assert result.unfinished > 0
    assert math.isinf(result.outcome.p80.value)
    assert warning_lines(result) == [
        f"{result.unfinished} runs of {RUNS} not ready by the last day simulated: counted as late; the causes are read from the "
        "others."
    ]
    said = " ".join(bottleneck_lines(result))
    assert "The 80 % date lies after the last day simulated; these bring it within: day and night under lights" in said
    assert "beyond" in printed(result)
    as_json(bottlenecks_record(result))
    draw_bottlenecks(result)


def test_where_no_run_is_ready_what_held_it_back_is_read_up_to_the_last_day():
    result = cut_off("5 h", 3)
    assert bottleneck_lines(result)[0].startswith(
        "No run was ready by the last day simulated; up to then laying crews hold the job up most: the main cause in 3 of 3 runs"
    )
    assert "read from the others" not in warning_lines(result)[0]
    assert result.leading.hours == pytest.approx(5.0)
    printed(result)
    as_json(bottlenecks_record(result))
    draw_bottlenecks(result)


def test_two_causes_too_close_to_tell_share_the_headline_and_a_clear_leader_has_it_alone(result):
    first = result.leading.holders[0]
    second = next(holder for holder in result.leading.holders if holder.name == "forklifts")
    even = replace(first, leads=replace(first.leads, count=6)), replace(second, leads=replace(second.leads, count=5))
    close, *_ = held_back(replace(result.leading, holders=even))
    assert close.startswith(
        "Laying crews or forklifts hold the job up most, too close to call which: the main cause in 6 and in 5 of 20 runs."
    )
    clear = replace(first, leads=replace(first.leads, count=20)), replace(second, leads=replace(second.leads, count=0))
    alone, hours, _ = held_back(replace(result.leading, holders=clear))
    assert alone == "Laying crews hold the job up most: the main cause in 20 of 20 runs."
    assert hours.startswith("Laying crews take ") and "next" not in hours


def test_where_another_than_the_one_that_leads_in_most_runs_has_more_hours_of_a_third_that_is_said(result):
    first, second, *_ = result.leading.holders
    assert " By hours" not in held_back(replace(result.leading, holders=(first,)))[2]
    waits = replace(second, name="waiting for a shipment", thirds={**second.thirds, "early": first.thirds["early"] + 10.0})
    waits = replace(waits, leads_by_third={third: replace(chance, count=0) for third, chance in waits.leads_by_third.items()})
    said = held_back(replace(result.leading, holders=(first, waits)))[2]
    hours = f"{first.thirds['early'] + 10.0:.0f} against {first.thirds['early']:.0f}"
    assert said.endswith(f" By hours in the mean more go to waits for shipments in the first third ({hours} of laying crews).")


@pytest.mark.usefixtures("painted")
def test_its_files_are_written_whole_and_are_the_same_each_time(result, tmp_path):
    answer = bottlenecks_answer(result)
    files = write_answer(answer, tmp_path, lambda _: printed(result))
    assert [file.name for file in files] == [f"bottlenecks.{ending}" for ending in ("json", "txt", "svg", "png")]
    first = [file.read_bytes() for file in files]
    write_answer(answer, tmp_path, lambda _: printed(result))
    assert [file.read_bytes() for file in files] == first
    assert {file.stem for file in tmp_path.iterdir() if file.name != RECORD} == {"bottlenecks"}


def test_the_picture_shows_each_gain_with_its_interval_and_a_bar_for_each_third(result):
    figure = draw_bottlenecks(result)
    gains, thirds = figure.axes
    dots = [line for line in gains.get_lines() if line.get_marker() == "o" and len(line.get_xdata())]
    assert [line.get_xdata()[0] for line in dots] == pytest.approx([row.against.around_p80.value for row in result.rows])
    filled = [line.get_markerfacecolor() != "white" for line in dots]
    assert filled == [row.earlier_around_p80.measurable for row in result.rows]  # none of these is under 0.05 hours
    assert [text.get_text() for text in gains.get_legend().get_texts()] == [
        "measurable effect",
        "no measurable effect, or under 0.05 hours",
    ]
    widths = [bar.get_width() for bars in thirds.containers for bar in bars]
    assert sum(widths) == pytest.approx(sum(holder.hours for holder in result.leading.holders))
    assert [label.get_text() for label in thirds.get_yticklabels()] == ["first third", "middle third", "last third"]


def test_no_filled_dot_stands_on_zero(result):
    tiny = Difference(-0.02, -0.04, -0.003)
    rows = tuple(replace(row, against=replace(row.against, around_p80=tiny)) for row in result.rows[:2])
    gains, _ = draw_bottlenecks(replace(result, rows=rows)).axes
    dots = [line for line in gains.get_lines() if line.get_marker() == "o" and len(line.get_xdata())]
    assert [line.get_markerfacecolor() for line in dots] == ["white", "white"]


def with_gains(result, hours):
    """Return a result in which changes bring P80 forward by so many hours by name, the others by none."""

    def moved(row):
        gain = hours.get(row.trial.name, 0.0)
        change = Difference(-gain, -1.2 * gain, -0.8 * gain)
        return replace(row, against=replace(row.against, p80=change, around_p80=change, mean=change), standing=Standing.APART)

    return replace(result, rows=tuple(map(moved, result.rows)))


def led_by(result, name):
    """Return a result in which another one leads in every run."""
    first, *_ = result.leading.holders
    leads = replace(first.leads, count=first.leads.runs)
    return replace(result, leading=replace(result.leading, holders=(replace(first, name=name, leads=leads),)))


def test_the_headline_ends_with_what_helps_most_and_says_where_easing_the_main_cause_does_not(result):
    forklifts = "Forklifts hold the job up most: the main cause in 20 of 20 runs"
    people = with_gains(led_by(result, "forklifts"), {"10 more people in the crews": 4.0})
    said = f"{forklifts}, but easing it gains nothing measurable; most useful: 10 more people in the crews, 4.0 hours earlier."
    assert bottleneck_lines(people)[0] == said == bottlenecks_answer(people).headline
    lifts = with_gains(led_by(result, "forklifts"), {"10 more people in the crews": 2.0, "one more forklift": 4.0})
    lifts = replace(lifts, rows=tuple(sorted(lifts.rows, key=lambda row: row.trial.name != "one more forklift")))
    assert bottleneck_lines(lifts)[0] == f"{forklifts}; most useful: one more forklift, 4.0 hours earlier."
    rivals = tuple(replace(row, standing=Standing.RIVAL) if row.earns else row for row in lifts.rows)
    assert "; among the most useful: " in bottleneck_lines(replace(lifts, rows=rivals))[0]


def test_where_no_change_helps_measurably_the_headline_says_so(result):
    none = with_gains(led_by(result, "forklifts"), {})
    assert bottleneck_lines(none)[0].endswith(
        ", but easing it gains nothing measurable; no change that can be made helps measurably."
    )
    night = with_gains(led_by(result, "forklifts"), {"day and night under lights": 9.0})
    assert bottleneck_lines(night)[0].endswith("; no change that can be made with the hours as they are helps measurably.")


def test_the_title_of_the_picture_is_the_conclusion(result):
    title = draw_bottlenecks(result).texts[0].get_text()
    assert " ".join(title.split()) == bottleneck_lines(result)[0] == bottlenecks_answer(result).figures[0].title


def test_nothing_written_on_the_picture_is_cut_at_its_edge(result):
    causes = ("crews", "waiting for the next flight", "final sweep, inspection and marking", "port's daily limit", "weather")
    names = [*causes, "rail gang", "late start", "supply", "grading"]
    holders = tuple(replace(result.leading.holders[0], name=name) for name in names)
    assert_readable(drawn(draw_bottlenecks, replace(result, leading=replace(result.leading, holders=holders))))


def test_outcomes_of_the_same_runs_compare_to_nothing(result):
    ready = next(milestone.name for milestone in result.outcome.scenario.milestones if milestone.ready)
    hours = pd.DataFrame({f"milestone.{ready}": result.outcome.hours})
    same = summarise_outcome("same", result.outcome.scenario, hours, result.outcome.deadline)
    change = against(result.outcome, same)
    assert (change.p80.value, change.p80.low, change.p80.high) == (0.0, 0.0, 0.0)


def test_later_is_above_zero_in_table_picture_and_record(result):
    best = next(row for row in result.rows if row.earns)
    assert best.earlier_p80.value > 0
    record = next(change for change in bottlenecks_record(result)["changes"] if change["what"] == best.trial.name)
    assert record["p80_change"]["days"] < 0 and record["p80_change"]["interval_days"][1] < 0
    gains = draw_bottlenecks(result).axes[0]
    dots = [line.get_xdata()[0] for line in gains.lines if line.get_marker() == "o" and len(line.get_xdata()) == 1]
    assert min(dots) < 0 and "left of 0: earlier" in gains.get_xlabel()
    text = printed(result)
    assert "Below zero is earlier" in text and "below zero is later" not in text.lower()
    assert "-" in next(line for line in text.splitlines() if line.startswith(best.trial.name))


def test_what_gains_less_than_a_tenth_that_is_told_is_not_called_the_most_useful(result):
    def gains(hours):
        change = Difference(-hours, -1.2 * hours, -0.8 * hours)
        rows = tuple(replace(row, against=replace(row.against, p80=change, around_p80=change)) for row in result.rows)
        return " ".join(bottleneck_lines(replace(result, rows=rows)))

    assert "The most useful" in gains(0.2)
    said = gains(0.04)
    assert "The most useful" not in said
    assert "No change that can be made moves the dates around the 80 % date by as much as 0.1 hours" in said


def test_where_only_day_and_night_gains_no_change_is_denied_but_with_the_hours_as_they_are(result):
    def moved(row, hours):
        change = Difference(-hours, -1.2 * hours, -0.8 * hours)
        return replace(row, against=replace(row.against, p80=change, around_p80=change, mean=change))

    rows = tuple(moved(row, 30.0 if row.trial.kind is Kind.NIGHT else 0.0) for row in result.rows)
    said = " ".join(gain_lines(replace(result, rows=rows)))
    assert "No change that can be made with the hours as they are moves the dates around the 80 % date measurably" in said
    assert "With day and night under lights, other people on at night" in said
    assert "For comparison" not in said  # that is for troubles that nobody can take away


def test_lights_that_can_be_bought_may_be_the_most_useful_addition(result):
    def lit(row):
        change = Difference(-30.0, -36.0, -24.0)
        return replace(
            row,
            trial=replace(row.trial, name="lights on shift", kind=lights.kind),
            against=replace(row.against, p80=change, around_p80=change),
        )

    lights = next(idea for idea in list_ideas(load_scenario(shipped())) if idea.name == "lights on shift")
    said = " ".join(gain_lines(replace(result, rows=(lit(result.rows[0]),))))
    assert "The most useful addition is lights on shift" in said


@pytest.mark.parametrize("horizon", ["30 day", "1 day"])
def test_a_take_up_is_done_and_not_ready_wherever_it_is_told(horizon):
    trucks = [{"count": 1, "pallets": 4, "haul": "2 h", "return": "2 h"}]
    lifted = make_scenario(LEAST, top={"job": "take up", "horizon": horizon}, supply={"on_hand": 80, "trucks": trucks})
    told = printed(bottlenecks(lifted, RunContext(runs=3, workers=1, deadline="3 day")), 120)
    assert re.search(r"\bdone\b", told)
    assert not re.findall(r".*\bread(?:y|iness)\b.*", told)
