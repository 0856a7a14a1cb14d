"""What key strips in several layouts come to, as one JSON object."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.present.record_shapes import ANSWER_UNITS, change_record
from simulation.questions.spacing.layouts import HANDBOOK
from simulation.questions.spacing.study import mean_days

if TYPE_CHECKING:
    from simulation.questions.spacing.study import SpacingResult


def spacing_record(result: SpacingResult) -> dict[str, Any]:
    """Return everything that is shown, ready for `json.dumps`."""
    length = result.scenario.measures.length
    return {
        "units": {**ANSWER_UNITS, "every, every_in_touchdown, handbook, touchdown": "ft", "closed_hours": "hour"},
        "area": result.area,
        "runs": result.runs,
        "handbook": HANDBOOK,
        "touchdown": result.damage.touchdown,
        "best": result.best.layout.name(length),
        "as_good": [row.layout.name(length) for row in result.as_good],
        "stay_days": result.damage.stay / 24.0,
        "damage_written": result.damage_written,
        "spacings": [
            {
                "name": row.layout.name(length),
                "every": row.layout.every,
                "every_in_touchdown": row.layout.close,
                "as_written": row.layout.written,
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
