"""What holds a build up and what would help, as one JSON object, and the files that the question leaves behind.

A number that is not known is null, such as a change after the last day simulated. Changes of hours and days are above zero
where it comes
later.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from simulation.present.answer_files import question_record, write_answer
from simulation.present.cautions import CAUTIONS
from simulation.present.record import study_record
from simulation.present.record_shapes import chance_record, difference_record, outcome_record
from simulation.present.record_units import ANSWER_UNITS
from simulation.questions.bottlenecks.answer import bottleneck_answer
from simulation.questions.bottlenecks.picture import save_bottlenecks
from simulation.stats.quantiles import CONFIDENCE, SAMPLING_ERROR_ONLY

if TYPE_CHECKING:
    from simulation.questions.bottlenecks.attribution import Holder
    from simulation.questions.bottlenecks.study import BottlenecksResult, BottlenecksRow


def bottleneck_record(found: BottlenecksResult) -> dict[str, Any]:
    """Return everything that is told, ready for `json.dumps`."""
    leading = found.leading
    return {
        "scenario": found.outcome.scenario.title,
        "units": ANSWER_UNITS,
        "question": question_record("bottlenecks", found.outcome, found.seed, found.asked),
        "answer": bottleneck_answer(found),
        "seed": found.seed,
        "asked": found.asked,
        "runs": found.runs,
        "run_count_of_each_change": found.each,
        "unfinished": found.unfinished,
        "as_it_is": outcome_record(found.outcome),
        "changes": [_tried(one) for one in found.tried],
        "not_tried": [{"what": one.name, "why": one.why} for one in found.left_out],
        "not_reached": found.not_reached,
        "driving_chain": {
            "runs": leading.runs,
            "hours": leading.hours if leading.runs else None,
            "leaders_told_apart": leading.told_apart,
            "holders": [_holder(one) for one in leading.holders],
            "calendar": None if leading.calendar is None else _holder(leading.calendar),
        },
        "confidence": CONFIDENCE,
        "interval_covers": SAMPLING_ERROR_ONLY,
        "cautions": list(CAUTIONS),
        "stopped": found.stopped or None,
        "study": None if found.manifest is None else study_record(found.manifest),
    }


def _tried(one: BottlenecksRow) -> dict[str, Any]:
    return {
        "what": one.what_if.name,
        "kind": one.what_if.kind.value,
        "changes": [str(change) for change in one.what_if.changes],
        "outcome": outcome_record(one.outcome),
        "p50_days_change": difference_record(one.against.p50, 24.0),
        "p80_days_change": difference_record(one.against.p80, 24.0),
        "mean_hours_change": difference_record(one.against.mean, 1.0),
        "on_time_change": None if one.outcome.deadline is None else difference_record(one.against.chance, 1.0),
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


def write_bottlenecks(found: BottlenecksResult, folder: Path, force: bool = False) -> list[Path]:
    """Write the record, and the picture as SVG and PNG, into a folder, which is made where it is missing; return their paths.

    Raises
    ------
    OSError
        If the folder or a file in it cannot be written, or is not to be replaced: see `own_files.write_whole`.
    """
    record = bottleneck_record(found)
    return write_answer(folder, "bottlenecks", "bottlenecks", record, lambda path: save_bottlenecks(found, path), force=force)
