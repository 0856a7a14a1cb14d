"""Every key there is stands under a new scenario behind a #, with the default that the models have, and nothing else does."""

import re
import tomllib

import pytest
from every_key_scenario import MODELS
from pydantic import TypeAdapter

from simulation.scenario import load_scenario, shipped, shipped_names
from simulation.scenario.reading.every_default import every_default

TEXT = every_default()
HEADER = re.compile(r"# \[\[?([a-z_.]+)\]\]? ")
KEY = re.compile(r"# ([a-z_0-9]+)(?: = (.+?))?(?:\s{2,}#.*)?")


def commented():
    """Table by table, every key with what stands behind its equals sign, or None."""
    found, table = {"": {}}, ""
    for line in TEXT.splitlines()[4:]:
        if header := HEADER.match(line):
            table = header[1]
            found[table] = {}
        elif key := KEY.fullmatch(line):
            found[table][key[1]] = key[2]
    return found


FOUND = commented()


def test_every_table_and_every_key_of_the_models_is_there_and_no_other():
    assert list(FOUND) == list(MODELS)
    for path, model in MODELS.items():
        keys = {
            field.alias or name
            for name, field in model.model_fields.items()
            if f"{path}.{field.alias or name}".strip(".") not in MODELS
        }
        assert set(FOUND[path]) == keys, path
    assert sum(map(len, FOUND.values())) > 280


@pytest.mark.parametrize("path", FOUND)
def test_a_table_without_its_marks_is_read_and_gives_the_defaults(path):
    text = "\n".join(f"{key} = {value}" for key, value in FOUND[path].items() if value is not None)
    raw = tomllib.loads(text)
    for name, field in MODELS[path].model_fields.items():
        key = field.alias or name
        if key in FOUND[path]:
            default = None if field.is_required() else field.get_default(call_default_factory=True)
            assert (key in raw) == (default is not None)
            if key in raw:
                reader = TypeAdapter(field.rebuild_annotation())
                assert reader.validate_python(raw[key]) == reader.validate_python(default), key


def test_every_key_says_what_it_means_and_no_line_is_too_long():
    assert max(map(len, TEXT.splitlines())) <= 130
    for line, after in zip(TEXT.splitlines()[4:], [*TEXT.splitlines()[5:], ""], strict=True):
        if KEY.fullmatch(line) or HEADER.match(line):
            assert "  # " in line or re.match(r"#\s{20,}# ", after), line


@pytest.mark.parametrize("name", shipped_names())
def test_a_new_scenario_is_the_one_it_starts_from(name, keystrip, tmp_path):
    code, _, err = keystrip("new", "mine.toml", "--like", name)
    assert code == 0, err
    assert load_scenario(tmp_path / "mine.toml") == load_scenario(shipped(name))
    text = (tmp_path / "mine.toml").read_text(encoding="utf-8")
    assert text.startswith(shipped(name).read_text(encoding="utf-8").rstrip())
    assert text.endswith(every_default())


def test_a_table_that_the_scenario_has_not_can_be_used_where_it_stands(keystrip, tmp_path):
    keystrip("new", "mine.toml", "--like", "first_look")
    text = (tmp_path / "mine.toml").read_text(encoding="utf-8")
    for line in ("[stops]", "thunder = 0.0", "[stops.laying]", 'gust = "30 mph"'):
        assert f"\n# {line}" in text
        text = text.replace(f"\n# {line}", f"\n{line}", 1)
    (tmp_path / "mine.toml").write_text(
        text.replace("[weather]", '[weather]\nwind = { unit = "mph", mean = 9 }\nrain = { unit = "mm", mean = 2 }', 1)
    )
    assert load_scenario(tmp_path / "mine.toml").stops.laying.gust == 30.0
    assert keystrip("check", "mine.toml")[0] == 0


def test_a_name_that_none_is_shipped_under_is_told_with_those_there_are(keystrip, tmp_path):
    code, _, err = keystrip("new", "mine.toml", "--like", "railed")
    assert (code, "did you mean railed_strip?" in err) == (2, True)
    code, _, err = keystrip("new", "mine.toml", "--like", "../x")
    shipped = "early_opening, first_look, lift_and_relay, lift_and_relay_second, night_and_heat, railed_strip, relief_strip"
    assert (code, f"use one of: {shipped}" in err) == (2, True)
    assert not (tmp_path / "mine.toml").exists()
