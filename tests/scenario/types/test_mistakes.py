import pickle
from datetime import date, datetime

import pytest

from simulation.scenario.types.mistakes import Mistake, ScenarioError, address, did_you_mean, shown


def test_a_mistake_is_one_line_of_key_wrong_and_right():
    assert str(Mistake("area.runway.width", "is missing", "write width = …")) == (
        "area.runway.width: is missing; write width = …"
    )
    assert str(Mistake("", "there is no such file", "name one")) == "there is no such file; name one"


def test_an_error_names_the_file_in_every_line_and_travels_between_processes():
    error = ScenarioError("mine.toml", [Mistake("crew", "is missing", "write [[crew]]"), Mistake("a", "b", "c")])
    assert str(error) == "mine.toml: crew: is missing; write [[crew]]\nmine.toml: a: b; c"
    again = pickle.loads(pickle.dumps(error))
    assert (again.file, again.mistakes, str(again)) == (error.file, error.mistakes, str(error))


@pytest.mark.parametrize(
    ("value", "as_written"),
    [
        ("36 kg", '"36 kg"'),
        ('say "a"', '"say \\"a\\""'),
        ("two\nlines", '"two\\nlines"'),
        ("\u202eright to left", '"\\u202eright to left"'),
        (True, "true"),
        (4.0, "4.0"),
        (10**400, "a number of more than 18 digits"),
        ({"a": 1}, "a table"),
        ([1], "a list"),
        (datetime(2031, 4, 2, 6), "2031-04-02 06:00:00"),
        (date(2031, 4, 2), "2031-04-02"),
    ],
)
def test_a_value_is_shown_as_the_planner_wrote_it(value, as_written):
    assert shown(value) == as_written


def test_a_long_text_is_shown_by_its_beginning():
    assert len(shown("x" * 10_000)) == 62


def test_a_block_is_addressed_by_its_name_and_without_one_by_its_number():
    raw = {"area": [{"name": "runway"}, {}, {"name": 5}, {"name": "a.b"}, {"name": "<script>"}, {"name": "end one"}]}
    steps = [address(("area", index, "width"), raw) for index in range(7)]
    assert steps == [
        "area.runway.width",
        "area.2.width",
        "area.3.width",
        'area."a.b".width',
        'area."<script>".width',
        "area.end one.width",
        "area.7.width",
    ]


def test_an_address_stays_on_one_line_whatever_the_key():
    assert address(("two\nlines",), {}) == '"two\\nlines"'


def test_a_hint_names_the_nearest_or_all_there_are():
    assert did_you_mean("taxiwy", ["runway", "taxiway"]) == "did you mean taxiway?"
    assert did_you_mean("zzz", ["runway", "apron"]) == "use one of: apron, runway"
