"""A little field in which everything that can differ from run to run and from step to step does."""

from __future__ import annotations

from typing import Any

from small_scenarios import strip

UNEVEN = {
    "pick_up": {"p10": "15 s", "p90": "35 s", "scatter": 0.3},
    "place": {"p10": "30 s", "p90": "60 s", "scatter": 0.3},
    "lock": {"mean": "20 s", "scatter": 0.2},
    "open_pallet": {"mean": "2 min", "scatter": "erlang-2"},
    "key_strip": {"mean": "15 min", "scatter": 0.5},
    "starter_key_strip": {"p10": "30 min", "p90": "75 min", "scatter": 0.1},
    "connect": {"p10": "30 min", "p90": "75 min", "scatter": 0.1},
    "check": {"mean": "3 min", "scatter": 0.3},
    "reseat": {"mean": "4 min", "scatter": 0.3},
    "skew_found": 0.1,
    "damaged_mats": {"low": 0.0, "mode": 0.02, "high": 0.1},
    "efficiency": {"low": 0.4, "mode": 0.5, "high": 0.8},
}


def field(**changes: Any) -> dict[str, Any]:
    """Return two areas, two crews, forklifts that break down, trucks, grading and rain; `changes` replace or update tables."""
    tables = strip(
        area=[
            {"name": "strip", "length": "200 ft", "width": "72 ft", "start": "centre-out", "end_ramps": True},
            {"name": "pad", "length": "60 ft", "width": "96 ft", "end_ramps": True, "joins": {"area": "strip", "end": "high"}},
        ],
        crew=[{"name": name, "people": 12, "areas": ["strip", "pad"]} for name in ("red", "blue")],
        laying=UNEVEN,
        forklifts={
            "count": 2,
            "handle": {"p10": "60 s", "p90": "150 s", "scatter": 0.3},
            "breakdown_every": {"mean": "30 min", "scatter": "exponential"},
            "repair": {"p10": "10 min", "p90": "1 h", "scatter": 0.8},
        },
        supply={"on_hand": 20},
        supply__trucks=[
            {
                "count": 3,
                "load": {"mean": "20 min", "scatter": 0.3},
                "haul": {"p10": "1 h", "p90": "2 h", "scatter": 0.2},
                "return": {"p10": "1 h", "p90": "2 h", "scatter": "exponential"},
            }
        ],
        grading={"done": 0.2, "rate": {"mean": "5000 ft**2/h", "scatter": 0.4}, "trench": {"mean": "1 h", "scatter": 0.4}},
        weather={"wet_spell": "3 h", "dry_spell": "12 h"},
    )
    for key, change in changes.items():
        key = key.replace("__", ".")
        tables[key] = {**tables[key], **change} if isinstance(change, dict) else change
    return tables
