"""Slips of the pen on the command line, and mistakes in a file, as a person meets them."""

import json
import shlex
import sys

import pytest
import typer
from scenarios import LEAST, SHORT

from simulation.cli.usage_errors import describe_usage_error
from simulation.scenario import Mistake
from simulation.session import interrupts, kept_runs, session


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ["forecast", "--runs", "ten"],
            '--runs: "ten" is not a whole number; write one such as 400; keystrip forecast --help lists what there is',
        ),
        (["conditions", "--seasons", "1.5"], '--seasons: "1.5" is not a whole number; write one such as 200'),
        (["weather", "x.csv", "--wet", "much"], '--wet: "much" is not a number; write one such as 0.2; keystrip weather --help'),
        (["trace", "--run", "-1"], "--run: -1 is too small; write 0 or more; keystrip trace --help"),
        (["conditions", "--seasons", "99999"], "--seasons: 99999 is too large; write 10000 or less; keystrip conditions --help"),
        (
            ["forecast", "--runs"],
            "--runs lacks its value; write it behind the option, such as --runs 400; keystrip forecast --help",
        ),
        (["compare", "--vary"], "--vary lacks its value; write it behind the option; keystrip compare --help"),
        (["forecast", "--folder"], '"--folder" is no option; '),
        (["forecast", "-x"], '"-x" is no option; write one of those that there are; keystrip forecast --help'),
        (["forecast", "--run", "3"], '"--run" is no option; did you mean --runs?; keystrip forecast'),
        (["forecast", "--prec", "3"], '"--prec" is no option; did you mean --precision?'),
        (["--nope"], '"--nope" is no option; write one of those that there are; keystrip --help lists'),
        (
            ["forecast", "--json=3"],
            "--json is written alone and takes nothing; leave out the = and what stands behind it",
        ),
        (["frecast"], '"frecast" is no command; did you mean forecast?; keystrip --help lists what there is'),
        (["xyz"], '"xyz" is no command; write one of those that there are; keystrip --help'),
        (["check", "a", "b"], '"b" is more than check takes; leave it out, or put a name with blanks in quotes; keystrip check'),
        (["check", "a", "b c", "d"], '"b c d" is more than check takes; leave it out'),
        (["check", "--units", ""], '--units: "" are no units; write feet or metric'),
        (["weather"], "FILE is missing; write it behind the command; keystrip weather --help"),
        (["repeat"], "STUDY is missing; write it behind the command; keystrip repeat --help"),
    ],
)
def test_a_slip_of_the_pen_is_one_line_that_names_the_help_of_its_command(keystrip, words, said):
    code, out, err = keystrip(*words)
    assert (code, out, len(err.splitlines())) == (2, "", 1)
    assert said in err
    assert "are no units" in said or err.endswith(" --help lists what there is\n")


@pytest.fixture
def wrong(tmp_path):
    text = SHORT.replace('"72 ft"', '"71 ft"').replace("people = 16", "poeple = 16")
    (tmp_path / "wrong.toml").write_text(text, encoding="utf-8")
    return "wrong.toml"


def test_mistakes_are_counted_first_and_each_is_one_line_in_a_pipe(keystrip, wrong):
    code, out, err = keystrip("check", wrong)
    first, *lines = err.splitlines()
    assert (code, out, first) == (2, "", f"{len(lines)} mistakes in wrong.toml:")
    assert len(lines) >= 2 and all(line.startswith("wrong.toml: ") for line in lines)
    assert max(map(len, lines)) > 80


def test_mistakes_are_wrapped_within_a_terminal_and_lose_no_word(keystrip, wrong, monkeypatch):
    in_a_pipe = keystrip("check", wrong)[2]
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    on_a_terminal = keystrip("check", wrong)[2]
    assert max(map(len, on_a_terminal.splitlines())) <= 80
    assert on_a_terminal.split() == in_a_pipe.split()


def test_a_command_in_a_warning_is_not_broken_on_a_terminal(monkeypatch, capsys):
    monkeypatch.setenv("COLUMNS", "80")
    command = "keystrip weather 'my records/of many years.csv' --columns time=time,rain=rain:mm,wind=wind:mph,humidity=h:%"
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    session.say_warnings("north.toml", [Mistake("weather.records", "words " * 30 + "end", f"list all with: {command}")])
    *words, last = capsys.readouterr().err.splitlines()
    assert shlex.split(last) == shlex.split(command)
    assert len(words) > 1 and words[-1].endswith("with:")


def test_check_gives_mistakes_and_warnings_as_records(keystrip, tmp_path, wrong):
    code, out, err = keystrip("check", wrong, "--json")
    found = json.loads(out)["answer"]
    assert (code, err, found["file"], found["sound"], found["scenario_warnings"]) == (2, "", "wrong.toml", False, [])
    assert {"key": "crew.red.poeple", "wrong": "unknown key", "right": "did you mean people?"} in found["mistakes"]
    (tmp_path / "least.toml").write_text(LEAST, encoding="utf-8")
    code, out, err = keystrip("check", "least.toml", "--json")
    found = json.loads(out)["answer"]
    assert (code, err, found["sound"], found["mistakes"]) == (0, "", True, [])
    assert "site" in [one["key"] for one in found["scenario_warnings"]] and found["drawn_run_ready_days"] > 0
    code, out, _ = keystrip("check", "nowhere.toml", "--json")
    assert code == 2 and json.loads(out)["answer"]["mistakes"][0]["wrong"] == "there is no such file"


@pytest.mark.parametrize(
    "failure",
    [
        ImportError("cannot load module more than once per process"),
        SyntaxError("(unicode error) \\N escapes not supported (can't load unicodedata module)"),
    ],
)
@pytest.mark.parametrize(("interrupted", "code"), [(True, 130), (False, None)])
def test_what_fails_because_its_loading_was_broken_off_is_an_interrupt(monkeypatch, capsys, interrupted, code, failure):
    def command():
        raise failure

    monkeypatch.setattr(interrupts, "asked", lambda: interrupted)
    monkeypatch.setattr(kept_runs, "_kept_in", None)
    with pytest.raises(typer.Exit if interrupted else type(failure)) as ended:
        kept_runs.interruptible(command)()
    assert getattr(ended.value, "exit_code", None) == code
    assert capsys.readouterr().err == ("keystrip: stopped\n" if interrupted else "")


def test_every_message_of_the_parser_is_put_in_words_of_our_own():
    """Whatever the library raises, by the classes that it has: none of its own words are passed on."""
    exceptions = sys.modules[typer.BadParameter.__mro__[1].__module__]
    usage = typer.BadParameter.__mro__[1]
    kinds = [one for one in vars(exceptions).values() if isinstance(one, type) and issubclass(one, usage)]
    assert len(kinds) > 5
    for kind in kinds:
        error = kind.__new__(kind)
        usage.__init__(error, "Library words.")
        for name in ("option_name", "param", "param_hint", "param_type", "possibilities"):
            setattr(error, name, "--x" if name == "option_name" else None)
        said = describe_usage_error(error, ["forecast", "--x"], ["forecast"])
        assert "Library" not in said, kind
        assert said.endswith("keystrip forecast --help lists what there is")


def test_what_must_stand_in_a_column_is_asked_for_by_an_example(keystrip):
    code, _, err = keystrip("weather", "x.csv", "--only", "0x0")
    assert (code, err) == (
        2,
        'keystrip: --only: "0x0" is not COLUMN=TEXT; write such as station=north, with commas between several\n',
    )
