"""What no scenario can hold, whatever the key: texts that cannot be shown as they are, and numbers that are next to nothing."""

import pytest
from scenarios import lines, sound

SHARED = '[laying]\nplace = {{ p10 = "30 s", p90 = "60 s", shared_by = {} }}\n'
CANNOT = "holds characters that cannot be shown; leave them out"


@pytest.mark.parametrize("bad", [r"\u001b", r"\u0000", r"\u0085", r"\u009b", r"\u202e", r"\u2066", r"\u2028", r"\u200b", r"\n"])
@pytest.mark.parametrize(
    ("text", "key"),
    [
        (SHARED.format('"a{}"'), "laying.place"),
        (SHARED.format('{{ name = "a{}", correlation = 0.5 }}'), "laying.place"),
        ('[laying]\nplace = {{ data = "a{}.csv", unit = "s" }}\n', "laying.place"),
        ('[laying]\nplace = {{ data = "a.csv", column = "a{}", unit = "s" }}\n', "laying.place"),
        ('[weather]\nmodel = "records"\n[weather.records]\nfile = "a{}.csv"\n', "weather.records.file"),
        ('title = "a{}"\n', "title"),
    ],
)
def test_no_text_of_a_scenario_holds_a_control_character(text, key, bad):
    text = text.replace("{{", "{").replace("}}", "}").replace("{}", bad)
    text = text + sound("") if text.startswith("title") else sound(text)
    said = [one for one in lines(text) if CANNOT in one]
    assert len(said) == 1, lines(text)
    assert said[0].startswith(key)
    assert said[0].isprintable()


def test_a_tab_may_part_the_cells_of_a_file():
    assert not [
        one for one in lines(sound('[laying]\nplace = { data = "a.csv", unit = "s", separator = "\\t" }\n')) if CANNOT in one
    ]


@pytest.mark.parametrize("number", ["1e-320", "-1e-300", "1e-13"])
@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("[storage]\naisles = {}", "storage.aisles"),
        ("[laying]\ndamaged_mats = {{ low = {}, mode = 0.1, high = 0.2 }}", "laying.damaged_mats.low"),
        ("[laying]\nefficiency = {}", "laying.efficiency"),
        ('[weather.wind]\nunit = "m/s"\nmean = {}', "weather.wind.mean"),
    ],
)
def test_a_number_next_to_nothing_is_none(text, key, number):
    text = text.replace("{{", "{").replace("}}", "}").replace("{}", number)
    if "[weather" in text:
        text = f'[weather]\nmodel = "climate"\n[weather.climate]\nwet_hours = 50\n{text}'
    assert f"{key}: {float(number):g} is too small to be meant; write 0 for none" in lines(sound(text))


def test_nothing_itself_is_a_number():
    assert lines(sound("[laying]\nabsence = 0.0\nskew_found = -0.0")) == []


def test_a_start_has_whole_seconds():
    said = "starts: 2031-04-02 06:00:00.500000 has a fraction of a second; write whole seconds, such as 2031-04-02T06:00:00"
    assert lines("starts = 2031-04-02T06:00:00.5\n" + sound("")) == [said]


def test_a_key_strip_comes_in_a_length_once():
    said = lines(sound('[key_strips]\nlengths = ["3 ft", "9 ft", "36 in", "12 ft"]'))
    assert said == ["key_strips.lengths: 3 ft stands in the list twice; write each length once"]


def test_ground_that_is_still_to_be_graded_needs_people():
    said = "grading.people: nobody grades, and 40 % of the ground is still to be graded; write at least 1, or done = 1"
    assert said in lines(sound("[grading]\ndone = 0.6\npeople = 0"))
    assert lines(sound("[grading]\ndone = 1\npeople = 0")) == []
