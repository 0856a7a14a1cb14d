"""Does the comparison still run, in one go, and write what it prints? How fast anybody is, it says itself."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).parent / "bench_all.py"
FEW = ["--rounds", "1", "--turn", "0", "--least", "1", "--pallets", "10", "--feet", "40", "--runs", "3", "--paces", "1"]
SMALL = ["--sizes", "40", "80", "--timeouts", "1000", "--memory", "1", "3", "--only", "help", "--times", "1"]


@pytest.mark.slow
def test_the_comparison_prints_its_tables_and_writes_them_with_a_picture(tmp_path: Path):
    command = [sys.executable, str(SCRIPT), *FEW, *SMALL, "--out", str(tmp_path)]
    shown = subprocess.run(command, capture_output=True, text=True, check=True, env={**os.environ, "PYTHONPATH": ""}).stdout
    assert (tmp_path / "benchmarks.md").read_text(encoding="utf-8").strip() == shown.strip()
    assert (tmp_path / "benchmarks.png").read_bytes().startswith(b"\x89PNG")
    assert "</svg>" in (tmp_path / "benchmarks.svg").read_text(encoding="utf-8")
    raced = [line for line in shown.splitlines() if " ± " in line and line.startswith("|")]
    assert len(raced) == 11
    assert all(float(line.split("|")[2].replace(",", "")) > 0 for line in raced)
    for name, times in (("this program", 3), ("heap loop by hand", 2), ("SimPy", 3), ("salabim", 2), ("ciw", 1)):
        assert sum(line.startswith(f"| {name}") for line in raced) == times
    for heading in (
        "A second worker",
        "Cost against field size",
        "Memory against runs",
        "Who can express what",
        "What each command takes",
    ):
        assert f"## {heading}" in shown
    assert any(line.split("|")[1].strip() == "help" for line in shown.splitlines() if line.startswith("|"))
    # A ratio to oneself is one.
    ratios = [line.split("|")[5].strip() for line in raced if line.startswith("| this program")]
    assert ratios == ["1", "1", "1"]


def test_the_tables_name_no_machine_and_no_place_on_it(tmp_path: Path):
    sys.path.insert(0, str(SCRIPT.parent))
    import bench_table

    timing = bench_table.Timing("whole", bench_table.THIS, 2.0, 1.0, None, 1.0, 10.0, 0.5, 4)
    scaling, cost = bench_table.Scaling(3, 1.0, 2.0, 2.0, 1.9), bench_table.Cost(300, 78, 0.001, 0.002, 12.0, 13.0)
    memory = [bench_table.Memory(1, 80.0, 0.0), bench_table.Memory(1025, 81.0, 0.5)]
    text = bench_table.as_text(bench_table.Results([timing], scaling, [cost], memory, 1, {}))
    assert os.uname().nodename not in text
    assert not re.search(r"(^|\s)/\w+", text)
    assert "From 1 runs to 1,025 it grows by 1.0 KiB a run." in text
