"""A length that was rounded to the centimetre is the whole number of rows or half mats that it was rounded from."""

from dataclasses import asdict, replace

import pytest
from hypothesis import given
from hypothesis import strategies as some

from simulation.field import take_off
from simulation.replicate.identity import scenario_hash
from simulation.scenario import Change, ScenarioError, vary
from simulation.scenario.reading.reading import parse_scenario
from simulation.scenario.types.quantities.measures import FEET, METRIC

FIELD = """
title = "two strips"
[[area]]
name = "runway"
length = "{0}"
width = "{1}"
start = "{6}"
guide_rail = {7}
key_strips_every = "{2}"
{8}
[[area]]
name = "taxiway"
length = "{3}"
width = "{4}"
joins = {{ area = "runway", station = "{5}", at = "0 m" }}
[[area]]
name = "apron"
length = "{4}"
width = "{1}"
joins = {{ area = "taxiway", end = "high", at = "{4}" }}
[accessories]
connector = "{9}"
[[crew]]
name = "red"
people = 20
areas = ["runway", "taxiway", "apron"]
[supply]
on_hand = 3000
[[milestone]]
name = "first part"
stretch = {{ area = "runway", from = "0 m", to = "{5}" }}
ready = true
[[milestone]]
name = "whole runway"
stretch = {{ area = "runway", from = "{5}", to = "{0}" }}
"""


def field(*feet: float, metric: bool, rail: bool):
    """Return the field with lengths in feet, or the same in metres as a planner rounds them."""
    lengths = [f"{0.3048 * one:.2f} m" if metric else f"{one:g} ft" for one in (*feet, 18.0, 12.0, 9.0, 10.0)]
    offset, connector, first, section = lengths[-4:]
    way = ("one-end", "true") if rail else ("centre-out", "false")
    written = f'rail = {{ offset = "{offset}", first_section = "{first}", section = "{section}" }}' if rail else ""
    return parse_scenario(FIELD.format(*lengths[:6], *way, written, connector))


@pytest.mark.parametrize("rail", [False, True])
def test_a_field_in_metres_rounded_to_the_centimetre_takes_what_the_same_field_in_feet_takes(rail):
    metric, feet = (field(1200.0, 96.0, 100.0, 240.0, 60.0, 602.0, metric=metric, rail=rail) for metric in (True, False))
    said, other = take_off(metric), take_off(feet)
    # Told in feet both, they are the same to the last word.
    told_alike = take_off(vary(metric, [Change("units", "feet")]))
    assert asdict(replace(told_alike, snapped=())) == asdict(other)
    assert [area.rail and area.rail.offset for area in said.areas] == [area.rail and area.rail.offset for area in other.areas]
    assert [line.order for line in said.ordered.lines] == [line.order for line in other.ordered.lines]
    assert said.snapped and not other.snapped


def test_the_three_widths_of_the_trade_in_metres_give_the_order_of_the_same_in_feet():
    for metres, feet in (("29.26 m", 96), ("18.29 m", 60), ("7.32 m", 24)):
        text = """
[[area]]
name = "strip"
length = "121.92 m"
width = "{}"
[[crew]]
name = "red"
people = 20
areas = ["strip"]
[supply]
on_hand = 3000
"""
        one, other = (take_off(parse_scenario(text.format(width))) for width in (metres, f"{feet} ft"))
        assert one.areas[0].width == feet
        assert [(line.need, line.order, line.mass) for line in one.ordered.lines] == [
            (line.need, line.order, line.mass) for line in other.ordered.lines
        ]


def test_two_ways_of_writing_one_field_are_one_run():
    one, other = (field(1200.0, 96.0, 100.0, 240.0, 60.0, 602.0, metric=metric, rail=True) for metric in (True, False))
    assert scenario_hash(one) == scenario_hash(other)


@given(rows=some.integers(50, 3000), halves=some.integers(4, 30), places=some.sampled_from([2, 3, 4]))
def test_every_whole_field_is_found_again_from_its_metres(rows, halves, places):
    text = """
[[area]]
name = "strip"
length = "{} m"
width = "{} m"
[[crew]]
name = "red"
people = 20
areas = ["strip"]
[supply]
on_hand = 30000
"""
    length, width = (round(0.3048 * feet, places) for feet in (2 * rows, 6 * halves))
    area = parse_scenario(text.format(length, width)).area[0]
    assert (area.length, area.width) == (2 * rows, 6 * halves)


def test_it_is_said_how_each_is_read_once():
    scenario = field(1200.0, 96.0, 100.0, 240.0, 60.0, 602.0, metric=True, rail=True)
    told = {one.key: one.read_as(METRIC) for one in scenario.snapped}
    assert told["area.runway.width"] == '"29.26 m" is read as 29.2608 m, 16 half mats of 1.8288 m'
    assert told["milestone.whole runway.stretch.from"] == '"183.49 m" is read as 183.4896 m, 301 rows of 0.6096 m'
    assert {one.key: one.read_as(FEET) for one in scenario.snapped}["area.runway.rail.section"].endswith("10 half rows of 1 ft")
    assert len(told) == len(scenario.snapped)


def test_a_length_off_by_more_than_half_an_inch_is_refused_as_it_was():
    with pytest.raises(ScenarioError, match="is no whole number of half mats"):
        field(1200.0, 96.05, 100.0, 240.0, 60.0, 602.0, metric=False, rail=False)
    assert field(1200.0, 96.04, 100.0, 240.0, 60.0, 602.0, metric=False, rail=False).area[0].width == 96.0


def test_the_module_is_that_of_the_scenario_s_own_mat():
    text = """
[mat]
row_depth = "0.5 m"
full = "3 m"
half = "1.5 m"
[[area]]
name = "strip"
length = "100.01 m"
width = "30.005 m"
[[crew]]
name = "red"
people = 20
areas = ["strip"]
[supply]
on_hand = 3000
"""
    area = take_off(parse_scenario(text)).areas[0]
    assert area.rows == 200
    assert area.width == pytest.approx(30 / 0.3048, abs=1e-9)


def test_answers_are_in_the_units_of_the_areas_unless_the_scenario_or_a_change_says_otherwise():
    metric, feet = (field(1200.0, 96.0, 100.0, 240.0, 60.0, 602.0, metric=metric, rail=False) for metric in (True, False))
    assert metric.measures is METRIC
    assert feet.measures is FEET
    assert vary(feet, [Change("units", "metric")]).measures is METRIC
    assert vary(metric, [Change("units", "feet")]).measures is FEET
