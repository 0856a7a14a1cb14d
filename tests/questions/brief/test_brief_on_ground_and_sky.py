"""What a brief says of the ground and the sky: the numbers of the take-off and of the expected losses, in plain tables."""

import io
from functools import cache

import pytest

from simulation.field import take_off
from simulation.present.answer import Answer, Figure, Page, Part, Points, Table, Terms, Text
from simulation.present.pictures.figure import blank
from simulation.present.renderers.paper import render_paper
from simulation.questions.brief.pages import conditions_page, takeoff_page
from simulation.questions.conditions.study import expected_losses
from simulation.questions.forecast.drawn.figures import plan_of
from simulation.scenario import load_scenario, parse_scenario


@cache
def railed():
    scenario = load_scenario("configs/railed_strip.toml")
    return scenario, take_off(scenario)


@cache
def losses():
    return expected_losses(load_scenario("configs/night_and_heat.toml"), 10, months=1)


def blocks(parts, kind):
    return [block for part in parts for block in part.blocks if isinstance(block, kind)]


def test_warnings_of_the_take_off_come_first_and_stand_on_paper_too():
    scenario, quantities = railed()
    first = takeoff_page(scenario, quantities).parts[0]
    assert quantities.warnings
    assert first.on_paper
    assert first.blocks == (Points(quantities.warnings),)


def test_the_plan_has_words_for_whoever_does_not_see_it():
    scenario, quantities = railed()
    (plan,) = blocks(takeoff_page(scenario, quantities, plan_of(scenario)).parts, Figure)
    assert "strip 1,800 × 72 ft" in plan.describe()
    assert blocks(takeoff_page(scenario, quantities).parts, Figure) == []


def test_the_clearance_of_a_rail_is_told_with_what_uses_it_up():
    parts = {part.title: part for part in takeoff_page(*railed()).parts}
    (table,) = blocks([parts["Guide rail of strip"]], Table)
    assert table.title.startswith("Clearance between joints of mats and rail")


def test_a_field_without_warnings_or_rail_says_nothing_of_them():
    scenario = load_scenario("configs/first_look.toml")
    parts = takeoff_page(scenario, take_off(scenario)).parts
    assert "To be looked after" not in [part.title for part in parts]
    assert not any("rail" in table.title for table in blocks(parts, Table))


@pytest.mark.parametrize("place", [0, 1])
def test_hours_lost_and_left_make_up_the_hours_of_the_months(place):
    found = losses()
    name = found.works[place].work.name
    table = next(one for one in blocks(conditions_page(found).parts, Table) if one.title.lower().startswith(name.lower()))
    hours = {row[0]: float(row[1].replace(",", "")) for row in table.rows}
    hours.pop("weather together", None)
    assert sum(hours.values()) == pytest.approx(found.months[-1].end, abs=0.05 * len(hours))


def test_the_weather_names_its_sources_and_the_answer_comes_first():
    page = conditions_page(losses())
    (origin,) = blocks(page.parts, Terms)
    assert dict(origin.rows) == losses().origin
    assert isinstance(page.parts[0].blocks[0], Text)
    assert page.parts[0].blocks[0].strong


def test_the_calendar_is_told_in_words_and_says_which_season_it_is():
    found = losses()
    (season,) = blocks(conditions_page(found).parts, Figure)
    assert f"number {found.typical[found.first.work.name]} of 10" in season.describe()
    assert f"takes {found.first.lost_hours.mean:,.0f} of the" in season.describe()
    assert not season.on_paper


def test_weather_that_no_rule_asks_for_is_named():
    hot = [one.text for one in blocks(conditions_page(losses()).parts, Text)]
    assert not any("Not considered" in text for text in hot)
    plain = conditions_page(expected_losses(load_scenario("configs/first_look.toml"), 3, months=1))
    assert blocks(plain.parts, Text)[-1].text.endswith("asks for it: wind, gusts, temperature, humidity and thunder.")


def test_fifteen_areas_of_long_names_make_no_table_wider():
    names = [f"stand {n} of the long northern row" for n in range(15)]
    areas = "".join(f'[[area]]\nname = "{name}"\nlength = "40 ft"\nwidth = "36 ft"\n' for name in names)
    crew = f'[[crew]]\nname = "A"\npeople = 20\nareas = {names}\n[supply]\non_hand = 100\n'
    scenario = parse_scenario(areas + crew)
    tables = blocks(takeoff_page(scenario, take_off(scenario)).parts, Table)
    assert max(len(table.columns) for table in tables) <= 9
    text = str(tables)
    assert all(name in text for name in names)


def test_paper_has_the_whole_order_in_a_few_lines():
    scenario, quantities = railed()
    part = next(one for one in takeoff_page(scenario, quantities).parts if one.title == "Everything that is ordered")
    assert part.on_paper
    (lines,) = part.blocks
    said = " ".join(text for _, text in lines.rows)
    for line in quantities.ordered.lines:
        assert f"{line.item}: {line.order:,}" in said
    assert f"{quantities.ordered.total_pallets:,} pallets" in lines.rows[-1][1]


@pytest.mark.parametrize(("height", "shown"), [(1.0, 1), (40.0, 0)])
def test_paper_shows_the_plan_only_where_a_page_would_end_empty(height, shown):
    pypdf = pytest.importorskip("pypdf")
    words = "A box, drawn to see whether there is room for it."
    picture = Figure("plan", "Plan", lambda: blank(8.0, height), lambda: words, on_paper=False, if_room=True)
    pages = [
        Page("answer", "The answer", (Part("First", (Text("Ready."),)),)),
        Page("risk", "The risk", (Part("Plan", (picture,)),)),
    ]
    reader = pypdf.PdfReader(io.BytesIO(render_paper(Answer("brief", "Title", "About.", "Ready.", pages=tuple(pages)))))
    assert [len(page.images) for page in reader.pages] == [shown, 0]
