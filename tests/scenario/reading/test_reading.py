import re
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scenarios import keys, line, lines, sound

import simulation
from simulation.scenario import Scenario, ScenarioError, load_scenario, parse_scenario, shipped

SHIPPED = shipped().read_text(encoding="utf-8")


@pytest.mark.parametrize("name", ["relief_strip", "first_look"])
def test_a_shipped_scenario_is_found_and_sound_from_any_folder(name, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert load_scenario(shipped(name)).area


def test_in_a_checkout_the_shipped_scenarios_stand_beside_the_package():
    assert shipped("first_look") == Path(simulation.__file__).parent.parent / "configs" / "first_look.toml"


def test_in_an_installed_package_the_shipped_scenarios_stand_inside_it(tmp_path, monkeypatch):
    (tmp_path / "simulation" / "configs").mkdir(parents=True)
    (tmp_path / "configs").mkdir()
    monkeypatch.setattr("simulation.scenario.reading.reading.resources.files", lambda package: tmp_path / package)
    assert shipped("first_look") == tmp_path / "simulation" / "configs" / "first_look.toml"


def test_without_a_path_the_relief_strip_is_loaded():
    assert load_scenario() == load_scenario(shipped("relief_strip"))


def test_a_scenario_without_a_title_bears_the_name_of_its_file(tmp_path):
    for stem, title in (("north field", "north field"), ("x" * 80, "x" * 60), ("\n", "untitled")):
        (tmp_path / f"{stem}.toml").write_text(sound())
        assert load_scenario(tmp_path / f"{stem}.toml").title == title


def test_a_byte_order_mark_before_a_scenario_is_passed_over(tmp_path):
    (tmp_path / "a.toml").write_bytes(b"\xef\xbb\xbf" + sound().replace("\n", "\r\n").encode())
    assert load_scenario(str(tmp_path / "a.toml")).title == "a"


def test_a_file_that_cannot_be_read_is_named_with_the_reason(tmp_path):
    (tmp_path / "latin.toml").write_bytes(b'title = "S\xfcd"')
    for name, reason in (
        (
            "nothing.toml",
            "there is no such file; name a scenario, or a shipped one: relief_strip (the default), early_opening, first_look, "
            "lift_and_relay, lift_and_relay_second, night_and_heat, railed_strip",
        ),
        ("", "cannot be read: is a folder, a pipe or a device, and no file; name a TOML file"),
        ("x" * 300, "cannot be read: File name too long; name a TOML file"),
        ("latin.toml", "is not text in UTF-8 (byte 11); save it as UTF-8"),
    ):
        with pytest.raises(ScenarioError) as caught:
            load_scenario(tmp_path / name)
        assert str(caught.value) == f"{tmp_path / name}: {reason}"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            'title = "a"\n\n[laying]\nwalk = 2 mph\n',
            "line 4: expected newline or end of document after a statement, at walk; "
            'mend it: text and quantities stand in quotes, such as "72 ft"',
        ),
        ('a = 1\nb = "x\n', "line 2: illegal character '\\n', at b; mend it: "),
        ("a = [1,\n2\n\n", "line 2: unclosed array; mend it: "),
        ("a = 1\na = 2\nb = 3", "line 2: this key or table stands twice, at a; write it once"),
        ("[area]\n[area]\n", "line 2: this table stands twice, at [area]; write it once, or in [[two brackets]] where"),
        ("starts = 2031-02-30T06:00:00", "line 1: invalid date or datetime, at starts; "),
        ("a = \x00", "line 1: "),
        ("root:x:0:0:root:/root:/bin/sh\n", "line 1: expected '=' after a key in a key/value pair; mend it: "),
        ("PASSWORD=open sesame\n", "line 1: invalid value, at PASSWORD; mend it: "),
        ("a = 1\n\x0c", "line 2: "),
        (
            "[supply]\nspares = 0,04\n",
            "line 2: expected newline or end of document after a statement, at spares; write 0.04: a point, not a comma",
        ),
        ("[[area]\n", "line 1: expected ']]' at the end of an array declaration, at [[area]; write [[area]]: as many brackets"),
        ("seed = " + "9" * 5000, "a number has too many digits to be read; write a shorter one"),
        ("a = " + "[" * 5000, "brackets stand too deep inside each other; "),
    ],
)
def test_what_is_no_toml_is_told_with_its_line(text, said):
    assert line(text).startswith(said)


def test_a_comma_for_a_decimal_point_is_named_wherever_it_stands():
    assert "write 0.2: a point, not a comma" in line("place = { low = 0,2, high = 1 }")
    assert '"0,04" is not a number; write 0.04: a point, not a comma' in line(sound('spares = "0,04"'))
    assert "write 80.5 ft: a point, not a comma" in line(sound('yard = { area = "strip", station = "80,5 ft", offset = "1 ft" }'))


def test_a_scenario_says_the_same_for_windows_line_ends():
    assert lines(sound("spares = 2").replace("\n", "\r\n")) == lines(sound("spares = 2"))


NUMBERS = ["0", "-1", "0.5", "1e999", "nan", "9223372036854775807", "true", "2031-04-02", "07:32:00"]
TEXTS = ["''", "'x'", "'1 kg'", "'72 ft'", "'-3 min'", "'5 day'"]
TABLES = ["[]", "[[]]", "{}", "['a']", "[1, 'a']", "{ a = 1 }", "{ mean = '1 h' }", "{ data = 'x.csv' }", "{ area = 'x' }"]
values = st.sampled_from([*NUMBERS, *TEXTS, *TABLES, "{ p10 = '1 s', p90 = '9 kg' }"])
KEYS = sorted(set(re.findall(r"(?m)^(\w+) =", SHIPPED)))
PLACES = [match.span(1) for match in re.finditer(r"(?m)^\w+ = (.*?)(?: *#.*)?$", SHIPPED)]


def answer(text):
    """A scenario, or at least one line; anything else is a failure."""
    try:
        assert isinstance(parse_scenario(text), Scenario)
    except ScenarioError as error:
        assert error.mistakes
        said = [str(mistake) for mistake in error.mistakes]
        assert all(one.isprintable() for one in said)
        inner = re.findall(r"pydantic|Traceback|<class|object at 0x", "".join(said))
        assert all(word in text for word in inner)  # none of the program's own; the planner's words may be quoted
        return error
    return None


@given(st.lists(st.tuples(st.sampled_from(PLACES), values), min_size=1, max_size=4, unique_by=lambda one: one[0]))
def test_any_value_in_any_place_gives_a_scenario_or_its_mistakes(changes):
    text = SHIPPED
    for (start, end), value in sorted(changes, reverse=True):
        text = text[:start] + value + text[end:]
    answer(text)


@given(st.data())
def test_any_key_in_any_table_gives_a_scenario_or_its_mistakes(data):
    heads = [match.end() for match in re.finditer(r"(?m)^\[.*$", SHIPPED)]
    at = data.draw(st.sampled_from(heads))
    key = data.draw(st.sampled_from(KEYS) | st.text(max_size=8).map(lambda text: f'"{text.encode("unicode_escape").decode()}"'))
    answer(f"{SHIPPED[:at]}\n{key} = {data.draw(values)}{SHIPPED[at:]}")


@given(st.integers(0, len(SHIPPED)), st.integers(0, 40), st.text(max_size=6))
def test_any_slip_of_the_pen_gives_a_scenario_or_its_mistakes(at, length, text):
    error = answer(SHIPPED[:at] + text + SHIPPED[at + length :])
    if error is not None and error.mistakes[0].key.startswith("line "):
        assert len(error.mistakes) == 1


@given(st.lists(st.integers(0, SHIPPED.count("\n")), min_size=1, max_size=25))
def test_any_lines_left_out_give_a_scenario_or_its_mistakes(left_out):
    kept = [text for number, text in enumerate(SHIPPED.split("\n")) if number not in left_out]
    answer("\n".join(kept))


@given(st.text(max_size=80))
def test_any_text_at_all_gives_a_scenario_or_its_mistakes(text):
    answer(text)


BROKEN = SHIPPED.replace("people = 20\nareas", "people = 2\nareas").replace('length = "240 ft"', 'length = "241 ft"')
ELSEWHERE = [
    match.span(1) for match in re.finditer(r"(?m)^(?!name|length|people|overhead|team_size)\w+ = (.*?)(?: *#.*)?$", BROKEN)
]


def test_a_contradiction_is_told_where_nothing_else_is_wrong():
    assert keys(BROKEN) == ["area.taxiway.length", "crew.B.people"]


@given(st.sampled_from(ELSEWHERE), values)
def test_whatever_is_wrong_elsewhere_a_contradiction_is_told(place, value):
    error = answer(BROKEN[: place[0]] + value + BROKEN[place[1] :])
    assert {"crew.B.people", "area.taxiway.length"} <= {mistake.key for mistake in error.mistakes}


def test_deep_dotted_keys_are_refused_like_any_other_unknown_key():
    deep = ".".join(["a"] * 3000)
    assert tomllib.loads(f"{deep} = 1")
    assert lines(f"{sound()}\n[laying]\nplace.{deep} = 1\nlock = {{ data.{deep} = 1 }}")
    assert lines(sound(top=f"{deep} = 1"))
