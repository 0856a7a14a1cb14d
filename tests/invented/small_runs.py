"""Runs of a few milliseconds and the steps they are made of, and endless random small scenarios as a planner could write them."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from functools import cache
from random import Random
from typing import Any

from hypothesis import HealthCheck, Phase, given, reject, settings
from hypothesis import strategies as st
from scenarios import written

from simulation.construction import Finished, Plan, compile_plan, simulate
from simulation.construction.plan.steps import ACTOR, KIND, KINDS, Step
from simulation.field import take_off
from simulation.scenario import ScenarioError, parse_scenario


def plan_of(tables: dict[str, Any] | str) -> Plan:
    text = tables if isinstance(tables, str) else written(tables)
    return compile_plan(parse_scenario(text))


def run(tables: dict[str, Any] | str, run_number: int = 0) -> Finished:
    return simulate(plan_of(tables), run_number)


def examples(count: int) -> Any:
    """Return the settings of a property test over so many random scenarios, the same ones every time.

    A counterexample is shown as it was found: to make it smaller takes minutes, which the slow test may spend.
    """
    return settings(
        max_examples=count,
        deadline=None,
        derandomize=True,
        database=None,
        suppress_health_check=list(HealthCheck),
        phases=[Phase.explicit, Phase.generate],
    )


#: Random fields that properties of a run share, so that each is drawn, compiled and run once; slow tests draw thousands.
FIELDS = 50


@cache
def random_fields() -> tuple[str, ...]:
    """Return the random fields that properties of a run share, the same ones every time."""
    drawn: list[str] = []
    given(scenarios())(examples(FIELDS)(lambda text: drawn.append(text)))()
    return tuple(dict.fromkeys(drawn))


@cache
def random_run(text: str) -> Finished:
    """Return the first run of a random field; who would change it, or watch it at work, calls `run`."""
    return run(text)


def in_every_random_field(holds: Callable[[str], None]) -> Callable[[], None]:
    """Return a test that holds a property of the text of a field to each of the random fields."""

    def test() -> None:
        for text in random_fields():
            holds(text)

    test.__name__, test.__doc__ = holds.__name__, holds.__doc__
    return test


def kind(name: str) -> int:
    """Return the number of a kind of step by its name."""
    return next(number for number, one in enumerate(KINDS) if one.name == name)


def steps(done: Finished, name: str, actor: str | None = None) -> list[Step]:
    """Return the steps of one kind, in the order in which they began; of one actor, if it is named."""
    return [
        step for step in done.site.trace if step[KIND] == kind(name) and (actor is None or done.actors[step[ACTOR]].name == actor)
    ]


def _duration(draw: Any, p10: str, p90: str, mean: str) -> Any:
    return draw(st.sampled_from([mean, {"p10": p10, "p90": p90, "scatter": 0.4}, {"mean": mean, "scatter": "exponential"}]))


@st.composite
def scenarios(draw: Any, horizon: str = "100 day") -> str:
    """Return a random small scenario, legal as written; it may still be one that cannot finish.

    Of 600 runs one takes more than 90 days, and to lay clocks out over 300 of them took half of such a test's time.
    """
    pick = lambda *values: draw(st.sampled_from(values))  # noqa: E731
    number = lambda low, high: draw(st.integers(low, high))  # noqa: E731
    areas = _areas(draw)
    names = [area["name"] for area in areas]
    crews = []
    for name in ("red", "blue", "green")[: number(1, 3)]:
        mine = draw(st.permutations(names))[: number(1, len(names))]
        crews.append({"name": name, "people": number(6, 40), "areas": mine, "second_crew": pick("elsewhere", "relief", "merge")})
    left = [name for name in names if not any(name in crew["areas"] for crew in crews)]
    if left:
        crews[0]["areas"] = [*crews[0]["areas"], *left]
    mat = {}
    if number(0, 3) == 0:
        mat = {"pallet_full": number(3, 12), "pallet_half": number(1, 4)}
    tables: dict[str, Any] = {
        "top": {
            "starts": f"2031-04-02T{number(0, 23):02}:{number(0, 59):02}:{pick(0, 0, 17):02}",
            "seed": number(0, 10**6),
            "horizon": horizon,
        },
        "area": areas,
        "crew": crews,
        "laying": {
            "damaged_mats": pick(0.0, 0.0, 0.02, 0.2, {"low": 0.0, "mode": 0.05, "high": 0.2}),
            "skew_found": pick(0.0, 0.3, 1.0),
            "check_every": pick(1, 3, 10, 100),
            "check": pick("0 min", "3 min"),
            "rows_in_work": number(1, 4),
            "relief_turn": pick("1 min", "30 min", "3 h"),
            "learning": pick(1.0, 1.0, 0.8),
            "learning_reference": pick(1, 5),
            "efficiency": pick(1.0, {"low": 0.3, "mode": 0.6, "high": 0.9}),
            "place": _duration(draw, "20 s", "90 s", "40 s"),
            "move": pick("0 min", {"p10": "5 min", "p90": "2 h", "scatter": 0.4}),
        },
        "forklifts": {
            "count": number(1, 4),
            "speed": pick("1 mph", "5 mph"),
            "drive_on": pick("graded", "rows"),
            "handle": _duration(draw, "30 s", "5 min", "2 min"),
            "breakdown_every": _duration(draw, "10 min", "9 h", "1 h"),
            "repair": _duration(draw, "5 min", "4 h", "1 h"),
            "efficiency": pick(1.0, {"low": 0.4, "mode": 0.8, "high": 1.0}),
            "staged_ahead": number(2, 8),
            "urgent_below": number(0, 6),
        },
        "grading": {
            "done": pick(0.0, 0.1, 0.5, 1.0),
            "gangs": number(1, 3),
            "efficiency": pick(1.0, 0.5),
            "rate": pick("1000 ft**2/h", {"p10": "1000 ft**2/h", "p90": "20000 ft**2/h", "scatter": 0.5}),
        },
        "shifts.all": {"hours": pick(["00:00-24:00"], ["06:00-12:00", "13:00-18:00"], ["10:00-12:00"], ["20:00-04:00"])},
        **({"mat": mat} if mat else {}),
    }
    for one in ("laying", "forklift", "haul", "grading"):
        if number(0, 4) == 0:
            tables[f"shifts.{one}"] = {"hours": pick(["00:00-24:00"], ["07:00-09:00"], ["19:00-05:00"], ["12:30-13:30"])}
    if number(0, 2) == 0:
        tables["weather"] = {"wet_spell": pick("1 h", "6 h"), "dry_spell": pick("5 h", "48 h"), "drying": pick("0 h", "3 h")}
        tables["weather"]["rain_stops"] = pick(["laying", "forklift", "grading"], ["laying", "forklift", "haul", "grading"], [])
    if number(0, 4) == 0:
        tables["site"] = {"latitude": number(-50, 50), "longitude": number(-15, 15)}
        for table in [tables[key] for key in tables if key.startswith("shifts")]:
            table["lighting"] = True if table["hours"][0][:2] in ("10", "19", "20") else draw(st.booleans())
    _milestones(draw, tables, areas)
    if any("guide_rail" in area for area in areas):
        tables["rail_gang"] = {
            "section": _duration(draw, "1 min", "3 h", "20 min"),
            "ahead": pick("0 ft", "6 ft"),
            "low_spots": pick(0.0, 0.5),
            "from": pick("0 h", "0 h", "2 day"),
        }
        tables["key_strips"] = {"width": pick("0 in", "1.5 in", "9 in")}
    tables["grading"]["backfill"] = pick("0 h", "0 h", {"p10": "1 h", "p90": "9 h", "scatter": 0.4})
    _supply(draw, tables)
    return written(tables)


def opened_early(text: str, luck: Random) -> dict[str, Any]:
    """Return a field, as tables, of which a part is used before it is whole: with a temporary end, and mostly in windows."""
    written_in = tomllib.loads(text)
    tables = {"top": {key: value for key, value in written_in.items() if not isinstance(value, dict | list)}}
    tables |= {key: value for key, value in written_in.items() if isinstance(value, dict | list)}
    area = luck.choice(tables["area"])
    length = luck.choice([0.2, 0.5, 0.7]) * float(area["length"].split()[0])
    use = {
        "name": "first use",
        "usable": {"area": area["name"], "length": f"{length:.2f} ft"},
        "closing": luck.choice(["0 h", "2 h"]),
    }
    whole = {"name": "the whole", "areas": [one["name"] for one in tables["area"]], "ready": True}
    tables["milestone"] = [use, whole]
    windows = luck.choice([[], ["06:00-09:00"], ["09:00-10:00", "14:00-16:00"], ["00:00-05:00"]])
    tables["flying"] = {"from": "first use", "windows": windows, **luck.choice([{}, {}, {"stand_back": "30 ft"}])}
    make = luck.choice(["0 h", "30 min", {"p10": "20 min", "p90": "2 h", "scatter": 0.3}])
    tables["temporary_end"] = {"make": make, "take_up": luck.choice(["0 h", "20 min"])}
    if not any(crew["second_crew"] == "merge" for crew in tables["crew"]):
        for crew in tables["crew"]:
            if luck.random() < 0.5:
                hours = luck.choice([["06:00-14:00"], ["14:00-22:00"], ["22:00-06:00"]])
                crew["shift"] = {"hours": hours, "lighting": True}
    return tables


def _areas(draw: Any) -> list[dict[str, Any]]:
    areas: list[dict[str, Any]] = []
    for name in ("a", "b", "c")[: draw(st.integers(1, 3))]:
        rows, halves = draw(st.integers(1, 30)), draw(st.sampled_from([1, 2, 3, 5, 6, 12, 12, 13, 24, 40]))
        area: dict[str, Any] = {"name": name, "length": f"{2 * rows} ft", "width": f"{6 * halves} ft"}
        if rows >= 2 and draw(st.booleans()):
            area["start"] = "centre-out"
        else:
            area["from"] = draw(st.sampled_from(["low", "high"]))
        if "start" not in area and halves > 1 and draw(st.booleans()):
            area |= {"guide_rail": True, "rail": _rail(draw, halves)}
        if draw(st.integers(0, 3)) == 0:
            area["stands"] = {"count": draw(st.integers(1, 3)), "drill": _duration(draw, "5 min", "1 h", "10 min")}
        area["end_ramps"] = rows >= 20 and draw(st.booleans())
        area["key_strips_every"] = draw(st.sampled_from(["2 ft", "8 ft", "100 ft"]))
        if areas and draw(st.booleans()):
            other = draw(st.sampled_from(areas))
            length = int(other["length"].split()[0])
            at = draw(st.sampled_from([0, rows, 2 * rows]))
            where = draw(st.sampled_from([{"end": "low"}, {"end": "high"}, {"station": f"{draw(st.integers(0, length))} ft"}]))
            area["joins"] = {"area": other["name"], "at": f"{at} ft", **where}
        areas.append(area)
    return areas


def _rail(draw: Any, halves: int) -> dict[str, Any]:
    return {
        "offset": f"{6 * draw(st.integers(1, halves - 1))} ft",
        "edge": draw(st.sampled_from(["left", "right"])),
        "first_section": draw(st.sampled_from(["9 ft", "5 ft", "10 ft"])),
        "gauges": draw(st.sampled_from([2, 3, 10])),
        "creep": draw(st.sampled_from(["0 in", {"p10": "0.1 in", "p90": "0.8 in", "scatter": 0.5}])),
        "uneven": draw(st.sampled_from(["0 in", "0.2 in"])),
        "seal": draw(st.sampled_from(["0 in", "0.125 in", "2 in"])),
        "remedy": draw(st.sampled_from(["short section", "re-seating"])),
    }


def _milestones(draw: Any, tables: dict[str, Any], areas: list[dict[str, Any]]) -> None:
    if draw(st.booleans()):
        return
    one = draw(st.sampled_from(areas))
    length = int(one["length"].split()[0])
    start = draw(st.integers(0, length - 1))
    to = draw(st.integers(start + 1, length))
    tables["milestone"] = [
        {"name": "stretch", "stretch": {"area": one["name"], "from": f"{start} ft", "to": f"{to} ft"}, "closing": "1 h"},
        {"name": "one", "areas": [one["name"]], "closing": "0 h", "ready": draw(st.booleans())},
        {"name": "all", "areas": [area["name"] for area in areas]},
    ]
    tables["milestone"][2]["ready"] = not tables["milestone"][1]["ready"]


def _supply(draw: Any, tables: dict[str, Any]) -> None:
    """Add a supply that covers the need, exactly or with something to spare, on hand or brought."""
    pools, spares = draw(st.sampled_from(["field", "field", "areas"])), draw(st.sampled_from([0.0, 0.0, 0.03, 0.2]))
    trial = {**tables, "supply": {"on_hand": 10**6, "pools": pools, "spares": spares}}
    try:
        quantities = take_off(parse_scenario(written(trial)))
    except ScenarioError:  # areas that lie over each other
        reject()
    total = draw(st.sampled_from([quantities.need.pallets, quantities.need.pallets, quantities.order.pallets + 2]))
    on_hand = draw(st.sampled_from([total, total, total // 2, 0]))
    per_load = draw(st.integers(2, 14))
    supply: dict[str, Any] = {"on_hand": on_hand, "total": total, "pools": pools, "spares": spares}
    supply["resupply"] = draw(st.sampled_from(["1 h", "5 day"]))
    for parts in ("key_strips", *(["rail"] if "rail_gang" in tables else [])):
        if draw(st.integers(0, 3)) == 0:
            supply[parts] = {"on_hand": draw(st.integers(0, 3))}
            comes = draw(st.sampled_from([{"from": "1 h"}, {"from": "4 day"}, *([{"load": 1}] if on_hand < total else [])]))
            supply[parts] |= comes
    if draw(st.booleans()):
        supply["per_day_limit"] = per_load + draw(st.integers(0, 20))
        supply["first_through"] = draw(st.sampled_from(["flights", "as they come"]))
    if draw(st.integers(0, 3)) == 0:
        supply["loading_places"] = draw(st.integers(1, 2))
    if on_hand < total:
        supply["half_mats"] = draw(st.sampled_from(["on every pallet", "first", "last"]))
    tables["supply"] = supply
    if on_hand < total:
        trucks, flights = draw(st.sampled_from([(1, 0), (2, 0), (0, 1), (1, 1), (0, 2)]))
        if trucks:
            haul = _duration(draw, "10 min", "2 h", "1 h")
            tables["supply.trucks"] = [
                {"count": draw(st.integers(1, 3)), "pallets": per_load, "haul": haul, "return": "30 min"} for _ in range(trucks)
            ]
        if flights:
            tables["supply.flights"] = [
                {"pallets": per_load, "first": f"{draw(st.integers(0, 30))} h", "every": f"{draw(st.integers(1, 30))} h"}
                for _ in range(flights)
            ]
        if draw(st.booleans()):
            tables["supply.shipments"] = [_shipment(draw) for _ in range(draw(st.integers(1, 2)))]


def _shipment(draw: Any) -> dict[str, Any]:
    shipment = {
        "pallets": draw(st.integers(1, 9)),
        "comes": _duration(draw, "1 h", "90 h", "20 h"),
        "chance": draw(st.sampled_from([1.0, 0.5])),
        "discharge": _duration(draw, "1 min", "1 h", "5 min"),
        "lot": draw(st.integers(1, 2)),
    }
    return shipment | draw(st.sampled_from([{}, {"again": "31 h"}]))
