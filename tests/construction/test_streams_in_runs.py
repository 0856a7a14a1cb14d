"""Does a run keep its luck when the plan is changed? Only then does a comparison of plans compare the plans."""

from collections import Counter, defaultdict
from zlib import crc32

import numpy as np
import pytest
from fields import UNEVEN, uneven
from small_runs import kind, run, steps

from simulation.chance import Streams, draw_factors
from simulation.construction.plan.steps import ACTOR, EDGE, KIND, NUMBER, WORK


def area_luck(done, name="strip"):
    return next(area.luck for area in done.site.areas if area.plan.name == name)


def row_luck(done, area="strip"):
    """Return what every row of an area met, by the area's own rows."""
    luck = area_luck(done, area)
    numbers = luck._row_luck
    of_rows = (numbers.pick_up, numbers.place, numbers.lock, numbers.open_pallet, luck.checks, luck.reseats, luck.skew)
    drawn = [np.broadcast_to(one, len(luck.checks)).tolist() for one in of_rows]
    return *drawn, luck.rejected, luck.connect, luck.starter, numbers.efficiency


def in_turn(done, name, factor=1.0):
    """Return the hours of one kind of step, by actor in the order in which it did them."""
    hours = defaultdict(list)
    for step in steps(done, name):
        hours[done.actors[step[ACTOR]].name].append(step[WORK] * factor)
    return hours


def sound_hours(done):
    """Return the hours that each forklift operated from one breakdown to the next."""
    hours = defaultdict(lambda: [0.0])
    for step in done.site.trace:
        if step[KIND] in map(kind, ("forklift trips", "unloading", "moving left-over mats")):
            hours[done.actors[step[ACTOR]].name][-1] += step[WORK]
        elif step[KIND] == kind("forklift repair"):
            hours[done.actors[step[ACTOR]].name].append(0.0)
    return {who: of[:-1] for who, of in hours.items()}


def graded(done):
    """Return the hours of each slice of ground, by its area, the direction of its laying edge and its last row."""
    areas, edges = done.site.plan.areas, done.site.plan.edges
    return {
        (areas[edges[step[EDGE]].area].name, edges[step[EDGE]].upward, step[NUMBER]): step[WORK]
        for step in steps(done, "grading")
    }


def listened_to(tables, monkeypatch, run_number=5):
    """Return every factor that the actors of a run took, in order, by purpose and owner."""
    taken = {}

    def listening(scatter, luck, purpose, owner):
        assert (purpose, owner) not in taken, "two draw from one stream"
        taken[purpose, owner] = []
        for factor in draw_factors(scatter, luck, purpose, owner):
            taken[purpose, owner].append(factor)
            yield factor

    for module in ("actors.forklift", "site.pallets.board", "actors.delivery", "actors.grading"):
        monkeypatch.setattr(f"simulation.construction.{module}.draw_factors", listening)
    run(tables, run_number)
    return taken


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
    "a crew less": {"crew": [{"name": "red", "people": 12, "areas": ["strip", "pad"]}]},
    "crews the other way round": {"crew": uneven()["crew"][::-1]},
    "other names": {"crew": [{"name": name, "people": 12, "areas": ["strip", "pad"]} for name in ("ochre", "teal")]},
    "another order of areas": {
        "crew": [{"name": "red", "people": 12, "areas": ["pad", "strip"]}, {"name": "blue", "people": 12, "areas": ["strip"]}]
    },
    "areas the other way round in the file": {"area": uneven()["area"][::-1]},
    "one more forklift": {"forklifts": {"count": 3}},
    "one forklift less": {"forklifts": {"count": 1}},
    "more trucks": {"supply.trucks": [{**uneven()["supply.trucks"][0], "count": 5}]},
    "more gangs": {"grading": {"gangs": 3}},
    "more room beside a laying edge": {"forklifts": {"staged_ahead": 12}},
    "everything at once": {
        "area": [
            {**uneven()["area"][1], "start": "centre-out"},
            {**uneven()["area"][0], "start": "one-end", "from": "high"},
        ],
        "crew": [{"name": name, "people": 20, "areas": ["pad", "strip"]} for name in ("ochre", "teal", "grey")],
        "forklifts": {"count": 4},
    },
}

#: Of the strip and of the pad; the strip is centre-out and the pad one-end, from low, before they are changed.
STARTS = {
    "the strip from its low end": ({"start": "one-end", "from": "low"}, {}),
    "the strip from its high end": ({"start": "one-end", "from": "high"}, {}),
    "the pad from its high end": ({}, {"from": "high"}),
    "the pad from its middle": ({}, {"start": "centre-out"}),
    "the strip from its low end and the pad from its middle": ({"start": "one-end"}, {"start": "centre-out"}),
}
PLANS |= {
    name: {"area": [{**area, **change} for area, change in zip(uneven()["area"], changes, strict=True)]}
    for name, changes in STARTS.items()
}


@pytest.mark.parametrize("plan", PLANS)
def test_another_plan_leaves_every_luck_as_it_was(plan):
    before, after = run(uneven(), 5), run(uneven(**PLANS[plan]), 5)
    assert before.site.levels == after.site.levels
    for area in ("strip", "pad"):
        assert row_luck(before, area) == row_luck(after, area)
        assert area_luck(before, area).key_strips == area_luck(after, area).key_strips
    assert spells(before)
    assert spells(before) == spells(after)
    for trip in ("loading at the port", "haul", "trucks returning"):
        agrees_as_far_as_both_go(in_turn(before, trip), in_turn(after, trip))
    agrees_as_far_as_both_go(in_turn(before, "forklift repair"), in_turn(after, "forklift repair"))
    gaps, others = sound_hours(before), sound_hours(after)
    for who in gaps.keys() & others.keys():
        both = min(len(gaps[who]), len(others[who]))
        assert both > 1
        assert gaps[who][:both] == pytest.approx(others[who][:both], rel=1e-9)  # hours of trips, summed in another order


@pytest.mark.parametrize("plan", PLANS)
def test_under_another_plan_every_actor_meets_the_same_luck_to_the_bit_as_far_as_both_go(plan, monkeypatch):
    before, after = listened_to(uneven(), monkeypatch), listened_to(uneven(**PLANS[plan]), monkeypatch)
    common = before.keys() & after.keys()
    lucks = {"handle", "breakdown_every", "repair", "grading", "trench"} | {
        f"supply.trucks.1.{trip}" for trip in ("load", "haul", "return")
    }
    assert {purpose for purpose, _ in common} == lucks
    taken = Counter()
    for purpose, owner in common:
        one, other = before[purpose, owner], after[purpose, owner]
        both = min(len(one), len(other))
        assert one[:both] == other[:both]
        taken[purpose] += both
    assert min(taken[purpose] for purpose in lucks) > 0


@pytest.mark.parametrize("plan", [plan for plan in PLANS if plan not in STARTS and plan != "everything at once"])
def test_another_plan_leaves_the_ground_as_hard_to_grade_as_it_was(plan):
    before, after = (graded(run(tables, 5)) for tables in (uneven(), uneven(**PLANS[plan])))
    both = before.keys() & after.keys()
    assert len(both) > 8
    assert [before[piece] for piece in both] == [after[piece] for piece in both]


def test_no_two_things_in_a_run_draw_from_one_stream(monkeypatch):
    opened = []
    stream = Streams.stream

    def noted(self, purpose, owner=""):
        opened.append((purpose, owner))
        return stream(self, purpose, owner)

    monkeypatch.setattr(Streams, "stream", noted)
    run(uneven(), 5)
    assert len(opened) > 50
    assert len({(crc32(purpose.encode()), crc32(owner.encode())) for purpose, owner in opened}) == len(opened)


def test_a_longer_area_leaves_the_rows_that_both_have_their_luck():
    longer = [{**uneven()["area"][0], "length": "240 ft"}, uneven()["area"][1]]
    before, after = run(uneven(), 5), run(uneven(area=longer), 5)
    for one, other in zip(row_luck(before)[:4], row_luck(after)[:4], strict=True):
        assert one == other[: len(one)]


def test_a_changed_share_of_damage_leaves_everything_but_the_damage():
    before, after = run(uneven(), 5), run(uneven(laying={**UNEVEN, "damaged_mats": 0.3}), 5)
    assert row_luck(before)[:7] == row_luck(after)[:7]
    few, many = (area_luck(done).rejected for done in (before, after))
    assert set(few) < set(many)
    assert spells(before) == spells(after)


def test_a_slower_haul_stretches_every_trip_by_the_same_factor():
    twice = [{**uneven()["supply.trucks"][0], "haul": {"p10": "2 h", "p90": "4 h", "scatter": 0.2}}]
    before, after = run(uneven(), 5), run(uneven(supply__trucks=twice), 5)
    one, other = in_turn(before, "haul", 2.0), in_turn(after, "haul")
    for who in one:
        both = min(len(one[who]), len(other[who]))
        assert one[who][:both] == pytest.approx(other[who][:both])


def test_another_run_number_or_seed_has_luck_of_its_own():
    first, second = run(uneven(), 5), run(uneven(), 6)
    third = run(uneven(top={"starts": "2031-04-02T06:00:00", "horizon": "60 day", "seed": 2}), 5)
    for other in (second, third):
        assert first.site.levels != other.site.levels
        assert row_luck(first)[1] != row_luck(other)[1]
        assert spells(first) != spells(other)
