"""A brief as one JSON object: under each question's name what that question's own record says.

What was not asked for, or not reached before a stop, is null.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.questions.bottlenecks.record import bottlenecks_record
from simulation.questions.brief.decision_sheet import sheet_record
from simulation.questions.compare.record import compare_record
from simulation.questions.conditions.record import conditions_record
from simulation.questions.forecast.record import forecast_record
from simulation.questions.takeoff.record import takeoff_record

if TYPE_CHECKING:
    from simulation.field import TakeOff
    from simulation.questions.brief.study import Findings
    from simulation.questions.conditions.study import ConditionsResult


def brief_record(result: Findings, quantities: TakeOff, losses: ConditionsResult | None) -> dict[str, Any]:
    """Return everything that a brief says, ready for `json.dumps`."""
    scenario = result.forecast.scenario
    return {
        "forecast": forecast_record(result.forecast),
        "bottlenecks": None if result.measures is None else bottlenecks_record(result.measures),
        "compare": None if result.comparison is None else compare_record(result.comparison),
        "decision_sheet": None if result.grid is None else sheet_record(result.grid),
        "takeoff": takeoff_record(quantities, scenario),
        "conditions": None if losses is None else conditions_record(losses),
        "not_reached": list(result.missing),
    }
