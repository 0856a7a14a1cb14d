"""A plan of many areas with long names: every name is on it, none over another."""

from words_on_pictures import assert_readable, text_of, words_of

from simulation.present.answer import Figure
from simulation.present.pictures.plan_picture import draw_plan
from simulation.scenario import load_scenario, parse_scenario, shipped


def plan(scenario):
    figure = Figure("plan", "Plan", lambda: draw_plan(scenario), str).drawn()
    figure.draw_without_rendering()
    return figure


def many(letters="hardstand {} of the very long northern row"):
    names = ["runway", *(letters.format(number) for number in range(2, 16))]
    areas = '[[area]]\nname = "runway"\nlength = "800 ft"\nwidth = "72 ft"\n'
    for number, name in enumerate(names[1:]):
        side, station = "right" if number % 2 else "left", 40 + number // 2 * 100
        joins = f'{{ area = "runway", station = "{station} ft", side = "{side}", at = "0 ft" }}'
        areas += f'[[area]]\nname = "{name}"\nlength = "60 ft"\nwidth = "72 ft"\njoins = {joins}\n'
    text = areas + f'[[crew]]\nname = "A"\npeople = 20\nareas = {names}\n[supply]\non_hand = 700\n'
    return names, parse_scenario(text)


def test_names_without_room_are_numbers_with_a_list_below():
    names, scenario = many()
    figure = plan(scenario)
    said = [text.get_text() for text in words_of(figure)]
    for number, name in enumerate(names, 1):
        assert str(number) in said
        assert any(line.startswith(f"{number} {name}, ") and line.endswith("× 72 ft") for line in said)
    assert_readable(figure)


def test_names_that_have_room_stand_beside_their_areas():
    said = [text.get_text() for text in words_of(plan(load_scenario()))]
    assert any(line.startswith("runway, ") for line in said)
    assert "1" not in said


def test_a_name_from_right_to_left_leaves_the_size_after_it_as_it_is():
    _, scenario = many("{} مدرج")
    said = [text.get_text() for text in words_of(plan(scenario))]
    assert any("مدرج\u200e, 60 × 72 ft" in line for line in said)


def test_a_line_of_the_list_that_begins_with_such_a_name_goes_on_from_the_left():
    _, scenario = many("مدرج {}")
    lines = [text.get_text() for text in words_of(plan(scenario)) if "60 × 72 ft" in text.get_text()]
    assert lines
    assert all(line.index("\u200e") < line.index("م") for line in lines)


def test_a_field_that_is_taken_up_has_nothing_to_order():
    said = text_of(plan(load_scenario(shipped("lift_and_relay"))))
    assert "1,080 rows, to be taken up" in said and "to order" not in said
    assert "pallets to order" in text_of(plan(load_scenario(shipped("first_look"))))
