"""What a move comes to, as one JSON object."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.present.record_shapes import ANSWER_UNITS, change_record, days_record, quantile_record
from simulation.questions.forecast.yard_room import yard_record
from simulation.stats.quantiles import estimate
from simulation.study.calendar import make_calendar

if TYPE_CHECKING:
    from simulation.questions.move.study import Array, MoveResult, MoveRow

_SHARES = (0.1, 0.5, 0.8, 0.9)


def move_record(result: MoveResult) -> dict[str, Any]:
    """Return everything that is shown, ready for `json.dumps`."""
    asked, leg = result.asked, result.second.leg
    first, second = make_calendar(result.first), make_calendar(result.second)
    mats = [run.way.mats() for run in asked.runs]
    return {
        "units": ANSWER_UNITS,
        "second": result.second.title,
        "seeds": list(result.seeds),
        "runs": result.runs,
        "closes": result.first.starts.isoformat(),
        "without_days": _days(asked.without),
        "off_first": {_name(share): quantile_record(estimate(asked.off.tolist(), share), first) for share in _SHARES},
        "milestones": {
            milestone.name: {
                "ready": milestone.ready,
                "without_days": _days(asked.until(number)),
                "reached": {
                    _name(share): quantile_record(estimate((asked.until(number) + asked.shift).tolist(), share), second)
                    for share in _SHARES
                },
            }
            for number, milestone in enumerate(result.second.milestones)
        },
        "leg": {
            "by": leg.by,
            "loads_mean": sum(len(run.way.loads) for run in asked.runs) / result.runs,
            "loads_lost_mean": sum(load.lost for run in asked.runs for load in run.way.loads) / result.runs,
        },
        "mats": {
            kind: {
                "lie_at_the_first": result.laid[number],
                "arrive_mean": sum(of[number] for of in mats) / result.runs,
                "second_takes": result.needs[number],
            }
            for number, kind in enumerate(("full", "half"))
        },
        "yard_of_the_first": yard_record(asked.yard),
        "stock_pallets": result.stock,
        "more_ordered_share": asked.ordered,
        "splits": [_row(result, row) for row in result.splits],
        "stocks": [_row(result, row) for row in result.stocks],
    }


def _name(share: float) -> str:
    return f"p{round(100 * share)}"


def _days(hours: Array) -> dict[str, Any]:
    quantiles = {"middle": estimate(hours.tolist(), 0.5), "in_80_of_100": estimate(hours.tolist(), 0.8)}
    return {
        name: {"days": days_record(band.value), "interval_days": [days_record(band.low), days_record(band.high)]}
        for name, band in quantiles.items()
    }


def _row(result: MoveResult, row: MoveRow) -> dict[str, Any]:
    return {
        "name": row.way.name,
        "keys": row.way.keys,
        "without_days": _days(row.without),
        "p50_change": change_record(result.against(row)),
    }
