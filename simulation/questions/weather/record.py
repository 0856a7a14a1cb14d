"""What a record of weather says and what was fitted to it, as one JSON object."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from simulation.present.record_shapes import WEATHER_UNITS
from simulation.present.words import wording
from simulation.questions.weather.block import weather_block
from simulation.questions.weather.study import WeatherResult


def weather_record(result: WeatherResult) -> dict[str, Any]:
    """Return everything that is shown, ready for `json.dumps`."""
    record, air = result.record, result.fit.air
    return {
        "file": result.named.file,
        "units": WEATHER_UNITS,
        "first": record.first.isoformat(),
        "unit": result.unit,
        "length": record.length,
        "read_as": list(record.read_as),
        "wet_from_mm": result.named.wet,
        "in_sample": result.in_sample,
        "filled": record.filled,
        "findings": [{"line": finding.line, "text": finding.text} for finding in record.findings],
        "wet_share": {"record": result.share[0], "fitted": result.share[1]},
        "measures": [{**asdict(measure), "within": measure.within} for measure in result.measures],
        "drawn_records": result.drawn_records,
        "fitted_to": list(result.fit.periods),
        "months_without_record": [name for month, name in enumerate(wording.MONTHS) if month not in result.months],
        "chain": asdict(result.fit.chain),
        "air": {**{key: value for key, value in asdict(air).items() if key != "stated"}, "stated": sorted(air.stated)},
        "rain_by_class": result.classes,
        "block": weather_block(result.fit),
    }
