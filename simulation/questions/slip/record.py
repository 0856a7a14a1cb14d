"""What it costs if something comes late, as one JSON object, and the files that the question leaves behind.

A number that is not known is null, such as a change after the last day simulated. Later is above zero.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from simulation.present.answer_files import file_stem, question_record, write_answer
from simulation.present.cautions import CAUTIONS
from simulation.present.record import study_record
from simulation.present.record_shapes import change_record, outcome_record, share_change_record
from simulation.present.record_units import ANSWER_UNITS
from simulation.questions.slip.picture import save_slip
from simulation.questions.slip.tables import slip_answer
from simulation.stats.quantiles import CONFIDENCE, SAMPLING_ERROR_ONLY

if TYPE_CHECKING:
    from simulation.questions.slip.study import SlipResult, SlipRow


def slip_record(found: SlipResult) -> dict[str, Any]:
    """Return everything that is told, ready for `json.dumps`; later is above zero."""
    question = question_record("slip", found.outcome, found.seed, found.asked, what=list(found.what) or None, by=found.by)
    return {
        "scenario": found.outcome.scenario.title,
        "units": ANSWER_UNITS,
        "question": question,
        "answer": slip_answer(found),
        "seed": found.seed,
        "asked": found.asked,
        "runs": found.runs,
        "unfinished": found.unfinished,
        "as_it_is": outcome_record(found.outcome),
        "delays": [_slipped(one) for one in found.slipped],
        "never_there": list(found.never_there),
        "not_reached": found.not_reached,
        "confidence": CONFIDENCE,
        "interval_covers": SAMPLING_ERROR_ONLY,
        "cautions": list(CAUTIONS),
        "stopped": found.stopped or None,
        "study": None if found.manifest is None else study_record(found.manifest),
    }


def _slipped(one: SlipRow) -> dict[str, Any]:
    return {
        "what": one.late.name,
        "late_by_hours": one.delay.hours,
        "after_the_horizon": one.parts_beyond == len(one.late.since),
        "changes": [str(change) for change in one.changes],
        "outcome": outcome_record(one.outcome),
        "p50_days_later": change_record(one.against.p50),
        "p80_days_later": change_record(one.against.p80),
        "mean_hours_later": change_record(one.against.mean),
        "on_time_change": None if one.outcome.deadline is None else share_change_record(one.against.chance),
        "no_run_changed": one.alike,
    }


def write_slip(found: SlipResult, folder: Path, force: bool = False) -> list[Path]:
    """Write the record, and the picture as SVG and PNG, into a folder, which is made where it is missing; return their paths.

    Their names say what comes late, where that was asked for.

    Raises
    ------
    OSError
        If the folder or a file in it cannot be written, or is not to be replaced: see `own_files.write_whole`.
    """
    stem = file_stem("slip", found.what)
    return write_answer(folder, "slip", stem, slip_record(found), lambda path: save_slip(found, path), force=force)
