"""A run that is dismissed is gone at once: batches run without the collector."""

import gc
import weakref
from pathlib import Path

import pytest
from every_key_scenario import FILE as EVERY_KEY

from simulation.construction import compile_plan, simulate
from simulation.scenario import load_scenario

CONFIGS = Path(__file__).resolve().parents[2] / "configs"


@pytest.mark.parametrize(
    "file", [CONFIGS / "first_look.toml", CONFIGS / "night_and_heat.toml", EVERY_KEY], ids=lambda file: file.stem
)
def test_a_dismissed_run_leaves_nothing_that_only_the_collector_could_free(file):
    plan = compile_plan(load_scenario(file))
    gc.collect()
    gc.disable()
    try:
        run = simulate(plan, 0)
        parts = {
            name: weakref.ref(part) for name, part in {"site": run.site, "a crew": run.crews[0], "the board": run.board}.items()
        }
        run.dismiss()
        del run
        assert [name for name, part in parts.items() if part() is not None] == []
    finally:
        gc.enable()
