"""What a repair comes to, as one JSON object."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.present.record_shapes import chance_record
from simulation.questions.repair.study import quantile

if TYPE_CHECKING:
    from simulation.questions.repair.study import Array, RepairResult
    from simulation.stats.quantiles import QuantileEstimate
    from simulation.study.damage.damage_stay import SeasonResult

UNITS = {
    "hours": "hour",
    "station, across, crater, key_strip": "ft",
    "ground": "sq ft",
    "month": "30 days",
    "mats, rows, repairs, people, runs": "count",
}


def repair_record(result: RepairResult) -> dict[str, Any]:
    """Return everything that is shown, ready for `json.dumps`."""
    asked, location = result.asked, result.location
    quicker = result.opening_quicker
    return {
        "units": UNITS,
        "area": location.area.name,
        "station": location.station,
        "across": location.across,
        "crater": asked.size if result.by_crater else None,
        "mats": {"full": sum(mat.full for mat in asked.mats), "half": sum(not mat.full for mat in asked.mats)},
        "damaged_rows": asked.rows,
        "ground": asked.ground,
        "begins_hours": result.begin,
        "crew": None if result.crew is None else result.crew.name,
        "runs": result.runs,
        "cut_out": {"closed": _closed(asked.cut_out)},
        "openings": [
            {
                "direction": "along" if way.along else "against",
                "key_strip": way.before * location.rows.depth,
                "key_strips_drawn": len(way.strips),
                "rows": len(way.rows),
                "closed": _closed(hours),
            }
            for way, hours in zip(asked.ways, asked.opened, strict=True)
        ],
        "opening_quicker": None if quicker is None else chance_record(quicker),
        "opening_quicker_from": {"crater" if result.by_crater else "mats": result.switch},
        "season": None if result.season is None else _season(result.season),
    }


def _closed(hours: Array) -> dict[str, Any]:
    quantiles = [quantile(hours, share) for share in (0.1, 0.5, 0.8, 0.9)]
    return {f"{quantile.name.lower()}_hours": _hours(quantile) for quantile in quantiles}


def _hours(quantile: QuantileEstimate) -> dict[str, Any]:
    return {"hours": quantile.value, "interval_hours": [quantile.low, quantile.high]}


def _season(season: SeasonResult) -> dict[str, Any]:
    values = {
        "closed_hours": season.closed,
        "mats": season.mats,
        "repairs": season.repairs,
        "repairs_by_opening": season.opened,
    }
    return {
        "area": season.area,
        "stay_hours": season.hours,
        "a_month": {name: _spread(season.a_month(of_stay)) for name, of_stay in values.items()},
        "stay": {name: _spread(of_stay) for name, of_stay in values.items()},
    }


def _spread(values: Array) -> dict[str, float]:
    quantiles = {name: quantile(values, share).value for name, share in (("middle", 0.5), ("in_80_of_100", 0.8))}
    return {"mean": float(values.mean()), **quantiles}
