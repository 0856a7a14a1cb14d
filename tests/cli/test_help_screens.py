"""Help on a terminal: plain text within 80 columns, commands under headings, and nothing left out."""

import inspect

import pytest

from simulation.cli.questions import COMMANDS, GROUPS
from simulation.session.data_option import with_data
from simulation.session.exit_codes import MEANINGS

BOXES = set("╭╮╰╯│─┃━")


@pytest.mark.parametrize("command", COMMANDS)
def test_a_command_lists_its_options_within_80_columns_without_boxes(keystrip, command):
    code, out, err = keystrip(command, "--help")
    lines = out.splitlines()
    assert (code, err) == (0, "")
    assert lines[0].startswith(f"keystrip {command} ")
    assert max(map(len, lines)) <= 80
    assert not BOXES & set(out) and "<bool>" not in out and "<=x<=" not in out
    options = {line.split()[0].split("/")[0] for line in lines if line.startswith("  --")}
    parameters = inspect.signature(with_data(COMMANDS[command]), eval_str=True).parameters.values()
    written = {name for one in parameters for name in _written(one.annotation)}
    assert {name.split("/")[0] for name in written} | {"--help"} == options


def _written(annotation):
    """Return the names of an option as its command declares them."""
    option = getattr(annotation, "__metadata__", [annotation])[0]
    named = (getattr(option, "default", ""), *(getattr(option, "param_decls", None) or ()))
    return [name for name in named if str(name).startswith("--")]


def test_every_command_stands_under_one_heading_and_every_code_is_named(keystrip):
    code, out, _ = keystrip("--help")
    lines = out.splitlines()
    assert code == 0
    assert max(map(len, lines)) <= 80
    assert not BOXES & set(out)
    for title, group in GROUPS.items():
        first = lines.index(title) + 1
        block = lines[first : lines.index("", first)]
        assert [line.split()[0] for line in block if line.startswith("  ") and line[2] != " "] == [*group]
    for number, meaning in MEANINGS.items():
        assert any(line.split() == [str(number), *meaning.split()] for line in lines)


def test_a_default_is_said_once(keystrip):
    _, out, _ = keystrip("forecast", "--help")
    assert out.count("400") == 1
    assert "Default: p80." in out
    assert "Default: False" not in out and "None" not in out


def test_help_fits_a_narrow_terminal(keystrip, monkeypatch):
    monkeypatch.setenv("COLUMNS", "60")
    assert max(map(len, keystrip("check", "--help")[1].splitlines())) <= 60
