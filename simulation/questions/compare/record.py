"""A comparison as numbers: each plan, what it comes to, and what it changes; and one row of each plan for a spreadsheet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from simulation.present.record_shapes import ANSWER_UNITS, against_record, outcome_record
from simulation.stats.quantiles import CONFIDENCE, SAMPLING_ERROR_ONLY

if TYPE_CHECKING:
    from simulation.questions.compare.row import CompareRow
    from simulation.questions.compare.study import CompareResult


def compare_record(result: CompareResult) -> dict[str, Any]:
    """Return everything a comparison says, ready for `json.dumps`; a number that is not known is null."""
    deadline = result.plans[result.reference].outcome.deadline
    return {
        "units": ANSWER_UNITS,
        "deadline": None if deadline is None else deadline.text,
        "asked": result.asked,
        "runs": result.run_count,
        "reference": result.reference + 1,
        "earliest": result.earliest + 1,
        "as_early": {"plans": [index + 1 for index in result.as_early], "margin_hours": result.margin},
        "by_p80": [index + 1 for index in result.by_p80],
        "plans": [_plan_record(number, row) for number, row in enumerate(result.plans, 1)],
        "confidence": CONFIDENCE,
        "interval_covers": SAMPLING_ERROR_ONLY,
    }


def flatten_plans(record: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Return the plans of a record with one column for each number, for a spreadsheet."""
    return [dict(_flatten(plan)) for plan in record["plans"]]


def _plan_record(number: int, row: CompareRow) -> dict[str, Any]:
    outcome = row.outcome
    return {
        "plan": number,
        "name": outcome.name,
        "people_on_site": outcome.people,
        "unfinished": row.unfinished,
        "outcome": outcome_record(outcome),
        **against_record(row.against, outcome),
        "crew_days": outcome.crew_days,
        "mats_per_person_hour": row.mats_per_person_hour,
        "verdict": row.verdict.value,
    }


def _flatten(nested: Mapping[str, Any], before: str = "") -> Iterator[tuple[str, Any]]:
    for name, value in nested.items():
        key = f"{before}_{name}" if before else name
        if isinstance(value, Mapping):
            yield from _flatten(value, "" if name == "outcome" else key)
        elif isinstance(value, list):
            yield from zip((f"{key}_low", f"{key}_high"), value, strict=True)
        else:
            yield key, value
