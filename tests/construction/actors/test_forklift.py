"""How long is a forklift under way, when does it break down, and what does it do at night?"""

import math

import pytest
from scenarios import strip
from small_runs import in_every_random_field, random_run, run, steps

from simulation.construction.plan.steps import ACTOR, BECAUSE, END, FEED, KIND, MOVE, NUMBER, REPAIR, START, UNLOAD, WORK

FEET_PER_HOUR = 5 * 5280


@in_every_random_field
def test_no_forklift_takes_a_job_before_its_clock_opens(text):
    done = random_run(text)
    clock = done.site.clocks["forklift"]
    for step in done.site.trace:
        if step[KIND] in (FEED, UNLOAD, MOVE):
            # It begins at now + (opening − now), which may miss the opening by the last bit.
            assert clock.stretch(step[START])[0] == pytest.approx(step[START], abs=1e-12)


def test_a_forklift_that_is_idle_overnight_decides_in_the_morning_on_what_it_then_finds():
    # The crew works through the night; at six the laying edge that it has emptied most is fed, whatever was missing at dusk.
    done = run(strip(shifts__forklift={"hours": ["06:00-08:00"]}, forklifts={"count": 2, "staged_ahead": 4}))
    trips = steps(done, "forklift trips")
    morning = [step for step in trips if step[START] >= 24.0]
    assert morning[0][START] == 24.0
    laid = max(row[NUMBER] for row in steps(done, "laying rows") if row[END] <= 24.0)
    assert [step[NUMBER] for step in morning[:2]] == [laid, laid]
    assert not [step for step in trips if 2.0 < step[START] < 24.0]


def test_a_trip_takes_the_way_from_where_it_stood_and_lifting_twice():
    done = run(strip(forklifts={"count": 1}))
    travel = done.site.plan.edges[0].travel
    away = 0.0
    for step in steps(done, "forklift trips"):
        there = travel[step[NUMBER]]
        assert step[WORK] == pytest.approx((away + there) / FEET_PER_HOUR + 2 * 90 / 3600)
        away = there


def test_a_forklift_that_operates_half_the_hour_takes_twice_as_long_and_breaks_down_as_often_in_use():
    keys = {"count": 1, "breakdown_every": "7 min", "repair": "10 min", "speed": "1000000 mph"}
    brisk, slow = (run(strip(forklifts={**keys, "efficiency": share})) for share in (1.0, 0.5))
    hours = [[step[WORK] for step in steps(done, "forklift trips")] for done in (brisk, slow)]
    # The ways differ between the two, and take next to nothing: there and back at this speed, in a half of every hour.
    ways = 4 * max(brisk.site.plan.edges[0].travel) / (1_000_000 * 5280)
    assert ways < 1e-6
    assert hours[1] == pytest.approx([2 * one for one in hours[0]], abs=ways)
    assert len(steps(brisk, "forklift repair")) == len(steps(slow, "forklift repair")) > 2
    assert [step[WORK] for step in steps(slow, "forklift repair")] == pytest.approx([1 / 6] * len(steps(slow, "forklift repair")))


def test_a_load_is_unloaded_pallet_by_pallet():
    truck = {"count": 1, "pallets": 12, "load": "1 h", "haul": "1 h", "return": "1 h"}
    done = run(strip(supply={"on_hand": 0, "total": 24}, supply__trucks=[truck]))
    assert steps(done, "unloading")[0][WORK] == pytest.approx(12 * 2 * 90 / 3600)


def test_trips_grow_longer_as_the_edge_goes_away_from_the_yard():
    area = [{"name": "strip", "length": "400 ft", "width": "72 ft"}]
    done = run(strip(area=area, supply={"on_hand": 120, "yard": {"area": "strip", "station": "0 ft"}}, forklifts={"count": 1}))
    trips = [step[WORK] for step in steps(done, "forklift trips")]
    assert trips[-1] - trips[2] > 2 * 300 / FEET_PER_HOUR


def test_the_way_over_laid_rows_is_longer_than_straight_over_graded_ground():
    area = [{"name": "strip", "length": "400 ft", "width": "72 ft"}]
    straight, rows = (
        run(strip(area=area, supply={"on_hand": 120}, forklifts={"count": 1, "drive_on": on})) for on in ("graded", "rows")
    )
    # The yard lies beside the middle: along the rows a forklift first goes back to where the laying edge began.
    assert straight.site.plan.edges[0].travel[100] == pytest.approx(250.0 + 1.0)
    assert rows.site.plan.edges[0].travel[100] == pytest.approx(250.0 + 199.0 + 200.0)


def test_a_forklift_breaks_down_by_its_own_operating_hours():
    area = [{"name": "strip", "length": "400 ft", "width": "72 ft"}]
    tables = strip(area=area, supply={"on_hand": 120}, forklifts={"count": 3, "breakdown_every": "15 min", "repair": "10 min"})
    done = run(tables)
    assert len(steps(done, "forklift repair")) > 10
    for forklift in done.forklifts:
        operated, breakdowns = 0.0, 0
        for step in (one for one in done.site.trace if one[ACTOR] == forklift.actor):
            if step[KIND] == REPAIR:
                breakdowns += 1
                assert operated == pytest.approx(0.25 * breakdowns)
                assert step[WORK] == pytest.approx(1 / 6)
            else:
                operated += step[WORK]
        assert breakdowns == math.floor(operated / 0.25 + 1e-9)


#: One forklift breaks down after six minutes of work, for a day; another comes after an hour.
HOSTAGE = {"count": 2, "breakdown_every": "6 min", "repair": "24 h", "from": ["0 h", "1 h"]}


def test_a_pallet_of_a_broken_forklift_is_taken_over_where_it_stands_by_the_next_that_is_free():
    done = run(strip(forklifts=HOSTAGE))
    one, other = done.forklifts
    trips = steps(done, "forklift trips")
    cut = next(step for step in trips if id(step) in done.board.broken_off)
    taken = next(step for step in trips if id(step) in done.board.taken_over)
    edge, at = done.board.broken_off[id(cut)]
    assert (cut[ACTOR], taken[ACTOR], edge, taken[START]) == (one.actor, other.actor, 0, 1.0)
    travel = done.site.plan.edges[0].travel
    # Six minutes end under way with the second pallet, and what was done of them before is there, back, and three liftings.
    lift = 90 / 3600
    assert at == pytest.approx((0.1 - 3 * lift) * FEET_PER_HOUR - 2 * travel[0])
    assert 0 < at < travel[0]
    assert taken[WORK] == pytest.approx(travel[taken[NUMBER]] / FEET_PER_HOUR + 2 * lift)
    assert max(step[NUMBER] for step in steps(done, "laying rows") if step[END] < 24) >= 4  # the second pallet's


def test_the_rest_of_a_load_is_unloaded_by_the_next_that_is_free_and_what_is_unloaded_stands_in_the_yard():
    flights = [{"pallets": 12, "first": "1 min"}]
    keys = {**HOSTAGE, "breakdown_every": "20 min", "urgent_below": 0}
    done = run(strip(supply={"on_hand": 0, "total": 20}, supply__flights=flights, forklifts=keys))
    load = done.board.arrived[0]
    (first, some), (second, rest) = load.pieces
    assert (some, rest) == (6, 6)  # 20 minutes at three each, and a part of the seventh
    assert first[ACTOR] != second[ACTOR]
    assert second[START] == 1.0
    assert first[WORK] + second[WORK] == pytest.approx(12 * 2 * 90 / 3600)
    assert load.unloaded.value is second


def test_an_idle_forklift_goes_for_a_pallet_as_soon_as_another_breaks_down_with_it():
    # One place is left at the edge, so the second forklift has nothing to do until the first breaks down with the pallet for it.
    keys = {"count": 2, "staged_ahead": 2, "breakdown_every": {"mean": "1 h", "scatter": "exponential"}, "repair": "100 h"}
    seen = 0
    for run_number in range(30):
        done = run(strip(forklifts=keys), run_number)
        for step in done.site.trace:
            if id(step) in done.board.taken_over:
                why = step[BECAUSE]
                seen += id(why) in done.board.broken_off and why[ACTOR] != step[ACTOR] and why[END] == step[START]
    assert seen > 3


def test_a_job_may_break_down_more_than_once():
    done = run(strip(forklifts={"count": 1, "breakdown_every": "1 min", "repair": "1 min"}))
    first = steps(done, "forklift trips")
    assert [round(step[WORK] * 60, 6) for step in first[:3]] == [1.0, 1.0, 1.0]
    assert done.site.reached[0] is not None


def test_repair_goes_on_in_the_rain_but_not_at_night():
    tables = strip(
        weather={"wet_spell": "100 h", "dry_spell": "6 h"},
        forklifts={"count": 1, "breakdown_every": "10 min", "repair": "5 h"},
        shifts__forklift={"hours": ["06:00-16:00"]},
    )
    done = run(tables)
    repairs = steps(done, "forklift repair")
    assert repairs
    for step in repairs:
        lost = done.site.clocks["repair"].losses(step[START], step[END])
        assert set(lost) <= {"off shift"}
    assert any(done.site.clocks["forklift"].losses(step[START], step[END]).get("rain") for step in repairs)
