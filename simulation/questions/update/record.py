"""What stands under "answer" in the record of an update. A number that is not known is null; a change above zero is later."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.present.record_shapes import ANSWER_UNITS, against_record, days_record, outcome_record
from simulation.stats.quantiles import CONFIDENCE, SAMPLING_ERROR_ONLY
from simulation.study.calendar import make_calendar

if TYPE_CHECKING:
    from simulation.questions.update.study import UpdateResult


def update_record(result: UpdateResult) -> dict[str, Any]:
    """Return every number of the answer, ready for `json.dumps`."""
    state = result.log.state
    moment = make_calendar(result.now.scenario).moment(result.moment)
    return {
        "units": ANSWER_UNITS,
        "moment": moment.isoformat(timespec="seconds"),
        "moment_days": result.moment / 24.0,
        "deadline": None if result.now.deadline is None else result.now.deadline.text,
        "asked": result.asked,
        "runs": result.runs,
        "then": outcome_record(result.then),
        "now": outcome_record(result.now),
        **against_record(result.change, result.now),
        "p50_later_days": days_record(result.later),
        "of_it_happened_days": days_record(result.happened),
        "of_it_learned_days": days_record(result.learned),
        "p10_to_p90_days": {"then": days_record(result.left_then), "now": days_record(result.left_now)},
        "state": None
        if state is None
        else {
            "share_laid": result.done,
            "rows_laid": [edge.laid for edge in state.edges],
            "pallets_came": state.came,
            "pallets_in_yard": state.yard,
            "pallets_staged": sum(edge.staged for edge in state.edges),
            "mats_rejected": sum(state.rejected),
            "forklifts_under_repair": sum(since is not None for since in state.forklifts),
        },
        "levels": [
            {
                "key": level.key,
                "before": list(level.before),
                "now": list(level.now),
                "evidence": level.evidence,
            }
            for level in result.lessons.levels
        ],
        "learning": {
            "draws": result.lessons.runs,
            "effective_size": result.lessons.effective_size,
            "agreement": result.lessons.agreement,
            "conflicts": [str(conflict) for conflict in result.lessons.conflicts],
        },
        "earned_schedule": {
            "earned_days": result.schedule.earned / 24.0,
            "index": result.schedule.index,
            "estimate_days": days_record(result.schedule.estimate),
        },
        "taken_for_granted": list(result.log.taken),
        "confidence": CONFIDENCE,
        "interval_covers": SAMPLING_ERROR_ONLY,
    }
