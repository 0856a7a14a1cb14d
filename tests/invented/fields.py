"""Fields made for one idea each: what binds is known, or readiness can be written down, or all that can be uncertain is."""

from collections.abc import Sequence
from typing import Any

from scenarios import NOTHING_TAKES_TIME, Tables, changed, make_scenario, strip, written

from simulation.scenario import Change, Scenario, parse_scenario


def railed(length: int = 80, rail: Tables | None = None, gang: Tables | None = None, **changes: Any) -> Tables:
    """Return a certain strip with a guide rail, where nothing shifts: rows of 2 ft, joints of the rail at 9, 19, 29 … ft."""
    lies = {"seal": "0 in", "creep": "0 in", **(rail or {})}
    area = {"name": "strip", "length": f"{length} ft", "width": "72 ft", "guide_rail": True, "rail": lies}
    work = {"section": "1 min", "ahead": "0 ft", "low_spots": 0.0, "tamp": "30 min", "short_section": "1 h", **(gang or {})}
    return strip(**{"area": [area], "rail_gang": work, "key_strips": {"width": "0 in"}, **changes})


# --- one thing binds, all else is quick and certain: what would help can be added up by hand ---------------------------------

#: 48 rows of 6 and 7 mats in turn fill 24 pallets of 13.
BOUND = changed(
    NOTHING_TAKES_TIME,
    top={"title": "Bound field", "seed": 3, "horizon": "60 day"},
    area=[{"name": "strip", "length": "96 ft", "width": "72 ft", "start": "one-end"}],
    crew=[{"name": "red", "people": 12, "areas": ["strip"]}],
    laying={"place": "0.001 s", "walk": "900000 mph", "lock": "0.0001 s", "rows_in_work": 50},
    forklifts={"count": 2},
    supply={"on_hand": 24, "total": 24, "spares": 0.0},
    shifts__all={"lighting": True},
    milestone=[{"name": "ready", "areas": ["strip"], "closing": "0 h"}],
)
#: Takes one hour to load, two to come and one and a half to go back.
TRUCK = {"count": 1, "pallets": 12, "load": "1 h", "haul": "2 h", "return": "90 min"}
CARRY_AND_PLACE = {"pick_up": "20 s", "place": "40 s"}


def bound(area: Tables | None = None, crew: Tables | None = None, **changes: Any) -> Scenario:
    """Return a field of which only what is written takes any time; `area` and `crew` update its only ones."""
    one = {head: [{**BOUND[head][0], **(more or {})}] for head, more in (("area", area), ("crew", crew))}
    return make_scenario(BOUND, **one, **changes)


def by_forklift() -> Scenario:
    """One forklift brings 24 pallets in six minutes each."""
    return bound(forklifts={"count": 1, "handle": "3 min"})


def by_haul(count: int = 1, since: str = "0 h") -> Scenario:
    """48 pallets come in four loads; one truck takes four times three hours and three ways back."""
    trucks = [{**TRUCK, "count": count, "from": since}]
    return bound(area={"length": "192 ft"}, supply={"on_hand": 0, "total": 48}, supply__trucks=trucks)


def by_crew(laying: Tables | None = None, **changes: Any) -> Scenario:
    """Four teams of a crew of twelve carry for 20 s and place for 40 s each of 312 mats; one key strip takes 15 minutes."""
    return bound(laying={**CARRY_AND_PLACE, "key_strip": "15 min", **(laying or {})}, **changes)


def by_rain() -> Scenario:
    """Five hours of sweeping come after a strip that is laid at once, in a climate where it rains most of the time."""
    return bound(laying=CARRY_AND_PLACE, weather={"wet_spell": "20 h", "dry_spell": "5 h"})


# --- readiness is a sum: four rows of (pick up + place), and a starter key strip before them ---------------------------------

ROWS = 4
_SUMMING = changed(
    NOTHING_TAKES_TIME,
    top={"title": "Summing strip", "seed": 5},
    mat={"pallet_full": 0, "pallet_half": 1},
    area=[{"name": "strip", "length": "8 ft", "width": "6 ft", "start": "centre-out"}],
    crew=[{"name": "red", "people": 6, "areas": ["strip"]}],
    forklifts={"repair": "0 h"},
    grading={"efficiency": 1.0, "rate": "9000 ft**2/h", "trench": "0 h"},
    supply={"on_hand": 10},
    milestone=[{"name": "laid", "areas": ["strip"], "closing": "0 h"}],
)


def summing(changes: Sequence[Change] = (), horizon: str = "60 day", starter: Any = "0 h", **levels: Any) -> Scenario:
    """Return the strip; every level is certain and costs nothing but those that a test writes."""
    laying = {"pick_up": "0 s", "place": "1 h", "starter_key_strip": starter, "connect": "0 h", **levels}
    top = {**_SUMMING["top"], "horizon": horizon}
    return parse_scenario(written(changed(_SUMMING, top=top, laying=laying)), changes=changes)


# --- everything that can differ from run to run and from step to step does ----------------------------------------------------

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


def uneven(**changes: Any) -> Tables:
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
    return changed(tables, **changes)
