"""Why did it take so long? The chain of steps that drove a milestone has no gaps, and its hours by cause are the time it took."""

import math
from types import SimpleNamespace

import pytest
from scenarios import strip
from small_runs import in_every_random_field, kind, random_run, run, steps

from simulation.chance import Streams
from simulation.conditions import ClockPlan, Sky, WorkClock
from simulation.construction.plan.steps import BECAUSE, DAILY_LIMIT, END, KIND, KINDS, START, WORK
from simulation.construction.trace.chain import (
    LOSSES,
    THIRDS,
    chain_back,
    hours_by_cause,
    hours_by_third,
    is_off_shift,
    list_causes,
    tied_share,
)
from simulation.construction.trace.links import clock_of, links_back


def causes(done, milestone=0):
    return hours_by_cause(done.site.reached[milestone], done)


@in_every_random_field
def test_every_step_starts_at_the_very_moment_its_cause_ends_so_every_chain_reaches_hour_zero(text):
    done = random_run(text)
    zero, *trace = done.site.trace
    assert zero[BECAUSE] is None
    for step in trace:
        assert step[START] == step[BECAUSE][END]
        assert step[END] >= step[START]
    for reached in filter(None, done.site.reached):
        *_, first = chain_back(reached)
        assert first is zero


@in_every_random_field
def test_the_hours_of_a_milestone_are_shared_out_among_causes_without_rest(text):
    done = random_run(text)
    for reached in filter(None, done.site.reached):
        hours = hours_by_cause(reached, done)
        assert math.fsum(hours.values()) == pytest.approx(reached[END], abs=1e-6)
        assert set(hours) <= set(list_causes(done.site.plan))
        assert min(hours.values()) > -1e-8
        assert 0.0 <= tied_share(reached, done.site.trace) <= 1.0 + 1e-9


@in_every_random_field
def test_each_third_of_the_time_to_a_milestone_has_its_own_hours_and_they_sum_to_it(text):
    done = random_run(text)
    for reached in filter(None, done.site.reached):
        thirds = hours_by_third(reached, done)
        whole = hours_by_cause(reached, done)
        assert len(thirds) == len(THIRDS)
        for number, hours in enumerate(thirds):
            assert math.fsum(hours.values()) == pytest.approx(reached[END] / 3, abs=1e-9)
            assert set(hours) <= set(whole)
            assert min(hours.values()) > -1e-8
            low, high = number * reached[END] / 3, (number + 1) * reached[END] / 3
            lost = dict.fromkeys(LOSSES, 0.0)
            for step, since, until in links_back(reached, done):
                clock, start, end = clock_of(step, done.site.clocks), max(low, since), min(high, until)
                if clock is not None and start < end:
                    for cause, spent in clock.losses(start, end).items():
                        lost[cause] += spent
            told = {cause: hours.get(cause, 0.0) for cause in LOSSES}
            told["off shift"] = math.fsum(spent for cause, spent in hours.items() if is_off_shift(cause))
            assert told == pytest.approx(lost, abs=1e-6)
        for cause, spent in whole.items():
            assert math.fsum(hours.get(cause, 0.0) for hours in thirds) == pytest.approx(spent, abs=1e-9)


def link(start, end, name, because, work=None):
    return (start, end, because, end - start if work is None else work, kind(name), 0, 0, 0)


class Told:
    """A run of which only clocks matter."""

    def __init__(self, **clocks):
        self.site, self.crews = SimpleNamespace(clocks=clocks, trace=[], zero=(0.0, 0.0), gangs=[]), ()


ZERO = (0.0, 0.0, None, 0.0, kind("start"), -1, -1, -1)


def by_day_only():
    """Return a clock that runs twelve hours and stands still for twelve."""
    halves = [(12.0 * half, 12.0 * half + 12.0, 1.0 - half % 2, "off shift" if half % 2 else None) for half in range(8)]
    return WorkClock(ClockPlan(tuple(halves)), Sky(None, Streams(1, 0)))


def test_a_step_over_a_border_between_thirds_is_split_by_what_its_clock_worked_and_lost_on_either_side():
    resupply = link(0.0, 9.0, "resupply", ZERO)
    laying = link(9.0, 30.0, "laying rows", resupply, work=9.0)  # three hours, a night of twelve, six hours
    early, middle, late = hours_by_third(laying, Told(laying=by_day_only()))
    assert early == pytest.approx({"resupply": 9.0, "laying rows": 1.0})
    assert middle == pytest.approx({"laying rows": 2.0, "off shift, crews": 8.0})
    assert late == pytest.approx({"off shift, crews": 4.0, "laying rows": 6.0})


def test_one_step_may_fill_all_thirds_and_a_border_may_fall_between_two_steps():
    clocks = Told(laying=by_day_only(), haul=by_day_only())
    night_and_day = hours_by_third(link(12.0, 36.0, "laying rows", link(0.0, 12.0, "haul", ZERO), work=12.0), clocks)
    assert [dict(hours) for hours in night_and_day] == [{"haul": 12.0}, {"off shift, crews": 12.0}, {"laying rows": 12.0}]
    alone = hours_by_third(link(0.0, 36.0, "waiting for the next flight", ZERO), clocks)
    assert [dict(hours) for hours in alone] == 3 * [{"waiting for the next flight": 12.0}]


@in_every_random_field
def test_what_a_clock_worked_and_what_it_lost_make_up_every_step_that_goes_by_it(text):
    done = random_run(text)
    for step in done.site.trace:
        name = KINDS[step[KIND]].clock
        if name is None or step[KIND] == DAILY_LIMIT:
            assert step[WORK] in (0.0, pytest.approx(step[END] - step[START], abs=1e-9))
        elif step[END] < done.site.plan.horizon:
            clock = done.site.clocks[name]
            lost = math.fsum(clock.losses(step[START], step[END]).values())
            assert step[WORK] == pytest.approx(clock.worked(step[START], step[END]), abs=1e-6)
            assert step[WORK] + lost == pytest.approx(step[END] - step[START], abs=1e-6)


def test_a_crew_without_mats_waits_and_the_wait_is_charged_to_the_haul():
    truck = {"count": 1, "pallets": 12, "load": "1 h", "haul": "10 h", "return": "9 h"}
    done = run(strip(supply={"on_hand": 0, "total": 24}, supply__trucks=[truck]))
    hours = causes(done)
    # Two loads: twice to load and haul, once the way back; unloading stands between them.
    assert hours["haul"] == pytest.approx(20.0)
    assert hours["loading at the port"] == pytest.approx(2.0)
    assert hours["trucks returning"] == pytest.approx(9.0)
    assert hours["unloading"] > 0
    assert hours["laying rows"] < 3.0


def test_a_crew_that_nothing_holds_up_drives_its_milestone_alone():
    hours = causes(run(strip()))
    assert set(hours) == {"forklift trips", "laying rows", "key strips", "final sweep, inspection and marking"}
    assert hours["forklift trips"] < 0.15  # the first pallet


def test_a_crew_that_waits_for_ground_waits_for_the_grading():
    done = run(strip(grading={"done": 0.0, "rate": "100 ft**2/h"}))
    hours = causes(done)
    assert hours["grading"] == pytest.approx(80 * 72 / 100)
    ready = steps(done, "grading")[-1][END]
    assert hours["laying rows"] == pytest.approx(sum(one[WORK] for one in steps(done, "laying rows") if one[START] >= ready))


def test_a_flight_that_is_waited_for_is_charged_to_the_timetable():
    flights = [{"pallets": 24, "first": "30 h"}]
    hours = causes(run(strip(supply={"on_hand": 0, "total": 24}, supply__flights=flights)))
    assert hours["waiting for the next flight"] == pytest.approx(30.0)


def test_a_closed_gate_is_charged_to_the_daily_limit():
    truck = {"count": 1, "pallets": 12, "load": "1 h", "haul": "1 h", "return": "1 h"}
    supply = {"on_hand": 0, "total": 24, "per_day_limit": 12}
    hours = causes(run(strip(supply=supply, supply__trucks=[truck])))
    assert 10.0 < hours["port's daily limit"] < 18.0  # until midnight, 18 h after the start


def test_a_broken_forklift_that_is_waited_for_is_charged_to_its_repair():
    done = run(strip(forklifts={"count": 1, "breakdown_every": "3 min", "repair": "5 h"}))
    hours = causes(done)
    assert hours["forklift repair"] > 0.8 * (done.site.reached[0][END] - hours["final sweep, inspection and marking"])


def test_nights_are_charged_to_nobody_but_the_shift():
    free, bound = run(strip()), run(strip(shifts__all={"hours": ["06:00-07:00"]}))
    hours = causes(bound)
    nights = math.fsum(spent for cause, spent in hours.items() if is_off_shift(cause))
    worked = bound.site.reached[0][END] - nights
    assert math.fsum(hours.values()) - nights == pytest.approx(worked)
    assert hours["laying rows"] + hours["key strips"] == pytest.approx(
        causes(free)["laying rows"] + causes(free)["key strips"], rel=0.2
    )
    assert nights > 5 * worked


def test_hours_that_two_steps_ending_at_one_moment_could_both_claim_count_as_tied():
    zero = (0.0, 0.0, None, 0.0, kind("start"), -1, -1, -1)
    crews_own = (0.0, 2.0, zero, 2.0, kind("laying rows"), 0, 0, 1)
    forklifts = (0.0, 2.0, zero, 2.0, kind("forklift trips"), 1, 0, 0)
    last = (2.0, 5.0, forklifts, 3.0, kind("laying rows"), 0, 0, 2)
    assert tied_share(last, [zero, crews_own, forklifts, last]) == pytest.approx(2 / 5)
    earlier = (0.0, 1.5, zero, 1.5, kind("laying rows"), 0, 0, 1)
    assert tied_share(last, [zero, earlier, forklifts, last]) == 0.0
