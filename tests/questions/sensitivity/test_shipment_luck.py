"""Whether a shipment comes on its first date is an input like the others, though no level holds it."""

import json

import numpy as np
import pytest
from scenarios import SHORT, make_scenario, parse_scenario
from words_on_pictures import assert_readable, drawn, text_of

from simulation.present.renderers.record import answer_record, as_json
from simulation.questions.sensitivity.answer import bar_notes, sensitivity_answer
from simulation.questions.sensitivity.picture import draw_sensitivity
from simulation.questions.sensitivity.sentences import conclusion, sensitivity_lines
from simulation.questions.sensitivity.study import sensitivity
from simulation.replicate import do_runs
from simulation.scenario import Change, SiteLog, begin_by, vary
from simulation.study.run_context import RunContext

BARGE = {"name": "barge", "pallets": 12, "comes": "30 h", "discharge": "6 min", "lot": 12, "chance": 0.6, "again": "48 h"}
NAME = "whether shipment barge comes on its first date (supply.shipments.1.chance)"


def field(**ship):
    supply = {"on_hand": 0, "total": 12, "resupply": "5 day", "shipments": [BARGE | ship]}
    return make_scenario(SHORT, supply=supply, weather={"model": "none"}, top={"horizon": "60 day"})


def known_never(**ship):
    return {key: value for key, value in (BARGE | ship).items() if key != "again"}


def test_it_is_the_biggest_unknown_where_all_hangs_on_it():
    result = sensitivity(field(), RunContext(runs=120, workers=1))
    row, *others = result.rows
    runs = do_runs(field(), 120, workers=1)
    assert np.var(runs["level.supply.shipments.1.comes"]) == 0.0  # no level tells of it
    assert row.input.name == "supply.shipments.1.chance"
    assert row.share.value > 0.8 and row.rank.value > 0.8
    assert max(other.share.value for other in others) < row.share.low
    headline = sensitivity_lines(result)[0]
    assert headline.startswith(f"The biggest unknown is {NAME}: it alone explains ")
    assert headline.endswith("; where it does not, the field is ready later.")


def test_a_bar_shows_what_it_changes_to_come_on_the_first_date_and_to_miss_it():
    result = sensitivity(field(), RunContext(runs=60, workers=1, deadline="4 day"), tornado=True)
    (bar,) = (bar for bar in result.bars if bar.input.name == "supply.shipments.1.chance")
    by_hand = sensitivity(vary(field(), [Change("supply.shipments.1.chance", "1.0")]), RunContext(runs=bar.low.runs, workers=1))
    assert bar.low.outcome.hours == pytest.approx(list(by_hand.outcome.hours))
    late = np.array(bar.high.outcome.hours)
    assert (late >= 78.0).all() and (late >= np.array(result.outcome.hours[: bar.high.runs])).all()
    assert [end.trial.name for end in (bar.low, bar.high)] == ["it comes on its first date", "it misses its first date"]
    headline = sensitivity_lines(result)[0]
    assert headline.startswith(f"W{NAME[1:]} matters most to the 80 % date: ")
    assert "days earlier if it comes on its first date, " in headline
    assert conclusion(result) == "Matters most to the 80 % date: whether shipment barge comes on its first date"
    assert any(note.startswith("A shipment has no low or high end") for note in bar_notes(result))
    figure = drawn(draw_sensitivity, result)
    assert_readable(figure)
    assert "it does not" in text_of(figure)
    found = json.loads(as_json(answer_record(sensitivity_answer(result))))["answer"]["tornado"][0]
    assert found["at_p10"]["known_to_be"] == "it comes on its first date"


def test_one_that_has_no_second_date_comes_or_never_does():
    scenario = make_scenario(
        SHORT,
        supply={"on_hand": 0, "total": 12, "resupply": "5 day", "shipments": [known_never()]},
        weather={"model": "none"},
        top={"horizon": "60 day"},
    )
    result = sensitivity(scenario, RunContext(runs=60, workers=1), tornado=True)
    (bar,) = (bar for bar in result.bars if bar.input.name == "supply.shipments.1.chance")
    assert [end.trial.name for end in (bar.low, bar.high)] == ["it comes on its first date", "it never comes"]
    assert min(bar.high.outcome.hours) > 30.0 + 120.0 > max(bar.low.outcome.hours)
    assert "whether shipment barge comes at all" in conclusion(result)


def test_after_a_log_it_is_ranked_and_said_not_to_be_in_the_tornado():
    head = "date,shift,crew,people,rows,hours worked,pallets received,under way\n"
    begun = begin_by(field(), SiteLog("log.csv", f"{head}2031-04-03,22:00,,,,,,\n", "2031-04-03T22:00"))
    result = sensitivity(begun, RunContext(runs=60, workers=1), tornado=True)
    assert result.measurable_rows[0].input.name == "supply.shipments.1.chance"
    assert all(bar.input.name != "supply.shipments.1.chance" for bar in result.bars)
    assert any(note.startswith("Not among these changes") and NAME in note for note in bar_notes(result))


def test_one_that_is_sure_to_come_is_no_input():
    result = sensitivity(field(chance=1.0), RunContext(runs=5, workers=1))
    assert all("chance" not in row.input.name for row in result.rows)


def test_a_ship_of_a_take_up_is_one():
    ship = '[[take_up.shipments]]\npallets = 40\ncomes = "30 h"\nchance = 0.6\nagain = "48 h"\n'
    result = sensitivity(parse_scenario(f'job = "take up"\n{SHORT}{ship}'), RunContext(runs=40, workers=1))
    assert "whether ship 1 comes on its first date (take_up.shipments.1.chance)" in sensitivity_lines(result)[0]
