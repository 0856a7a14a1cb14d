"""What stands under "answer" in the record of slip.

A number that is not known is null, such as a change after the last day simulated. A change above zero is later.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.present.record_shapes import ANSWER_UNITS, change_record, outcome_record, share_change_record
from simulation.stats.quantiles import CONFIDENCE, SAMPLING_ERROR_ONLY

if TYPE_CHECKING:
    from simulation.questions.slip.study import SlipResult, SlipRow


def slip_record(result: SlipResult) -> dict[str, Any]:
    """Return every number of the answer, ready for `json.dumps`."""
    return {
        "units": ANSWER_UNITS,
        "deadline": None if result.outcome.deadline is None else result.outcome.deadline.text,
        "what": list(result.what) or None,
        "by": result.by,
        "asked": result.asked,
        "runs": result.runs,
        "unfinished": result.unfinished,
        "current_plan": outcome_record(result.outcome),
        "delays": [_row_record(row) for row in result.rows],
        "never_there": list(result.never_there),
        "not_reached": result.not_reached,
        "confidence": CONFIDENCE,
        "interval_covers": SAMPLING_ERROR_ONLY,
    }


def _row_record(row: SlipRow) -> dict[str, Any]:
    return {
        "what": row.late.name,
        "late_by_hours": row.delay.hours,
        "after_the_last_day": row.parts_beyond == len(row.late.since),
        "changes": [str(change) for change in row.changes],
        "outcome": outcome_record(row.outcome),
        "p50_change": change_record(row.against.p50),
        "p80_change": change_record(row.against.p80),
        "mean_change": change_record(row.against.mean),
        "on_time_change": None if row.outcome.deadline is None else share_change_record(row.against.chance),
        "no_run_changed": row.identical,
    }
