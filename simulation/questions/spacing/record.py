"""What key strips at several spacings come to, as one JSON object."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.present.record_shapes import ANSWER_UNITS, change_record
from simulation.questions.spacing.study import HANDBOOK, mean_days

if TYPE_CHECKING:
    from simulation.questions.spacing.study import SpacingResult


def spacing_record(result: SpacingResult) -> dict[str, Any]:
    """Return everything that is shown, ready for `json.dumps`."""
    return {
        "units": {**ANSWER_UNITS, "every, handbook, best": "ft", "closed_hours": "hour"},
        "area": result.area,
        "runs": result.runs,
        "handbook": HANDBOOK,
        "best": result.best.every,
        "as_good": [row.every for row in result.as_good],
        "stay_days": result.damage.stay / 24.0,
        "damage_written": result.damage_written,
        "spacings": [
            {
                "every": row.every,
                "key_strips": row.strips,
                "mean_lay_days": mean_days(row.lay),
                "mean_closed_hours": float(row.closed.mean()),
                "mean_take_up_days": mean_days(row.take_up),
                "mean_without_days": mean_days(row.without),
                "without_change": change_record(result.against(result.handbook, row)),
            }
            for row in result.rows
        ],
    }
