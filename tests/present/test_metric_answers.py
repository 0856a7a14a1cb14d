"""Told in metric, an answer has no feet, pounds, miles or inches, but for what is cited beside; its records stay as they are."""

import re
from dataclasses import asdict
from functools import cache
from io import StringIO

import pytest
from rich.console import Console
from scenarios import SHORT

from simulation.field import take_off
from simulation.present.pictures.length_scale import bar_within
from simulation.present.pictures.plan_picture import describe_plan
from simulation.present.renderers.terminal import print_answer
from simulation.questions.brief.inputs import inputs_of
from simulation.questions.forecast.answer import forecast_answer
from simulation.questions.forecast.drawn.fan import describe_fan
from simulation.questions.forecast.drawn.station import describe_stations
from simulation.questions.forecast.single_run.timeline import follow_run
from simulation.questions.forecast.study import forecast
from simulation.questions.sensitivity.level_inputs import find_unit
from simulation.questions.takeoff.answer import takeoff_answer
from simulation.questions.takeoff.brick_picture import read_detail
from simulation.questions.takeoff.record import order_rows
from simulation.scenario import ScenarioError, load_scenario, parse_scenario
from simulation.scenario.reading.reading import shipped
from simulation.scenario.types.quantities.measures import FEET, METRIC
from simulation.study.run_context import RunContext

#: Words of the other family, where they are units.
OTHERS = re.compile(
    r"\b(?:ft|feet|foot|sq ft|lb|pounds?|mph|miles?|cu yd|quarts?|short tons?|inch(?:es)?)\b"
    r"|\d in\b(?! (?:all|a|the|crews|deliveries|seven)\b)|, in(?=  |$)"
)
#: What is cited is told as its source has it, beside the metric figure.
CITED = (r"\[as published: [^\]]*\]", r"\([^()]*\)", r"140 to 155 lb, ")


def text_of(show):
    page = StringIO()
    show(Console(file=page, width=400, markup=False, highlight=False, emoji=False))
    return page.getvalue()


def left_over(text):
    for cited in CITED:
        text = re.sub(cited, "", text)
    return [line for line in text.splitlines() if OTHERS.search(line)]


@cache
def short(units):
    return forecast(parse_scenario(SHORT, units=units), RunContext(runs=20, workers=1))


@pytest.mark.parametrize("name", ["relief_strip", "railed_strip", "night_and_heat"])
def test_a_take_off_in_metric_has_metric_units_alone(name):
    scenario = load_scenario(shipped(name), "metric")
    quantities = take_off(scenario)
    text = text_of(lambda console: print_answer(takeoff_answer(scenario, quantities), console, full=True))
    assert left_over(text) == []
    assert left_over(describe_plan(scenario)) == []
    assert "kg" in order_rows(quantities)[0]
    feet = load_scenario(shipped(name), "feet")
    other = text_of(lambda console: print_answer(takeoff_answer(feet, take_off(feet)), console, full=True))
    assert len(left_over(other)) > 10


def test_a_forecast_in_metric_has_metric_units_alone_and_the_same_days():
    metric, feet = short("metric"), short("feet")
    assert left_over(text_of(lambda console: print_answer(forecast_answer(metric), console, full=True))) == []
    assert len(left_over(text_of(lambda console: print_answer(forecast_answer(feet), console, full=True)))) > 3
    assert metric.readiness.quantile(0.8) == feet.readiness.quantile(0.8)
    course = follow_run(metric, 0)
    assert left_over(describe_fan(metric, course) + describe_stations(metric, course)) == []


def test_a_record_of_a_take_off_keeps_its_numbers_and_names_their_units():
    scenarios = [load_scenario(shipped("railed_strip"), units) for units in ("feet", "metric")]
    feet, metric = (takeoff_answer(scenario, take_off(scenario)).record for scenario in scenarios)
    assert (feet["told_in"], metric["told_in"]) == ("feet", "metric")
    assert feet["units"] == metric["units"]
    assert feet["units"]["length"] == "ft"
    assert feet["mass"] == metric["mass"]
    for one, other in zip(feet["areas"], metric["areas"], strict=True):
        assert {key: one[key] for key in ("length", "width", "square_feet")} == {
            key: other[key] for key in ("length", "width", "square_feet")
        }


@pytest.mark.parametrize(
    ("text", "units", "feet"),
    [
        ("strip:0-12", "metric", (0, 12 / 0.3048)),
        ("strip:0-12", "feet", (0, 12)),
        ("strip:4-12 m", "feet", (4 / 0.3048, 12 / 0.3048)),
        ("strip:4ft-12 ft", "metric", (4, 12)),
        ("strip:0-12.19", "metric", (0, 40)),
    ],
)
def test_a_stretch_is_in_the_units_of_the_answer_or_in_its_own(text, units, feet):
    found = read_detail(text, parse_scenario(SHORT, units=units))
    assert (found.start, found.to) == pytest.approx(feet)


def test_a_stretch_beyond_the_area_is_refused_in_the_units_of_the_answer():
    with pytest.raises(ScenarioError, match=r"0 to 40 m is no stretch of strip; write FROM and TO, rising, from 0 to 12.19 m"):
        read_detail("strip:0-40", parse_scenario(SHORT, units="metric"))


def test_a_scale_bar_has_a_round_length_of_the_reader_s_units():
    assert bar_within(1000.0, FEET) == (1000.0, "1,000 ft")
    feet, said = bar_within(1000.0, METRIC)
    assert said == "200 m"
    assert feet == pytest.approx(200 / 0.3048)


def test_units_of_both_families_turn_into_each_other_by_their_definitions():
    inside = {
        "length": (0.3048, "m"), "gap": (304.8 , "mm"), "area": (0.09290304, "m²"), "mass": (0.45359237, "kg"),
        "wind": (0.44704, "m/s"), "speed": (1.609344, "km/h"), "way": (1.609344, "km"),
    }  # fmt: skip
    for name, (factor, unit) in inside.items():
        assert getattr(METRIC, name).name == unit
        assert getattr(METRIC, name).factor == pytest.approx(factor, rel=1e-12)
    assert METRIC.earth.of(27.0) == pytest.approx(27 * 0.9144**3)
    assert METRIC.water.of(4.0) == pytest.approx(3.785411784)
    assert set(asdict(FEET)) == set(asdict(METRIC))


def test_an_input_that_nobody_wrote_is_told_in_the_units_of_the_answer_and_a_written_one_in_its_own():
    rate = '[grading]\nrate = { p10 = "9000 ft**2/h", p90 = "16000 ft**2/h" }\n'
    for text, units, name in (
        (SHORT, "feet", "ft**2/h"),
        (SHORT, "metric", "m**2/h"),
        (SHORT + rate, "metric", "ft**2/h"),
    ):
        assert find_unit(parse_scenario(text, units=units), "grading.rate").name == name


def test_a_default_in_a_brief_is_in_the_units_of_the_answer_and_what_was_snapped_says_how_it_is_read():
    text = SHORT.replace('"40 ft"', '"12.19 m"').replace('"72 ft"', '"21.95 m"')
    metric, feet = ({one.key: one for one in inputs_of(parse_scenario(text, units=units))} for units in ("metric", "feet"))
    assert (metric["mat.full"].value, feet["mat.full"].value) == ("3.658 m", "12 ft")
    assert (metric["key_strips.width"].value, feet["key_strips.width"].value) == ("38.1 mm", "1.5 in")
    assert (metric["forklifts.capacity"].value, feet["forklifts.capacity"].value) == ("1814 kg", "4000 lb")
    assert metric["area.strip.width"].value == "21.95 m"
    assert metric["area.strip.width"].origin.endswith('"21.95 m" is read as 21.9456 m, 12 half mats of 1.8288 m')
