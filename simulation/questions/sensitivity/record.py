"""What matters most as one JSON object, and the files that a question about it leaves behind.

A number that is not known is null: a share of too few runs, a change after the last day simulated.
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING, Any

from simulation.present.answer_files import question_record, write_answer
from simulation.present.cautions import CAUTIONS
from simulation.present.record import study_record
from simulation.present.record_units import ANSWER_UNITS
from simulation.questions.sensitivity.answer import answer
from simulation.questions.sensitivity.level_inputs import HIGH, LOW
from simulation.questions.sensitivity.picture import save_sensitivity
from simulation.stats.chances import likelihood_word
from simulation.stats.quantiles import CONFIDENCE, SAMPLING_ERROR_ONLY

if TYPE_CHECKING:
    from simulation.questions.sensitivity.study import SensitivityResult, SensitivityRow
    from simulation.questions.sensitivity.tornado import Bar, End
    from simulation.stats.chances import Chance
    from simulation.stats.first_order import RankCorrelation, Share
    from simulation.stats.paired_difference import Difference
    from simulation.stats.quantiles import QuantileEstimate


def sensitivity_record(found: SensitivityResult) -> dict[str, Any]:
    """Return everything that is told, ready for `json.dumps`."""
    outcome = found.outcome
    return {
        "scenario": outcome.scenario.title,
        "units": ANSWER_UNITS,
        "question": question_record("sensitivity", outcome, found.seed, found.asked, tornado=found.bars is not None),
        "answer": answer(found),
        "seed": found.seed,
        "asked": found.asked,
        "runs": found.runs,
        "unfinished": found.unfinished,
        "readiness": {"p50_days": _quantile(outcome.p50), "p80_days": _quantile(outcome.p80)},
        "deadline": None
        if outcome.deadline is None or outcome.chance is None
        else {
            "text": outcome.deadline.text,
            "days": outcome.deadline.hours / 24.0,
            **_chance(outcome.chance),
            "likelihood": likelihood_word(outcome.chance),
        },
        "levels": [_sensitive(one) for one in found.inputs],
        "known_levels": found.constant,
        "partly_shared": list(found.partly_shared),
        "explained_together": found.explained,
        "smallest_share_told": found.least_told,
        "tornado": None if found.bars is None else [_bar(bar) for bar in found.bars],
        "confidence": CONFIDENCE,
        "interval_covers": SAMPLING_ERROR_ONLY,
        "cautions": list(CAUTIONS),
        "stopped": found.stopped or None,
        "study": None if found.manifest is None else study_record(found.manifest),
    }


def _sensitive(one: SensitivityRow) -> dict[str, Any]:
    return {
        "level": one.input.name,
        "keys": list(one.input.keys),
        "p10": one.input.label(LOW),
        "p90": one.input.label(HIGH),
        "first_order": _measure(one.share),
        "spearman": _measure(one.rank),
        "told_from_none": one.told_from_none,
        "on_time_lowest_third": None if one.thirds is None else _chance(one.thirds[0]),
        "on_time_highest_third": None if one.thirds is None else _chance(one.thirds[1]),
    }


def _measure(one: Share | RankCorrelation | None) -> dict[str, Any] | None:
    return None if one is None else {"value": one.value, "interval": [one.low, one.high], "told_from_none": one.told_from_none}


def _bar(bar: Bar) -> dict[str, Any]:
    return {
        "level": bar.input.name,
        "keys": list(bar.input.keys),
        "p80_swing_days": _difference(bar.swing, 24.0),
        "p10": _end(bar.low),
        "p90": _end(bar.high),
    }


def _end(end: End) -> dict[str, Any]:
    return {
        "known_to_be": end.label,
        "mean_change_days": _difference(end.against.mean, 24.0),
        "p50_change_days": _difference(end.against.p50, 24.0),
        "p80_change_days": _difference(end.against.p80, 24.0),
        "on_time_change": None if end.outcome.deadline is None else _difference(end.against.chance, 1.0),
    }


def _difference(one: Difference, unit: float) -> dict[str, Any]:
    value, low, high = (None if part is None else part / unit for part in (one.value, one.low, one.high))
    return {"value": value, "interval": [low, high], "told_from_zero": one.measurable}


def _quantile(one: QuantileEstimate) -> dict[str, Any]:
    value, low, high = (None if part is None or math.isinf(part) else part / 24.0 for part in (one.value, one.low, one.high))
    return {"value": value, "interval": [low, high]}


def _chance(one: Chance) -> dict[str, Any]:
    return {"probability": one.probability, "interval": [one.low, one.high], "interval_method": one.method}


def write_sensitivity(found: SensitivityResult, folder: Path, force: bool = False) -> list[Path]:
    """Write the record, and the picture as SVG and PNG, into a folder, which is made where it is missing; return their paths.

    Raises
    ------
    OSError
        If the folder or a file in it cannot be written, or is not to be replaced: see `own_files.write_whole`.
    """
    stem, record = stem_of_sensitivity(found.bars is not None), sensitivity_record(found)
    return write_answer(folder, "sensitivity", stem, record, lambda path: save_sensitivity(found, path), force=force)


def stem_of_sensitivity(tornado: bool) -> str:
    """Return the name of the files before their suffix."""
    return "tornado" if tornado else "sensitivity"
