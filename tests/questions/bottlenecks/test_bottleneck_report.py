"""How what holds a build up, and what it costs to come late, is told: sentences, tables, one JSON object and pictures."""

import io
import json
import math
from dataclasses import replace

import pandas as pd
import pytest
from rich.console import Console
from simulation.questions.bottlenecks.tables import print_bottlenecks

from simulation.present.cautions import CAUTIONS
from simulation.present.own_files import RECORD
from simulation.present.record import as_json
from simulation.present.time_scale import DAYS, HOURS, choose_scale, points, points_interval
from simulation.questions.bottlenecks.picture import draw_bottlenecks
from simulation.questions.bottlenecks.record import bottleneck_record, write_bottlenecks
from simulation.questions.bottlenecks.sentences import bottleneck_lines
from simulation.questions.bottlenecks.study import bottlenecks
from simulation.questions.slip.picture import draw_slip
from simulation.questions.slip.record import slip_record, write_slip
from simulation.questions.slip.study import slip
from simulation.questions.slip.tables import print_slip, slip_answer
from simulation.scenario import load_scenario, parse_scenario, shipped
from simulation.stats.paired_difference import Difference
from simulation.study.outcomes import against, summarise_outcome
from simulation.study.run_context import RunContext

RUNS = 12


@pytest.fixture(scope="module")
def found():
    return bottlenecks(load_scenario(shipped("first_look")), RunContext(runs=RUNS, workers=1, deadline="31 h"))


@pytest.fixture(scope="module")
def slipped():
    return slip(load_scenario(shipped("first_look")), RunContext(runs=RUNS, workers=1, deadline="31 h"), by="1 day,2 day")


def printed(show, what, width=80):
    console = Console(file=io.StringIO(), width=width, markup=False, highlight=False)
    show(what, console)
    return console.file.getvalue()


@pytest.mark.parametrize("width", [80, 100])
def test_the_tables_fit_the_terminal_and_no_number_is_cut(found, slipped, width):
    for text in (printed(print_bottlenecks, found, width), printed(print_slip, slipped, width)):
        assert max(map(len, text.splitlines())) <= width
        assert "…" not in text


def test_what_is_asked_stands_in_the_tables_with_sampling_error_under_each(found):
    text = " ".join(printed(print_bottlenecks, found).split())
    for one in found.tried:
        assert one.what_if.name in text
    for title in ("What each would buy", "The same for the mean", "What drives readiness", "What limits early"):
        assert title in text
    assert text.count("sampling error only") == 4
    assert "Not tried: one more truck (no truck drives); one more grading gang (no ground is left to grade)" in text
    assert "The same people cannot do that" in text


def test_what_cannot_be_told_from_nothing_stands_in_brackets(found):
    lines = printed(print_bottlenecks, found, 120).splitlines()
    first = next(place for place, line in enumerate(lines) if line.startswith("What each would buy"))
    row = {line.split("  ")[0].strip(): line for line in lines[first : first + 20]}
    for one in found.tried:
        if one.alike:
            assert row[one.what_if.name].split()[-1] == "none"
        else:
            assert ("(" in row[one.what_if.name]) == (not (one.earlier_p80.measurable and one.earlier_p50.measurable)), (
                one.what_if.name
            )
    assert any(one.earlier_p80.measurable for one in found.tried)
    assert any(one.alike for one in found.tried)


def test_the_record_is_json_and_holds_what_the_tables_say(found):
    record = json.loads(as_json(bottleneck_record(found)))
    assert record["answer"] == bottleneck_lines(found)
    assert [one["what"] for one in record["changes"]] == [one.what_if.name for one in found.tried]
    assert record["changes"][0]["p80_days_change"]["value"] == pytest.approx(-found.tried[0].earlier_p80.value / 24)
    forklift = next(one for one in record["changes"] if one["what"] == "one more forklift")
    assert forklift["changes"] == ["forklifts.count=+1"]
    assert sum(one["hours"] for one in record["driving_chain"]["holders"]) < record["driving_chain"]["hours"]
    assert record["as_it_is"]["deadline"]["likelihood"] is None  # twelve runs bear no word
    assert record["question"] == {"command": "bottlenecks", "deadline": "31 h", "runs": RUNS, "seed": 1}
    assert record["cautions"] == list(CAUTIONS)


def later(one):
    """Return what was tried as if it came three hours later, measurable."""
    change = Difference(3.0, 2.0, 4.0)
    return replace(one, against=replace(one.against, p80=change), alike=False)


def test_what_makes_it_later_is_said(found):
    worse = replace(found, tried=tuple(later(one) if one.what_if.name == "one more forklift" else one for one in found.tried))
    assert "Makes it later: one more forklift." in bottleneck_lines(worse)
    row = next(line for line in printed(print_bottlenecks, worse).splitlines() if line.startswith("one more forklift"))
    assert " 3.0 " in row and "-3.0" not in row


def test_a_scenario_beyond_its_horizon_is_told_as_such():
    text = shipped("first_look").read_text(encoding="utf-8").replace('horizon = "30 day"', 'horizon = "32 h"')
    scenario = parse_scenario(text)
    found = bottlenecks(scenario, RunContext(runs=RUNS, workers=1, deadline="31 h"))
    assert found.unfinished > 0
    assert math.isinf(found.outcome.p80.value)
    said = " ".join(bottleneck_lines(found))
    assert f"{found.unfinished} runs of {RUNS} not ready by the last day simulated" in said
    assert "P80 lies after the last day simulated as it is; what brings it within: day and night under lights" in said
    assert "beyond" in printed(print_bottlenecks, found)
    as_json(bottleneck_record(found))
    draw_bottlenecks(found)
    late = slip(scenario, RunContext(runs=RUNS, workers=1), what=["crew.red"], by="1 day")
    assert slip_answer(late)[0] == "Crew red 1 day late: P80 lies after the last day simulated, as it does without the delay."
    as_json(slip_record(late))
    draw_slip(late)


def test_where_no_run_is_ready_what_held_it_back_is_told_up_to_the_horizon():
    text = shipped("first_look").read_text(encoding="utf-8").replace('horizon = "30 day"', 'horizon = "5 h"')
    found = bottlenecks(parse_scenario(text), RunContext(runs=3, workers=1))
    assert bottleneck_lines(found)[0].startswith(
        "No run was ready by the last day simulated. Up to it: Held back most often by the crews"
    )
    assert found.leading.hours == pytest.approx(5.0)
    printed(print_bottlenecks, found)
    as_json(bottleneck_record(found))
    draw_bottlenecks(found)


def test_pictures_are_written_whole_and_the_same_each_time(found, slipped, tmp_path):
    for write, what, name in ((write_bottlenecks, found, "bottlenecks"), (write_slip, slipped, "slip")):
        files = write(what, tmp_path)
        assert [file.name for file in files] == [f"{name}.json", f"{name}.svg", f"{name}.png"]
        first = [file.read_bytes() for file in files]
        write(what, tmp_path)
        assert [file.read_bytes() for file in files] == first
    assert {file.stem for file in tmp_path.iterdir() if file.name != RECORD} == {"bottlenecks", "slip"}
    assert json.loads((tmp_path / "bottlenecks.json").read_text(encoding="utf-8")) == bottleneck_record(found)


def test_the_files_of_a_slip_bear_what_comes_late_and_its_record_the_question(slipped, tmp_path):
    other = replace(slipped, what=("crew.red", "forklift"))
    names = [file.name for file in write_slip(other, tmp_path)]
    assert names == [f"slip_crew-red_forklift.{kind}" for kind in ("json", "svg", "png")]
    question = json.loads((tmp_path / names[0]).read_text(encoding="utf-8"))["question"]
    assert question == {
        "command": "slip",
        "what": ["crew.red", "forklift"],
        "by": "1 day,2 day",
        "deadline": "31 h",
        "runs": RUNS,
        "seed": 1,
    }


def test_the_cautions_close_either_page(found, slipped):
    for text in (printed(print_bottlenecks, found, 200), printed(print_slip, slipped, 200)):
        assert text.splitlines()[-len(CAUTIONS) :] == [f"* {caution}" for caution in CAUTIONS]


def test_the_picture_shows_each_gain_with_its_interval_and_a_bar_for_each_third(found):
    gains, thirds = draw_bottlenecks(found).axes
    dots = [line for line in gains.get_lines() if line.get_marker() == "o" and len(line.get_xdata())]
    assert [line.get_xdata()[0] for line in dots] == pytest.approx([one.against.p80.value for one in found.tried])
    filled = [line.get_markerfacecolor() != "white" for line in dots]
    assert filled == [one.earlier_p80.measurable for one in found.tried]
    widths = [bar.get_width() for bars in thirds.containers for bar in bars]
    assert sum(widths) == pytest.approx(sum(one.hours for one in found.leading.holders))


def test_slip_says_what_each_longest_delay_costs_and_the_words_for_its_chance(slipped):
    said = slip_answer(slipped)
    assert said[1].startswith("Crew red 2 days late: P80 comes ")
    assert f"ready by 31 h: in 0 of {RUNS} runs instead of {slipped.outcome.chance.count}, " in said[1]
    assert "chance)" not in " ".join(said)
    record = json.loads(as_json(slip_record(slipped)))
    assert [one["what"] for one in record["delays"]] == 2 * ["forklift"] + 2 * ["crew.red"]
    assert record["delays"][2]["changes"] == ["crew.red.from=24.0 h"]
    text = printed(print_slip, slipped)
    assert text.count("sampling error only") == 2
    assert text.count("crew red") == 2  # once in each table


def test_a_short_construction_is_told_in_hours_a_long_one_in_days():
    assert choose_scale(71.0) is HOURS
    assert choose_scale(73.0) is choose_scale(math.inf) is DAYS
    assert (HOURS.of(1.0), DAYS.of(36.0), DAYS.of(-0.1)) == ("1.0 hour", "1.5 days", "0.0 days")
    assert DAYS.interval(Difference(1.0, None, None)) == "-"
    assert (points(Difference(-0.001, -0.1, 0.2)), points_interval(Difference(-0.001, -0.1, 0.2))) == ("+0", "-10 to +20")
    assert points(Difference(None, None, None)) == "-"


def test_a_slip_that_costs_less_more_or_nothing_is_told_so(slipped):
    crew = slipped.slipped[-1]

    def sentence(value, low, high):
        one = replace(crew, against=replace(crew.against, p80=Difference(value, low, high)), alike=False)
        return slip_answer(replace(slipped, slipped=(one,)))[0]

    assert "50 % of the delay: the rest is slack" in sentence(24.0, 23.0, 25.0)
    assert "day for day" in sentence(47.0, 46.0, 49.0)
    assert "more than the delay itself" in sentence(60.0, 58.0, 62.0)
    assert "day for day" in sentence(47.9, 47.8, 47.95)
    assert "83 % of the delay, though all of it cannot be ruled out" in sentence(40.0, 20.0, 49.0)
    said = "no change of P80 that can be told (95 % interval 1.0 hour earlier to 2.0 hours later)"
    assert said in sentence(1.0, -1.0, 2.0)
    assert "no change of P80 that can be told." in sentence(0.0, 0.0, 0.0).replace("; the mean", ".")
    assert "(too few runs for an interval)" in sentence(1.0, None, None)


def test_outcomes_of_the_same_runs_compare_to_nothing(found):
    hours = pd.DataFrame({"milestone.operational readiness": found.outcome.hours})
    same = summarise_outcome("same", found.outcome.scenario, hours, found.outcome.deadline)
    change = against(found.outcome, same)
    assert (change.p80.value, change.p80.low, change.p80.high) == (0.0, 0.0, 0.0)


def test_later_is_above_zero_in_table_picture_and_record_alike(found):
    best = next(one for one in found.tried if one.earns)
    assert best.earlier_p80.value > 0
    record = next(one for one in bottleneck_record(found)["changes"] if one["what"] == best.what_if.name)
    assert record["p80_days_change"]["value"] < 0 and record["p80_days_change"]["interval"][1] < 0
    figure = draw_bottlenecks(found)
    dots = [line.get_xdata()[0] for line in figure.axes[0].lines if line.get_marker() == "o" and len(line.get_xdata()) == 1]
    assert min(dots) < 0 and "left of 0: earlier" in figure.axes[0].get_xlabel()
    text = printed(print_bottlenecks, found)
    assert "Below zero is earlier." in text and "below zero is later" not in text.lower()
    row = next(line for line in text.splitlines() if line.startswith(best.what_if.name))
    assert "-" in row
