"""What if nobody can be answered, because standard output or standard error is full or closed?"""

import os
import subprocess
import sys
from pathlib import Path

import pytest

import simulation

ROOT = Path(simulation.__file__).resolve().parents[1]


#: What is written to standard output by the program, by the parser of the command line, and for want of a command.
WRITTEN = ("takeoff first_look", "--help", "--version", "", "forecast --help")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device here that is always full")
@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        *((f"{words} > /dev/full", 2, "standard output cannot be written") for words in WRITTEN),
        ("check first_look x y 2> /dev/full", 2, ""),
        ("takeoff first_look >&-", 0, ""),
        ("check first_look 2>&-", 0, ""),
    ],
)
def test_it_ends_as_it_would_and_says_what_it_can(tmp_path, words, code, said):
    done = subprocess.run(
        f"{sys.executable} -m simulation {words}",
        shell=True,
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == code, done.stderr
    assert said in done.stderr and "fault" not in done.stderr
    assert code == 0 or len(done.stderr.splitlines()) <= 1, done.stderr
