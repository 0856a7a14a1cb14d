"""What shape has each idea in a record? A quantile, a chance, a change, what a plan comes to."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from simulation.stats.chances import likelihood_word

if TYPE_CHECKING:
    from simulation.stats.chances import Chance
    from simulation.stats.paired_difference import Difference
    from simulation.stats.quantiles import QuantileEstimate
    from simulation.study.outcomes import Outcome


def outcome_record(outcome: Outcome) -> dict[str, Any]:
    """Return what a plan comes to: quantiles in days, and the chance of being on time."""
    return {
        "p50_days": _quantile(outcome.p50),
        "p80_days": _quantile(outcome.p80),
        "deadline": None
        if outcome.deadline is None or outcome.chance is None
        else {
            "text": outcome.deadline.text,
            "days": outcome.deadline.hours / 24.0,
            **chance_record(outcome.chance),
            "likelihood": likelihood_word(outcome.chance),
        },
    }


def difference_record(one: Difference, unit: float) -> dict[str, Any]:
    """Return a difference and its paired interval, in units of so many hours."""
    value, low, high = (None if part is None else part / unit for part in (one.value, one.low, one.high))
    return {"value": value, "interval": [low, high], "told_from_zero": one.measurable, "withheld": one.withheld}


def chance_record(one: Chance) -> dict[str, Any]:
    """Return a chance and its interval."""
    return {"probability": one.probability, "interval": [one.low, one.high], "interval_method": one.method}


def _quantile(one: QuantileEstimate) -> dict[str, Any]:
    value, low, high = (None if part is None or math.isinf(part) else part / 24.0 for part in (one.value, one.low, one.high))
    return {"value": value, "interval": [low, high]}
