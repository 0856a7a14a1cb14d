"""What stands under "answer" in the record of bottlenecks.

A number that is not known is null, such as a change after the last day simulated. A change above zero is later.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.present.record_shapes import chance_record, trial_record, trials_record

if TYPE_CHECKING:
    from simulation.questions.bottlenecks.attribution import Holder
    from simulation.questions.bottlenecks.study import BottlenecksResult


def bottlenecks_record(result: BottlenecksResult) -> dict[str, Any]:
    """Return everything that is told, ready for `json.dumps`."""
    leading = result.leading
    return {
        **trials_record(result),
        "changes": [{"what": row.trial.name, "kind": row.trial.kind.value, **trial_record(row)} for row in result.rows],
        "not_tried": [{"what": left.name, "why": left.why} for left in result.left_out],
        "chain_of_causes": {
            "runs": leading.runs,
            "hours": leading.hours if leading.runs else None,
            "leaders_measurably_apart": leading.clear_leader,
            "holders": [_holder_record(holder) for holder in leading.holders],
            "calendar": None if leading.calendar is None else _holder_record(leading.calendar),
        },
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
