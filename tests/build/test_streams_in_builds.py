"""Does a build keep its luck when the plan is changed? Only then does a comparison of plans compare the plans."""

from collections import defaultdict

import numpy as np
import pytest
from small_scenarios import build, steps, strip

from simulation.build.steps import ACTOR, FACE, NUMBER, WORK

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


def field(**changes):
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


def row_luck(done, area=0):
    """Return what every row of an area met, by the area's own rows."""
    luck = done.site.areas[area].luck
    numbers = luck._row_luck
    drawn = [
        np.broadcast_to(one, len(luck.checks)).tolist()
        for one in (numbers.pick_up, numbers.place, numbers.lock, numbers.open_pallet)
    ]
    return *drawn, luck.checks, luck.reseats, luck.skew, luck.rejected, luck.connect, luck.starter, numbers.efficiency


def in_turn(done, name, factor=1.0):
    """Return the hours of one kind of step, by actor in the order in which it did them."""
    hours = defaultdict(list)
    for step in steps(done, name):
        hours[done.actors[step[ACTOR]].name].append(step[WORK] * factor)
    return hours


def agrees_as_far_as_both_go(one, other):
    assert one.keys() & other.keys()
    for who in one.keys() & other.keys():
        both = min(len(one[who]), len(other[who]))
        assert both
        assert one[who][:both] == other[who][:both]


def spells(done, hours=100.0):
    return [spell for spell in done.site.sky.spells if spell[1] < hours]


PLANS = {
    "a larger crew": {
        "crew": [
            {"name": "red", "people": 30, "areas": ["strip", "pad"]},
            {"name": "blue", "people": 12, "areas": ["strip", "pad"]},
        ]
    },
    "a third crew": {
        "crew": [
            {"name": name, "people": 12, "areas": ["strip", "pad"], "second_crew": "merge"} for name in ("red", "blue", "green")
        ]
    },
    "other names": {"crew": [{"name": name, "people": 12, "areas": ["strip", "pad"]} for name in ("ochre", "teal")]},
    "another order of areas": {
        "crew": [{"name": "red", "people": 12, "areas": ["pad", "strip"]}, {"name": "blue", "people": 12, "areas": ["strip"]}]
    },
    "one more forklift": {"forklifts": {"count": 3}},
    "more trucks": {"supply.trucks": [{**field()["supply.trucks"][0], "count": 5}]},
    "more gangs": {"grading": {"gangs": 3}},
    "more room beside a face": {"forklifts": {"staged_ahead": 12}},
}


@pytest.mark.parametrize("plan", PLANS)
def test_another_plan_leaves_every_luck_as_it_was(plan):
    before, after = build(field(), 5), build(field(**PLANS[plan]), 5)
    assert before.site.levels == after.site.levels
    for area in (0, 1):
        assert row_luck(before, area) == row_luck(after, area)
        assert before.site.areas[area].luck.key_strips == after.site.areas[area].luck.key_strips
    assert spells(before)
    assert spells(before) == spells(after)
    for trip in ("loading at the port", "haul", "trucks' way back"):
        agrees_as_far_as_both_go(in_turn(before, trip), in_turn(after, trip))
    agrees_as_far_as_both_go(in_turn(before, "forklift repair"), in_turn(after, "forklift repair"))


@pytest.mark.parametrize("plan", ["a larger crew", "another order of areas", "more gangs", "more trucks"])
def test_another_plan_leaves_the_ground_as_hard_to_grade_as_it_was(plan):
    before, after = (
        {(step[FACE], step[NUMBER]): step[WORK] for step in steps(build(tables, 5), "grading")}
        for tables in (field(), field(**PLANS[plan]))
    )
    assert len(before) > 8
    assert before == pytest.approx(after)


def test_another_start_leaves_each_row_its_luck():
    one_end = [{**field()["area"][0], "start": "one-end", "from": "high"}, field()["area"][1]]
    before, after = build(field(), 5), build(field(area=one_end), 5)
    assert before.site.levels == after.site.levels
    assert row_luck(before) == row_luck(after)
    assert row_luck(before, 1) == row_luck(after, 1)
    assert spells(before) == spells(after)
    for trip in ("loading at the port", "haul"):
        agrees_as_far_as_both_go(in_turn(before, trip), in_turn(after, trip))
    agrees_as_far_as_both_go(in_turn(before, "forklift repair"), in_turn(after, "forklift repair"))


def test_a_longer_area_leaves_the_rows_that_both_have_their_luck():
    longer = [{**field()["area"][0], "length": "240 ft"}, field()["area"][1]]
    before, after = build(field(), 5), build(field(area=longer), 5)
    for one, other in zip(row_luck(before)[:4], row_luck(after)[:4], strict=True):
        assert one == other[: len(one)]


def test_a_changed_share_of_damage_leaves_everything_but_the_damage():
    before, after = build(field(), 5), build(field(laying={**UNEVEN, "damaged_mats": 0.3}), 5)
    assert row_luck(before)[:7] == row_luck(after)[:7]
    few, many = (done.site.areas[0].luck.rejected for done in (before, after))
    assert set(few) < set(many)
    assert spells(before) == spells(after)


def test_a_slower_haul_stretches_every_trip_by_the_same_factor():
    twice = [{**field()["supply.trucks"][0], "haul": {"p10": "2 h", "p90": "4 h", "scatter": 0.2}}]
    before, after = build(field(), 5), build(field(supply__trucks=twice), 5)
    one, other = in_turn(before, "haul", 2.0), in_turn(after, "haul")
    for who in one:
        both = min(len(one[who]), len(other[who]))
        assert one[who][:both] == pytest.approx(other[who][:both])


def test_another_replication_or_seed_has_luck_of_its_own():
    first, second = build(field(), 5), build(field(), 6)
    third = build(field(top={"starts": "2031-04-02T06:00:00", "horizon": "60 day", "seed": 2}), 5)
    for other in (second, third):
        assert first.site.levels != other.site.levels
        assert row_luck(first)[1] != row_luck(other)[1]
        assert spells(first) != spells(other)
