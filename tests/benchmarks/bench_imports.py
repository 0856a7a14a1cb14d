"""Which library costs a command how much before it answers? Milliseconds of loading, by command and library.

Run it by hand: ``python tests/benchmarks/bench_imports.py``, or with the commands that are asked about. Times are Python's own
(`-X importtime`), each module's without those that it loads itself, summed by library; those of the program by room.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from collections import Counter
from pathlib import Path
from tempfile import TemporaryDirectory

ROOT = Path(__file__).resolve().parents[2]
COMMANDS = (
    "--help",
    "check first_look",
    "takeoff first_look",
    "forecast first_look --runs 20",
    "trace first_look",
    "studies reports/first_look",
)


def loaded_by(command: str, folder: Path) -> Counter[str]:
    """Return the milliseconds that a command spends on loading, by library; rooms of the program stand for themselves."""
    words = [sys.executable, "-X", "importtime", "-m", "simulation", *command.split()]
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    said = subprocess.run(words, cwd=folder, env=environment, capture_output=True, text=True, check=True).stderr
    spent: Counter[str] = Counter()
    for line in said.splitlines():
        if line.startswith("import time:") and "self [us]" not in line:
            own, _, module = line.removeprefix("import time:").split("|")
            parts = module.strip().split(".")
            spent[".".join(parts[:2]) if parts[0] == "simulation" else parts[0]] += int(own) / 1000.0  # type: ignore[assignment]
    return spent


def main() -> None:
    parser = argparse.ArgumentParser(description="What each command loads, in milliseconds.")
    parser.add_argument("commands", nargs="*", default=COMMANDS, help='such as "check first_look"')
    parser.add_argument("--most", type=int, default=25, help="libraries that are shown")
    asked = parser.parse_args()
    with TemporaryDirectory() as made:
        loads = {command: loaded_by(command, Path(made)) for command in asked.commands}
    heads = [command.split()[0] for command in loads]
    worst = sorted(set().union(*loads.values()), key=lambda name: -max(spent[name] for spent in loads.values()))
    print(f"{'milliseconds':28}" + "".join(f"{head:>12}" for head in heads))
    print(f"{'all':28}" + "".join(f"{sum(spent.values()):12.0f}" for spent in loads.values()))
    for name in worst[: asked.most]:
        print(f"{name:28}" + "".join(f"{spent[name]:12.0f}" if spent[name] else f"{'':12}" for spent in loads.values()))


if __name__ == "__main__":
    main()
