"""Does the benchmark of pairing still run, and does it measure what it says? What pairing gains, it says itself."""

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))

from bench_pairing import CLOCKS, MORE_FORKLIFTS, Gain, gain, verdicts

RUNS = 400


def luck(seed):
    return np.random.default_rng(seed).normal(200.0, 30.0, RUNS)


def test_plans_that_move_together_perfectly_reach_what_is_possible_at_most():
    common = luck(1)
    found = gain("plan", "calendar", common, 1.5 * common, 1.5 * common[::-1])  # the same numbers, but each beside another
    assert found.spread == pytest.approx(1.5)
    assert found.correlation == pytest.approx(1.0)
    assert found.best == pytest.approx(np.hypot(1.0, 1.5) / 0.5)
    assert found.share == pytest.approx(1.0, abs=0.01)
    assert found.p80 > 2


def test_plans_that_have_nothing_in_common_gain_nothing():
    found = gain("plan", "calendar", luck(1), luck(3), luck(4))
    assert found.mean == pytest.approx(1.0, abs=0.1)
    assert found.p80 == pytest.approx(1.0, abs=0.25)


def test_a_promise_is_said_to_be_kept_only_where_it_is():
    def forklift(clock, mean, p80):
        return Gain(MORE_FORKLIFTS, clock, 1.1, 0.9, mean, p80, 20.0)

    wide = [Gain("wide", CLOCKS[0], 1.5, 0.9, 2.0, 2.0, best) for best in (2.4, 2.6)]
    lines = verdicts([forklift(CLOCKS[0], 3.1, 2.9), forklift(CLOCKS[1], 2.9, 3.0), *wide])
    assert [line.split(":")[0] for line in lines[:4]] == ["kept", "not kept", "kept", "not kept"]
    assert [line.split(":")[0] for line in lines[4:6]] == ["not kept", "kept"]
    assert lines[6] == "no plan's spread differs by more than a third, laying clock"


@pytest.mark.slow
def test_the_benchmark_prints_its_table_and_its_verdicts():
    script = Path(__file__).parent / "bench_pairing.py"
    few = [sys.executable, str(script), "--runs", "6", "--workers", "1"]
    shown = subprocess.run(few, capture_output=True, text=True, check=True, env={**os.environ, "PYTHONPATH": ""})
    lines = shown.stdout.splitlines()
    assert "6 runs of each plan" in lines[0]
    assert sum(line.startswith(MORE_FORKLIFTS) for line in lines) == len(CLOCKS)
    assert sum(line.startswith(("kept", "not kept")) for line in lines) >= 4
