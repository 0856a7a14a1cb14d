"""What holds a build up and what would help, as one JSON object, and the files that the question leaves behind.

A number that is not known is null, such as a change after the last day simulated. Changes of hours and days are above zero
where it comes
later.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.present.record_shapes import chance_record, change_record, outcome_record, share_change_record
from simulation.present.record_units import ANSWER_UNITS
from simulation.stats.quantiles import CONFIDENCE, SAMPLING_ERROR_ONLY

if TYPE_CHECKING:
    from simulation.questions.bottlenecks.attribution import Holder
    from simulation.questions.bottlenecks.study import BottlenecksResult, BottlenecksRow


def bottlenecks_record(found: BottlenecksResult) -> dict[str, Any]:
    """Return everything that is told, ready for `json.dumps`."""
    leading = found.leading
    return {
        "units": ANSWER_UNITS,
        "deadline": None if found.outcome.deadline is None else found.outcome.deadline.text,
        "asked": found.asked,
        "runs": found.runs,
        "runs_of_each_change": found.each,
        "unfinished": found.unfinished,
        "current_plan": outcome_record(found.outcome),
        "changes": [_tried(row) for row in found.tried],
        "not_tried": [{"what": left.name, "why": left.why} for left in found.left_out],
        "not_reached": found.not_reached,
        "chain_of_causes": {
            "runs": leading.runs,
            "hours": leading.hours if leading.runs else None,
            "leaders_measurably_apart": leading.told_apart,
            "holders": [_holder(holder) for holder in leading.holders],
            "calendar": None if leading.calendar is None else _holder(leading.calendar),
        },
        "confidence": CONFIDENCE,
        "interval_covers": SAMPLING_ERROR_ONLY,
    }


def _tried(one: BottlenecksRow) -> dict[str, Any]:
    return {
        "what": one.what_if.name,
        "kind": one.what_if.kind.value,
        "changes": [str(change) for change in one.what_if.changes],
        "outcome": outcome_record(one.outcome),
        "p50_change": change_record(one.against.p50),
        "p80_change": change_record(one.against.p80),
        "mean_change": change_record(one.against.mean),
        "on_time_change": None if one.outcome.deadline is None else share_change_record(one.against.chance),
        "no_run_changed": one.alike,
    }


def _holder(one: Holder) -> dict[str, Any]:
    return {
        "who": one.name,
        "hours": one.hours,
        "leads_in": None if one.leads is None else chance_record(one.leads),
        "causes": [
            {
                "cause": cause.name,
                "hours": cause.hours,
                "leads_alone_in": None if cause.leads is None else chance_record(cause.leads),
            }
            for cause in one.causes
        ],
        "thirds": {
            third: {"hours": hours, "leads_in": None if one.leads_by_third is None else chance_record(one.leads_by_third[third])}
            for third, hours in one.thirds.items()
        },
    }
