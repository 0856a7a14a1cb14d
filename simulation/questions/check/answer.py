"""The answer to whether a scenario is sound."""

from __future__ import annotations

import math
from typing import Any

from simulation.present.answer import Answer
from simulation.present.words import wording
from simulation.questions.check.study import CheckResult
from simulation.scenario import Mistake
from simulation.scenario.types.mistakes import MOST_TOLD


def check_answer(result: CheckResult) -> Answer:
    """Return the answer; its lines say how lengths are read."""
    return Answer(
        question="check",
        title=result.title,
        about="is the scenario sound?",
        headline=_headline(result),
        lines=tuple(f"{result.file}: {key}: {how}" for key, how in result.read_as),
        record=_record(result),
        cautions=(),
    )


def _headline(result: CheckResult) -> str:
    if result.mistakes:
        return f"{result.file}: {wording.counted(len(result.mistakes), 'mistake')}"
    if result.by_leg and math.isfinite(result.ready_hours):
        alone = f"one drawn run of its own supply alone, no forecast: ready after {result.ready_hours / 24:.1f} days"
        return f"{result.file}: sound; {alone}; with its [leg]: ask keystrip move FIRST SECOND"
    if result.by_leg:
        return f"{result.file}: sound; its mats come by [leg]: ask keystrip move FIRST SECOND"
    if math.isinf(result.ready_hours):
        return f"{result.file}: sound"
    ready = "done" if result.takes_up else "ready"
    return f"{result.file}: sound; one drawn run, no forecast: {ready} after {result.ready_hours / 24:.1f} days"


def _record(result: CheckResult) -> dict[str, Any]:
    """Return what was found; the key of a mistake that concerns the whole file is empty."""
    return {
        "file": result.file,
        "sound": not result.mistakes,
        "mistakes_in_all": len(result.mistakes),
        "mistakes": [_record_mistake(mistake) for mistake in result.mistakes[:MOST_TOLD]],
        "scenario_warnings_in_all": len(result.warnings),
        "scenario_warnings": [_record_mistake(warning) for warning in result.warnings[:MOST_TOLD]],
        "read_as": [{"key": key, "how": how} for key, how in result.read_as],
        "drawn_run_ready_days": result.ready_hours / 24,
    }


def _record_mistake(mistake: Mistake) -> dict[str, str]:
    return {"key": mistake.key, "wrong": mistake.wrong, "right": mistake.right}
