"""What matters most, as one JSON object.

A number that is not known is null: a share of too few runs, a change after the last day simulated.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.present.record_shapes import ANSWER_UNITS, against_record, chance_record, change_record, outcome_record
from simulation.questions.sensitivity.input_words import input_in_words
from simulation.questions.sensitivity.level_inputs import HIGH, LOW
from simulation.stats.quantiles import CONFIDENCE, SAMPLING_ERROR_ONLY

if TYPE_CHECKING:
    from simulation.questions.sensitivity.study import SensitivityResult, SensitivityRow
    from simulation.questions.sensitivity.tornado import Bar, End
    from simulation.stats.first_order import RankCorrelation, Share


def sensitivity_record(result: SensitivityResult) -> dict[str, Any]:
    """Return everything that is shown, ready for `json.dumps`."""
    deadline = result.outcome.deadline
    return {
        "units": ANSWER_UNITS,
        "deadline": None if deadline is None else deadline.text,
        "asked": result.asked,
        "runs": result.runs,
        "unfinished": result.unfinished,
        "current_plan": outcome_record(result.outcome),
        "inputs": [_row(row) for row in result.rows],
        "fixed_inputs": result.constant,
        "partly_shared": list(result.partly_shared),
        "explained_together": result.explained,
        "smallest_measurable_share": result.smallest_measurable,
        "tornado": None if result.bars is None else [_bar(bar) for bar in result.bars],
        "confidence": CONFIDENCE,
        "interval_covers": SAMPLING_ERROR_ONLY,
    }


def _row(row: SensitivityRow) -> dict[str, Any]:
    lowest, highest = (None, None) if row.thirds is None else map(chance_record, row.thirds)
    return {
        "input": row.input.name,
        "what": input_in_words(row.input),
        "keys": list(row.input.keys),
        "p10": row.input.label(LOW),
        "p90": row.input.label(HIGH),
        "share_of_spread": _measure(row.share, "share"),
        "rank_correlation": _measure(row.rank, "value"),
        "measurable": row.measurable,
        "on_time_lowest_third": lowest,
        "on_time_highest_third": highest,
    }


def _measure(measure: Share | RankCorrelation | None, name: str) -> dict[str, Any] | None:
    if measure is None:
        return None
    return {name: measure.value, "interval": [measure.low, measure.high], "measurable": measure.measurable}


def _bar(bar: Bar) -> dict[str, Any]:
    return {
        "input": bar.input.name,
        "keys": list(bar.input.keys),
        "p80_swing": change_record(bar.swing),
        "measurable": bar.measurable,
        "at_p10": _end(bar.low),
        "at_p90": _end(bar.high),
    }


def _end(end: End) -> dict[str, Any]:
    return {"known_to_be": end.trial.name, **against_record(end.against, end.outcome)}
