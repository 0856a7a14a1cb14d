"""What if nobody can be answered, because standard output or standard error is full or closed?"""

import os
import subprocess
import sys
from pathlib import Path

import pytest

import simulation

ROOT = Path(simulation.__file__).resolve().parents[1]


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device here that is always full")
@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        ("takeoff first_look > /dev/full", 2, "standard output cannot be written"),
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
