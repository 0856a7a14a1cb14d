"""Does the benchmark still run? How fast, it says itself; here only that it says it."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).parent / "bench_forecast.py"


@pytest.mark.slow
def test_the_benchmark_prints_its_table():
    few = ["--runs", "4", "--rounds", "2", "--timeouts", "2000", "--memory", "1", "3", "--starts", "1"]
    shown = subprocess.run(
        [sys.executable, str(SCRIPT), *few], capture_output=True, text=True, check=True, env={**os.environ, "PYTHONPATH": ""}
    )
    lines = shown.stdout.splitlines()
    table = {line[:42].split("  ")[0].strip(): line.split() for line in lines}
    assert len(lines) == 12
    (ratio,) = (line.split()[-1] for line in lines if line.startswith("timeouts per pallet"))
    assert 1 < float(ratio) < 1000
    (speed_up,) = (line.split()[-1] for line in lines if line.startswith("speed-up"))
    assert float(speed_up) > 0
    (memory,) = (line.split()[-2] for line in lines if line.startswith("peak memory, 3 runs"))
    assert 10 < float(memory) < 2000
    assert all(any(name.startswith(start) for name in table) for start in ("bare timeout", "one run", "keystrip --help"))
