"""Every command that prints JSON prints what the schema says, and an idea has one shape wherever it stands."""

import json

import pytest
from jsonschema import Draft202012Validator
from questions_asked import asked, declaring, put_all_into
from scenarios import SHORT

from simulation.present.renderers.record import SCHEMA
from simulation.questions.check.record_schema import record_schema

PRINTING = declaring("as_json")
VALIDATOR = Draft202012Validator(record_schema())
DEFINITIONS = VALIDATOR.schema["$defs"]


@pytest.fixture
def ask(keystrip, tmp_path, few_of_each_team, monkeypatch):
    """Return a function that asks a question in a small field and returns its record."""
    put_all_into(tmp_path)
    monkeypatch.setattr("simulation.present.renderers.page.render_image", lambda *_: b"<svg/>")
    monkeypatch.setattr("simulation.questions.conditions.study.SEASONS", 5)
    monkeypatch.setattr("simulation.questions.weather.study.DRAWN", 0)  # as few as may be

    def run(command):
        if "kept" in asked(command):
            assert keystrip(*asked("forecast"), "--out", "kept")[0] == 0
        code, out, err = keystrip(*asked(command), "--json")
        assert code == 0, err
        return json.loads(out)

    return run


def test_the_schema_itself_is_sound_and_is_what_check_prints(keystrip):
    Draft202012Validator.check_schema(VALIDATOR.schema)
    assert VALIDATOR.schema["properties"]["schema"] == {"const": SCHEMA}
    code, out, _ = keystrip("check", "--schema")
    assert (code, json.loads(out)) == (0, VALIDATOR.schema)


def test_every_command_that_prints_json_is_described():
    assert sorted(PRINTING) == VALIDATOR.schema["properties"]["question"]["enum"]


def test_a_name_that_two_questions_define_is_refused(tmp_path, monkeypatch):
    for question, part in {"lift": {"$defs": {"row": {}}}, "slip": {"$defs": {"row": {}}}}.items():
        (tmp_path / question).mkdir()
        (tmp_path / question / "answer.py").touch()
        (tmp_path / question / "record.schema.json").write_text(json.dumps(part), encoding="utf-8")
    monkeypatch.setattr("simulation.questions.check.record_schema._QUESTIONS", tmp_path)
    with pytest.raises(ValueError, match=r"slip/record.schema.json defines again: row"):
        record_schema()


@pytest.mark.parametrize("command", PRINTING)
def test_a_record_keeps_to_the_schema(ask, command):
    record = ask(command)
    assert [f"{error.json_path}: {error.message}" for error in VALIDATOR.iter_errors(record)] == []
    assert record["question"] == command
    misshapen = [f"{path}: {error}" for path, shape, value in shapes(record["answer"]) for error in errors(shape, value)]
    assert misshapen == []


def test_mistakes_are_a_record_of_the_same_shape(keystrip, tmp_path):
    (tmp_path / "wrong.toml").write_text(SHORT.replace("people = 16", "poeple = 16"), encoding="utf-8")
    code, out, _ = keystrip("check", "wrong.toml", "--json")
    record = json.loads(out)
    assert code == 2 and record["answer"]["mistakes"]
    assert list(VALIDATOR.iter_errors(record)) == []


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("schema",), 2),
        (("question",), "fortune"),
        (("answer", "headline"), ""),
        (("answer", "areas"), None),
        (("study",), {"runs": 7}),
        (("more",), 1),
    ],
)
def test_a_record_that_is_otherwise_does_not_keep_to_it(ask, path, value):
    record = ask("takeoff")
    *parents, last = path
    within = record
    for name in parents:
        within = within[name]
    within[last] = value
    assert list(VALIDATOR.iter_errors(record)) != []


def shapes(value, path=""):
    """Return the path, the name of the shape and the value of all that a record must say in a shape of its own."""
    found = []
    if isinstance(value, list):
        return [each for index, item in enumerate(value) for each in shapes(item, f"{path}[{index}]")]
    if not isinstance(value, dict):
        return found
    for key, item in value.items():
        shape = {"p50": "quantile", "p80": "quantile", "p90": "quantile", "chance": "chance", "outcome": "outcome"}.get(key)
        if key.endswith("_change"):
            shape = "share_change" if key.startswith("on_time") else "change"
        if shape and isinstance(item, dict):
            found.append((f"{path}.{key}", shape, item))
        found += shapes(item, f"{path}.{key}")
    return found


def errors(shape, value):
    return [error.message for error in VALIDATOR.evolve(schema={**DEFINITIONS[shape], "$defs": DEFINITIONS}).iter_errors(value)]
