"""What a brief says of the ground and the sky: the numbers of the take-off and of the expected losses, in plain tables."""

from functools import cache

import pytest

from simulation.analysis.expected_losses import expected_losses
from simulation.field import take_off
from simulation.report.brief_conditions import conditions_page
from simulation.report.brief_content import Figure, Points, Table, Terms, Text
from simulation.report.brief_field import field_parts
from simulation.scenario import load_scenario


@cache
def railed():
    scenario = load_scenario("configs/railed_strip.toml")
    return scenario, take_off(scenario)


@cache
def losses():
    return expected_losses(load_scenario("configs/night_and_heat.toml"), 10, months=1)


def blocks(parts, kind):
    return [block for part in parts for block in part.blocks if isinstance(block, kind)]


def test_everything_that_is_ordered_stands_with_its_count_and_its_rule():
    scenario, quantities = railed()
    table = next(one for one in blocks(field_parts(scenario, quantities), Table) if one.columns[0] == "item")
    assert len(table.rows) == len(quantities.ordered.lines)
    for row, line in zip(table.rows, quantities.ordered.lines, strict=True):
        assert (row[0], row[2].replace(",", ""), row[4]) == (line.item, str(line.order), line.rule)


def test_warnings_of_the_take_off_come_first_and_stand_on_paper_too():
    scenario, quantities = railed()
    first = field_parts(scenario, quantities)[0]
    assert quantities.warnings
    assert first.on_paper
    assert first.blocks == (Points(quantities.warnings),)


def test_the_plan_has_words_for_whoever_does_not_see_it():
    (plan,) = blocks(field_parts(*railed()), Figure)
    assert "strip" in plan.text


def test_the_clearance_of_a_rail_is_told_with_what_uses_it_up():
    titles = [one.title for one in blocks(field_parts(*railed()), Table)]
    assert any(title.startswith("Guide rail of strip: clearance") for title in titles)


def test_a_field_without_warnings_or_rail_says_nothing_of_them():
    scenario = load_scenario("configs/first_look.toml")
    parts = field_parts(scenario, take_off(scenario))
    assert "To be looked after" not in [part.title for part in parts]
    assert not any("rail" in table.title for table in blocks(parts, Table))


@pytest.mark.parametrize("place", [0, 1])
def test_hours_lost_and_left_make_up_the_hours_of_the_months(place):
    found = losses()
    table = next(one for one in blocks(conditions_page(found).parts, Table) if one.title.startswith(found.works[place].work.name))
    hours = {row[0]: float(row[1].replace(",", "")) for row in table.rows}
    hours.pop("weather together", None)
    assert sum(hours.values()) == pytest.approx(found.months[-1].end, abs=0.05 * len(hours))


def test_the_weather_names_its_sources_and_the_answer_comes_first():
    page = conditions_page(losses())
    (origin,) = blocks(page.parts, Terms)
    assert dict(origin.rows) == losses().origin
    assert isinstance(page.parts[0].blocks[1], Text)
    assert page.parts[0].blocks[1].strong
