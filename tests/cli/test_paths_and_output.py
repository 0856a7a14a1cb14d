"""Words that can be no path, and answers that nobody can be given."""

import time
from pathlib import Path

import pytest

import simulation

ROOT = Path(simulation.__file__).resolve().parents[1]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["forecast", "--out", ""], '--out: "" names no folder; write one, or leave it out'),
        (["forecast", "--out="], '--out: "" names no folder; write one, or leave it out'),
        (["takeoff", "--csv", ""], '--csv: "" names no file; write one, or leave it out'),
        (["trace", "--out", " "], '--out: "" names no file; write one, or leave it out'),
        (["check", "--data", ""], '--data: "" names no folder; write one, or leave it out'),
        (["check", ""], 'SCENARIO: "" names no file; write one, or leave it out'),
        (["studies", ""], 'DIR: "" names no folder; write one\n'),
        (["weather", ""], 'FILE: "" names no file; write one'),
        (["new", ""], 'FILE: "" names no file; write one'),
        (["check", "http://x/y.toml"], "SCENARIO: http://x/y.toml is an address, and only files of this machine"),
        (["forecast", "--out", "file:///tmp/x"], "--out: file:///tmp/x is an address, and only files of this machine"),
        (["check", "first_look/"], "SCENARIO: first_look/ ends as a folder does; name a file"),
        (["takeoff", "--csv", "a.csv/"], "--csv: a.csv/ ends as a folder does; name a file"),
        (["forecast", "first_look", "--sampling", ""], '--sampling: "" is not a way to draw'),
        (["forecast", "--seed", "9" * 30], "is too large; write 9223372036854775807 or less"),
        (["forecast", "first_look", "--deadline", "9 dd"], 'did you mean "9 d"?'),
        (["forecast", "first_look", "--cluster", ""], '--cluster: "" is no address of a scheduler; write one such as tcp://'),
        (["forecast", "first_look", "--cluster", "x"], '--cluster: "x" is no address of a scheduler'),
        (["forecast", "first_look", "--cluster", "http://127.0.0.1:1"], '"http://127.0.0.1:1" is no address of a scheduler'),
        (["forecast", "first_look", "--cluster", "tcp://127.0.0.1:99999"], ':99999" is no address of a scheduler'),
        (["forecast", "first_look", "--cluster", "tcp://:8786"], '"tcp://:8786" is no address of a scheduler'),
    ],
)  # fmt: skip
def test_what_can_be_none_is_refused_in_one_line_and_leaves_nothing(keystrip, words, said):
    began = time.monotonic()
    code, out, err = keystrip(*words)
    assert (code, out) == (2, "")
    lines = [line for line in err.splitlines() if ": warning: " not in line]
    assert len(lines) == 1, err
    assert said in f"{lines[0]}\n"
    assert time.monotonic() - began < 5


def test_the_largest_seed_that_is_told_is_taken(keystrip):
    assert keystrip("trace", "first_look", "--seed", 2**63 - 1, "--out", "trace.csv")[0] == 0


def test_a_file_in_the_place_of_a_folder_is_told_in_plain_words(keystrip):
    Path("taken").write_text("mine", encoding="utf-8")
    code, out, err = keystrip("forecast", "first_look", "--runs", "2", "--out", "taken")
    assert (code, out) == (2, "")
    assert "File exists" not in err
    assert "taken/runs.sqlite: cannot be used: what bears the name of its folder is a file; name a folder" in err
