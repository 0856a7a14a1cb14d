"""Which files does a comparison leave? JSON, CSV and a picture, named by what is varied, so that other questions keep theirs."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from simulation.present.answer_files import file_stem, write_answer
from simulation.present.cautions import CAUTIONS
from simulation.present.record_units import ANSWER_UNITS
from simulation.questions.compare.picture import save_comparison
from simulation.questions.compare.tables import answer_lines
from simulation.stats.quantiles import CONFIDENCE, SAMPLING_ERROR_ONLY

_TEAM = re.compile(r"\d+x\d+")

if TYPE_CHECKING:
    from simulation.questions.compare.study import CompareResult, CompareRow
    from simulation.stats.paired_difference import Difference


def write_comparison(found: CompareResult, folder: Path, force: bool = False) -> list[Path]:
    """Write the files into a folder, which is made where it is missing, and return their paths.

    Raises
    ------
    OSError
        If the folder or a file in it cannot be written, or is not to be replaced: see `own_files.write_whole`.
    """
    record, stem = comparison_record(found), question([one.outcome.name for one in found.plans])
    rows = [_flat(plan) for plan in record["plans"]]
    return write_answer(folder, "compare", stem, record, lambda path: save_comparison(found, path), rows, force=force)


def question(names: Sequence[str]) -> str:
    """Return what the files of a comparison of plans are called: after the keys that are varied, or the scenarios.

    Examples
    --------
    ``compare_forklifts-count_people`` for plans such as ``forklifts.count=2, people=20``.
    """
    parts = [part for name in names for part in name.split(", ")]
    crews = ["crews"] if any(_TEAM.fullmatch(part) for part in parts) else []
    # A value may hold an equals sign and commas of its own, with blanks around the sign.
    varied = [key for key, equals, _ in (part.partition("=") for part in parts) if equals and not key.endswith(" ")]
    keys = dict.fromkeys([*crews, *varied] or parts)
    return file_stem("compare", list(keys))


def comparison_record(found: CompareResult) -> dict[str, Any]:
    """Return everything a comparison says, ready for `json.dumps`; a number that is not known is null."""
    deadline = found.plans[found.reference].outcome.deadline
    return {
        "scenario": found.plans[found.reference].outcome.scenario.title,
        "units": ANSWER_UNITS,
        "answer": answer_lines(found),
        "seed": found.seed,
        "asked": found.asked,
        "runs": found.run_count,
        "reference": found.reference + 1,
        "earliest": found.earliest + 1,
        "alike_to_earliest": {"plans": [place + 1 for place in found.alike], "margin_hours": found.margin},
        "deadline": None if deadline is None else {"text": deadline.text, "days": deadline.hours / 24.0},
        "plans": [_plan(number, one) for number, one in enumerate(found.plans, 1)],
        "confidence": CONFIDENCE,
        "interval_covers": SAMPLING_ERROR_ONLY,
        "stopped": found.stopped or None,
        "cautions": list(CAUTIONS),
    }


def _plan(number: int, one: CompareRow) -> dict[str, Any]:
    outcome, chance = one.outcome, one.outcome.chance
    return {
        "plan": number,
        "name": outcome.name,
        "people_on_site": outcome.people,
        "unfinished": sum(math.isinf(hours) for hours in outcome.hours),
        "p50_days": _days(outcome.p50.value),
        "p50_interval_days": [_days(outcome.p50.low), _days(outcome.p50.high)],
        "p80_days": _days(outcome.p80.value),
        "p80_interval_days": [_days(outcome.p80.low), _days(outcome.p80.high)],
        "on_time": None if chance is None else chance.probability,
        "on_time_interval": None if chance is None else [chance.low, chance.high],
        "mean_change_days": _difference(one.against.mean, 24.0),
        "p50_change_days": _difference(one.against.p50, 24.0),
        "p80_change_days": _difference(one.against.p80, 24.0),
        "on_time_change": _difference(one.against.chance, 1.0),
        "crew_days": None if math.isinf(outcome.crew_days) else outcome.crew_days,
        "mats_per_person_hour": one.mats_per_person_hour,
        "verdict": one.verdict.value,
    }


def _difference(change: Difference, unit: float) -> dict[str, Any] | None:
    if change.value is None:
        return None
    ends = [None if end is None else end / unit for end in (change.low, change.high)]
    return {"value": change.value / unit, "interval": ends}


def _days(hours: float | None) -> float | None:
    return None if hours is None or not math.isfinite(hours) else hours / 24.0


def _flat(plan: dict[str, Any]) -> dict[str, Any]:
    """Return a plan with one column for each number."""
    flat: dict[str, Any] = {}
    for name, value in plan.items():
        if name.endswith(("interval_days", "interval")):
            flat[f"{name}_low"], flat[f"{name}_high"] = value or (None, None)
        elif "_change" in name:
            flat[name] = None if value is None else value["value"]
            flat[f"{name}_low"], flat[f"{name}_high"] = (None, None) if value is None else value["interval"]
        else:
            flat[name] = value
    return flat
