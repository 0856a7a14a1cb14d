"""Heavy rain undoes graded ground that lies open: it is graded again, and what that costs is told."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scenarios import strip
from small_runs import examples, kind, run, steps

from simulation.conditions.stops.heavy_rain import HeavyRain
from simulation.construction.plan.steps import ACTOR, BECAUSE, EDGE, END, KIND, NUMBER, START, WORK
from simulation.construction.trace.chain import CAUSES, hours_by_cause, hours_by_third, list_causes
from simulation.construction.trace.record import columns, make_record

# Every wet spell has heavy rain: 60 mm an hour on average.
WET = {"wet_spell": "2 h", "dry_spell": "30 h", "rain": {"mean": 60, "unit": "mm"}, "rain_stops": []}


def washed(undone, weather=WET, **changes):
    area = [{"name": "strip", "length": "400 ft", "width": "72 ft"}]
    changes.setdefault("laying", {"efficiency": 0.05})
    grading = {"undone": undone, "rate": "9000 ft**2/h", **changes.pop("grading", {})}
    return strip(area=area, supply={"on_hand": 400}, weather=weather, grading=grading, **changes)


def heavy_ends(done, until):
    return HeavyRain(done.site.sky).ends(0.0, until)


def graded_at(done, moment):
    """Return the rows of the only laying edge that are taken up at a moment: the last row step begun by then says."""
    begun = [step[NUMBER] for step in steps(done, "laying rows") if step[START] <= moment]
    return max(begun, default=0)


def test_every_heavy_spell_undoes_its_share_of_what_is_graded_and_not_yet_covered():
    done = run(washed(0.5))
    again = steps(done, "grading again")
    ends = heavy_ends(done, done.site.reached[0][END])
    assert len(ends) > 3
    first = ends[0]
    lost = int(0.5 * (200 - graded_at(done, first)) + 0.5)
    step = again[0]
    assert step[START] == pytest.approx(first)
    assert step[NUMBER] == 200
    assert step[WORK] == pytest.approx(0.5 * lost * 2 * 72 / 9000)  # half the time of grading it first
    assert 0 < len(again) <= len(ends)


def test_no_row_is_laid_on_ground_that_rain_has_undone_and_nobody_has_graded_again():
    done = run(washed(0.9, grading={"rate": "300 ft**2/h"}), 3)
    again = steps(done, "grading again")
    assert again
    for undone, until in pairwise(again):
        assert undone[END] <= until[START] + 1e-9
    events = [(end, "rain") for end in heavy_ends(done, done.site.reached[0][END])]
    events += [(step[END], step[NUMBER]) for step in again]
    events.sort(key=lambda one: one[0])
    graded, taken = 200, 0
    rows = sorted(steps(done, "laying rows"), key=lambda step: step[START])
    for row in rows:
        while events and events[0][0] <= row[START] + 1e-12:
            at, what = events.pop(0)
            taken = graded_at(done, at - 1e-9)
            graded = what if isinstance(what, int) else graded - int(0.9 * (graded - taken) + 0.5)
        assert row[NUMBER] <= graded


def test_a_crew_that_waits_for_such_ground_has_its_wait_told():
    dry = run(washed(0.0))
    wet = run(washed(0.9, grading={"rate": "300 ft**2/h"}))
    assert wet.site.reached[0][END] > dry.site.reached[0][END] + 1.0
    hours = hours_by_cause(wet.site.reached[0], wet)
    assert hours["grading again"] > 1.0
    assert math.fsum(hours.values()) == pytest.approx(wet.site.reached[0][END], abs=1e-6)


def test_rain_that_undoes_nothing_leaves_every_step_where_it_was():
    plain = run(strip(area=[{"name": "strip", "length": "400 ft", "width": "72 ft"}], supply={"on_hand": 400}, weather=WET))
    told = run(washed(0.0, laying={}, grading={"rate": "9000 ft**2/h"}))
    shape = [[(step[START], step[END], step[KIND], step[ACTOR]) for step in done.site.trace] for done in (plain, told)]
    assert shape[0] == shape[1]


def test_moderate_rain_undoes_nothing():
    light = {**WET, "rain": {"mean": 0.1, "unit": "mm"}}
    assert steps(run(washed(0.9, weather=light)), "grading again") == []


def test_a_gang_with_nothing_left_to_grade_stands_by_until_rain_undoes_something():
    done = run(washed(0.5))
    stands = steps(done, "graded ground open to rain")
    assert stands[0][START] == 0.0
    for step in steps(done, "grading again"):
        assert step[BECAUSE][KIND] in (kind("graded ground open to rain"), kind("grading again"))
    assert "graded ground open to rain" in CAUSES


EVERYTHING = {
    "site": {"latitude": 31.4, "longitude": -30.0, "utc_offset": "-2 h"},
    "weather": {
        "wet_spell": "3 h",
        "dry_spell": "20 h",
        "rain": {"mean": 4, "unit": "mm"},
        "wind": {"mean": 12, "unit": "mph"},
        "temperature": {"low": 60, "high": 97, "sd": 20, "unit": "degF"},
    },
    "stops": {"thunder": 0.2},
    "stops.laying": {},
    "stops.forklift": {},
    "stops.haul": {"rain": "moderate"},
    "stops.grading": {},
    "stops.lifting": {},
    "heat": {"clothing": "body armour", "forklift": "moderate", "acclimatised": False},
    "cold": {"stop_below": "30 degF"},
    "soil": {"waits": ["grading", "haul"], "workable": 0.2},
    "roads": {},
}


@st.composite
def everything(draw):
    pick = lambda *values: draw(st.sampled_from(values))  # noqa: E731
    night = {"hours": ["18:00-06:00"], "lighting": True, "night_rate": 0.8, "fatigue": 0.05, "rest_every": 5}
    crews = [
        {"name": "red", "people": 14, "areas": ["strip"]},
        {"name": "blue", "people": 20, "areas": ["strip"], "second_crew": "relief", "shift": night},
        {"name": "green", "people": 9, "areas": ["strip"], "second_crew": "relief"},
    ][: draw(st.integers(1, 3))]
    tables = washed(
        pick(0.0, 0.3, {"low": 0.0, "mode": 0.2, "high": 0.9}),
        grading={"done": pick(0.0, 0.5, 1.0), "gangs": pick(1, 2), "rate": pick("600 ft**2/h", "9000 ft**2/h")},
        laying={
            "efficiency": pick(0.2, 0.5),
            "finish_rows": pick("0 min", "30 min"),
            "absence": pick(0.0, 0.1),
            "skew_found": 0.2,
        },
        crew=crews,
    )
    truck = {"count": 2, "pallets": 10, "haul": "2 h", "return": "1 h"}
    tables |= {"supply": {"on_hand": 20}, "supply.trucks": [truck], "shifts.all": {"hours": ["05:00-19:00"]}}
    tables["area"][0] |= {"start": pick("one-end", "centre-out"), "length": pick("60 ft", "200 ft")}
    return tables | EVERYTHING


@given(everything(), st.integers(0, 50))
@examples(25)
def test_with_everything_switched_on_causes_sum_to_the_time_of_every_milestone_and_of_each_third_of_it(tables, number):
    done = run(tables, number)
    for reached in done.site.reached:
        assert reached is not None
        hours = hours_by_cause(reached, done)
        assert math.fsum(hours.values()) == pytest.approx(reached[END], abs=1e-6)
        assert set(hours) <= set(list_causes(done.site.plan))
        assert min(hours.values()) > -1e-8
        for third in hours_by_third(reached, done):
            assert math.fsum(third.values()) == pytest.approx(reached[END] / 3, abs=1e-6)
    told = dict(zip(columns(done.site.plan), make_record(done), strict=True))
    causes = math.fsum(hours for name, hours in told.items() if name.startswith("cause."))
    assert causes == pytest.approx(told["milestone.operational readiness"], abs=1e-6)
    assert all(math.isfinite(value) for value in told.values())
    for edge in done.site.edges:
        rows = [step[NUMBER] for step in done.site.trace if step[KIND] == kind("laying rows") and step[EDGE] == edge.index]
        assert rows == sorted(rows)
        assert rows[-1] == edge.rows


def test_the_same_run_has_the_same_weather_whatever_minds_it():
    tables = washed(0.3) | EVERYTHING
    other = {key: table for key, table in tables.items() if not key.startswith("stops") and key not in ("heat", "cold", "soil")}
    skies = [run(one, 4).site.sky for one in (tables, other)]
    for sky in skies:
        sky.reach(1000.0)
    assert skies[0].spells == skies[1].spells
    for block in range(3):
        for one, two in zip(skies[0].block(block), skies[1].block(block), strict=True):
            assert (one == two).all()
