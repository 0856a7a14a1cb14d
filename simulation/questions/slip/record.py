"""What stands under "answer" in the record of slip.

A number that is not known is null, such as a change after the last day simulated. A change above zero is later.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.present.record_shapes import trial_record, trials_record

if TYPE_CHECKING:
    from simulation.questions.slip.study import SlipResult, SlipRow


def slip_record(result: SlipResult) -> dict[str, Any]:
    """Return every number of the answer, ready for `json.dumps`."""
    return {
        **trials_record(result),
        "what": list(result.what) or None,
        "by": result.by,
        "delays": [_row_record(row) for row in result.rows],
        "never_there": list(result.never_there),
    }


def _row_record(row: SlipRow) -> dict[str, Any]:
    trial = row.trial
    return {
        "what": trial.late.name,
        "late_by_hours": trial.delay.hours,
        "after_the_last_day": trial.parts_beyond == len(trial.late.since),
        **trial_record(row),
    }
