"""What stands under "answer" in the record of bottlenecks.

A number that is not known is null, such as a change after the last day simulated. A change above zero is later.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.present.record_shapes import ANSWER_UNITS, chance_record, change_record, outcome_record, share_change_record
from simulation.stats.quantiles import CONFIDENCE, SAMPLING_ERROR_ONLY

if TYPE_CHECKING:
    from simulation.questions.bottlenecks.attribution import Holder
    from simulation.questions.bottlenecks.study import BottlenecksResult, BottlenecksRow


def bottlenecks_record(result: BottlenecksResult) -> dict[str, Any]:
    """Return everything that is told, ready for `json.dumps`."""
    leading = result.leading
    return {
        "units": ANSWER_UNITS,
        "deadline": None if result.outcome.deadline is None else result.outcome.deadline.text,
        "asked": result.asked,
        "runs": result.runs,
        "runs_of_each_change": result.each,
        "unfinished": result.unfinished,
        "current_plan": outcome_record(result.outcome),
        "changes": [_row_record(row) for row in result.tried],
        "not_tried": [{"what": left.name, "why": left.why} for left in result.left_out],
        "not_reached": result.not_reached,
        "chain_of_causes": {
            "runs": leading.runs,
            "hours": leading.hours if leading.runs else None,
            "leaders_measurably_apart": leading.clear_leader,
            "holders": [_holder_record(holder) for holder in leading.holders],
            "calendar": None if leading.calendar is None else _holder_record(leading.calendar),
        },
        "confidence": CONFIDENCE,
        "interval_covers": SAMPLING_ERROR_ONLY,
    }


def _row_record(row: BottlenecksRow) -> dict[str, Any]:
    return {
        "what": row.what_if.name,
        "kind": row.what_if.kind.value,
        "changes": [str(change) for change in row.what_if.changes],
        "outcome": outcome_record(row.outcome),
        "p50_change": change_record(row.against.p50),
        "p80_change": change_record(row.against.p80),
        "mean_change": change_record(row.against.mean),
        "on_time_change": None if row.outcome.deadline is None else share_change_record(row.against.chance),
        "no_run_changed": row.identical,
    }


def _holder_record(holder: Holder) -> dict[str, Any]:
    return {
        "who": holder.name,
        "hours": holder.hours,
        "leads_in": None if holder.leads is None else chance_record(holder.leads),
        "causes": [
            {
                "cause": cause.name,
                "hours": cause.hours,
                "leads_alone_in": None if cause.leads is None else chance_record(cause.leads),
            }
            for cause in holder.causes
        ],
        "thirds": {
            third: {
                "hours": hours,
                "leads_in": None if holder.leads_by_third is None else chance_record(holder.leads_by_third[third]),
            }
            for third, hours in holder.thirds.items()
        },
    }
