"""What a take-up comes to, as one JSON object."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.construction.site.edges.waits import WHEN_UP
from simulation.construction.take_up.mat_luck import STATES
from simulation.present.record_shapes import ANSWER_UNITS, quantile_record
from simulation.questions.forecast.yard_room import yard_record
from simulation.questions.lift.study import middle, quantile
from simulation.study.calendar import make_calendar

if TYPE_CHECKING:
    from simulation.questions.lift.study import Array, LiftResult, LiftRow


def lift_record(result: LiftResult) -> dict[str, Any]:
    """Return everything that is shown, ready for `json.dumps`."""
    asked, calendar = result.asked, make_calendar(result.scenario)

    def moments(hours: Array) -> dict[str, Any]:
        return {f"p{round(100 * share)}": quantile_record(quantile(hours, share), calendar) for share in (0.1, 0.5, 0.8, 0.9)}

    return {
        "units": {**ANSWER_UNITS, "mass": "lb"},
        "crews": asked.crews,
        "direction": asked.direction,
        "people": asked.people,
        "runs": result.runs,
        "rows_up": moments(asked.rows_up),
        "in_yard": moments(asked.in_yard),
        "gone": moments(asked.gone) if result.leaves else None,
        "square_feet": result.square_feet,
        "person_hours": middle(result.person_hours),
        "mats": {state: {"full": result.mean_mats(state, True), "half": result.mean_mats(state, False)} for state in STATES},
        "pallets": {state: result.mean_pallets(state) for state in STATES},
        "loads": result.mean_loads,
        "yard": yard_record(result.yard),
        "by_crews": [_row(row, result.leaves) for row in result.by_crews],
        "other_direction": _row(result.other, result.leaves),
        "crews_enough": result.enough.crews,
        "crews_enough_until_gone": None if result.enough_until_gone is None else result.enough_until_gone.crews,
    }


def _row(row: LiftRow, leaves: bool) -> dict[str, Any]:
    return {
        "crews": row.crews,
        "direction": row.direction,
        "people": row.people,
        "in_yard_days": _days(row.in_yard),
        "gone_days": _days(row.gone) if leaves else None,
        "waits_hours": {what: row.waits(what) for what in WHEN_UP},
    }


def _days(hours: Array) -> dict[str, float]:
    return {name: quantile(hours, share).value / 24.0 for name, share in (("middle", 0.5), ("in_80_of_100", 0.8))}
