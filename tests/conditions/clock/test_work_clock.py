"""How hours of work become hours on the calendar: exactly, across any number of stops, each lost hour under one cause.

The yardstick is a second, plain reckoning that knows no blocks: the moment's segment of the calendar, then the spells of rain.
"""

import math
from bisect import bisect_right
from datetime import datetime
from itertools import pairwise

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from simulation.chance import Streams
from simulation.conditions import Chain, ClockPlan, Sky, WorkClock, daylight, lay_out
from simulation.scenario.tables.ground import Site
from simulation.scenario.tables.people import Shift

HORIZON = 1000.0
BEGINS = datetime(2031, 4, 2, 6, 10)
LIGHT = daylight(Site.model_validate({"latitude": 31.4, "longitude": -30.0, "utc_offset": "-2 h"}), BEGINS, 42)
HOURS = [["06:00-12:00", "13:00-18:00"], ["00:00-24:00"], ["20:00-04:00"], ["05:00-13:00", "13:00-21:00"]]


def shifts(hours, light):
    return lay_out(Shift.model_validate({"hours": hours}), LIGHT if light else None, BEGINS, HORIZON)


def uneven(parts):
    """Return a calendar of segments at any rate, to the last day simulated."""
    segments, at = [], 0.0
    for length, rate in parts:
        if at + length >= HORIZON - 1:
            break
        segments.append((at, at + length, rate, None if rate == 1 else "heat"))
        at += length
    return (*segments, (at, HORIZON, 1.0, None))


CALENDARS = [shifts(hours, light) for hours in HOURS for light in (False, True)]
rates = st.sampled_from([0.0, 0.25, 0.5, 1.0])
calendars = st.sampled_from(CALENDARS) | st.lists(st.tuples(st.floats(0.1, 60), rates), max_size=30).map(uneven)
plans = st.builds(ClockPlan, calendars, st.booleans(), st.sampled_from([0.0, 2.5, 30.0, 200.0]))
skies = st.tuples(
    st.builds(Chain, st.sampled_from([1.0, 3.0, 24.0]), st.floats(0.005, 0.5), st.floats(0.0, 0.97)), st.integers(0, 10**6)
)
worlds = st.tuples(plans, skies)
moments = st.floats(0, HORIZON - 1)


def sky_of(chain, run=0):
    return Sky(chain, Streams(1, run))


def clock_of(world):
    plan, (chain, run) = world
    return WorkClock(plan, sky_of(chain, run))


class Reckoning:
    """Work and losses of a plan under a sky, moment by moment."""

    def __init__(self, plan, sky):
        sky.reach(HORIZON + plan.drying + 500)
        spells = sky.spells if plan.rain else []
        edges = {0.0, HORIZON} | {segment[0] for segment in plan.calendar}
        edges |= {edge for start, end in spells for edge in (start, end, end + plan.drying)}
        edges = sorted(edge for edge in edges if 0 <= edge <= HORIZON)
        self.pieces = [(low, high, *self.state(plan, spells, (low + high) / 2)) for low, high in pairwise(edges)]

    @staticmethod
    def state(plan, spells, at):
        starts = [segment[0] for segment in plan.calendar]
        _, _, rate, cause = plan.calendar[bisect_right(starts, at) - 1]
        before = [spell for spell in spells if spell[0] <= at]
        if rate > 0 and before:
            if at < before[-1][1]:
                return 0.0, "rain"
            if at < before[-1][1] + plan.drying:
                return 0.0, "wet ground"
        return rate, cause

    def account(self, start, end):
        worked, lost = 0.0, {}
        for low, high, rate, cause in self.pieces:
            span = min(high, end) - max(low, start)
            if span > 0:
                worked += rate * span
                if cause is not None:
                    lost[cause] = lost.get(cause, 0.0) + (1 - rate) * span
        return worked, lost


def same(one, other):
    return one.keys() == other.keys() and all(one[key] == pytest.approx(other[key], abs=1e-8) for key in one)


def told(account):
    return {cause: hours for cause, hours in account.items() if hours > 1e-9}


@given(worlds, moments, moments)
def test_hours_of_work_and_hours_lost_make_up_the_elapsed_time(world, one, other):
    start, end = sorted((one, other))
    clock = clock_of(world)
    assert clock.worked(start, end) + sum(clock.losses(start, end).values()) == pytest.approx(end - start, abs=1e-8)


@given(worlds, moments, moments)
def test_work_and_each_cause_are_those_of_a_reckoning_moment_by_moment(world, one, other):
    start, end = sorted((one, other))
    clock, (plan, sky) = clock_of(world), world
    worked, lost = Reckoning(plan, sky_of(*sky)).account(start, end)
    assert clock.worked(start, end) == pytest.approx(worked, abs=1e-8)
    assert same(told(clock.losses(start, end)), told(lost))


@given(worlds, moments, st.floats(1e-3, 400))
def test_the_work_done_until_a_step_ends_is_the_work_of_the_step(world, start, work):
    clock = clock_of(world)
    end = clock.finish(start, work)
    if math.isinf(end):
        assert clock.worked(start, HORIZON) < work + 1e-8
    else:
        assert start <= end <= HORIZON
        assert clock.worked(start, end) == pytest.approx(work, abs=1e-8)


@given(worlds, moments, st.floats(1e-3, 400))
def test_a_step_ends_at_the_first_moment_its_work_is_done_and_not_after_the_stop_that_follows(world, start, work):
    clock = clock_of(world)
    end = clock.finish(start, work)
    assume(end < math.inf)
    earlier = max(start, end - 1e-4)
    assert clock.worked(start, earlier) < work - 1e-6


@given(worlds, moments)
def test_a_step_without_work_ends_where_it_begins(world, start):
    assert clock_of(world).finish(start, 0.0) == start


@given(worlds, moments, st.floats(1e-3, 200), st.floats(0, 50))
def test_more_work_never_ends_earlier_and_a_later_start_never_does(world, start, work, more):
    clock = clock_of(world)
    end = clock.finish(start, work)
    assert clock.finish(start, work + more) >= end - 1e-9
    assert clock.finish(min(start + more, HORIZON - 1), work) >= end - 1e-9


@given(worlds, moments, st.lists(st.floats(1e-3, 20), min_size=2, max_size=8))
def test_steps_one_after_the_other_end_when_one_step_of_all_their_work_does(world, start, works):
    clock = clock_of(world)
    end = start
    for work in works:
        end = clock.finish(end, work)
    whole = clock.finish(start, sum(works))
    # Where the work ends within rounding of a stop, either side of it is the same moment of work.
    assert end == pytest.approx(whole, abs=1e-8) or abs(clock.worked(min(end, whole), max(end, whole))) < 1e-8


@given(worlds, st.lists(st.tuples(moments, st.floats(1e-3, 100)), min_size=2, max_size=8))
def test_an_answer_does_not_depend_on_what_was_asked_before(world, questions):
    clock = clock_of(world)
    answers = [(clock.finish(start, work), *clock.stretch(start), clock.worked(0, start)) for start, work in questions]
    for (start, work), answer in zip(questions, answers, strict=True):
        fresh = [clock_of(world) for _ in range(3)]
        alone = fresh[0].finish(start, work), *fresh[1].stretch(start), fresh[2].worked(0, start)
        assert answer == pytest.approx(alone, abs=1e-8)


@given(worlds, moments)
def test_the_next_stretch_begins_at_the_first_moment_with_work_under_way_and_knows_no_stop(world, at):
    clock, (plan, sky) = clock_of(world), world
    opens, closes = clock.stretch(at)
    assert opens >= at
    assert clock.worked(at, min(opens, HORIZON)) == pytest.approx(0.0, abs=1e-9)
    if opens == math.inf:
        assert closes == math.inf
        return
    assert opens < closes <= HORIZON
    for low, high, rate, _ in Reckoning(plan, sky_of(*sky)).pieces:
        assert rate > 0 or min(high, closes) - max(low, opens) < 1e-9
    assert clock.stretch(opens) == (opens, closes)


def test_a_stretch_ends_with_its_shift_and_the_next_begins_with_the_next():
    clock = WorkClock(ClockPlan(CALENDARS[0]), sky_of(None))  # start is 06:10; 06-12 and 13-18
    asked = [clock.stretch(hour) for hour in (0.0, 3.0, 6.0, 10.9, 12.5)]
    sixth = 1 / 6
    expected = [(0, 6 - sixth), (3, 6 - sixth), (7 - sixth, 12 - sixth), (10.9, 12 - sixth), (24 - sixth, 30 - sixth)]
    assert asked == [pytest.approx(one) for one in expected]


@given(st.integers(2, 500), st.integers(0, 40))
@example(60, 3)
def test_steps_that_together_fill_a_shift_end_with_it_though_their_sum_is_not_exact(steps, day):
    plan = ClockPlan(
        lay_out(Shift.model_validate({"hours": ["06:00-12:00", "13:00-18:00"]}), None, datetime(2031, 4, 2), HORIZON)
    )
    clock = WorkClock(plan, sky_of(None))
    end = begin = 24.0 * day + 6
    for _ in range(steps):
        end = clock.finish(end, 6 / steps)
    assert end == pytest.approx(begin + 6, abs=1e-9)
    assert end <= begin + 6
    assert clock.losses(begin, end) == {}
    assert clock.finish(end, 0.5) == pytest.approx(begin + 7.5, abs=1e-9)


def test_a_step_that_ends_with_the_shift_ends_there_and_not_in_the_next():
    clock = WorkClock(ClockPlan(((0, 6, 1.0, None), (6, 20, 0.0, "off shift"), (20, 30, 1.0, None))), sky_of(None))
    assert clock.finish(1.0, 5.0) == 6.0
    assert clock.finish(1.0, 5.5) == 20.5
    assert clock.losses(1.0, 20.5) == {"off shift": 14.0}


@pytest.mark.parametrize("work", [1e-15, 1e-10, 9e-10, 1.1e-9])
@pytest.mark.parametrize("start", [6.0, 12.0])
def test_a_trace_of_work_begun_in_a_stop_ends_at_once_or_when_work_goes_on(start, work):
    clock = WorkClock(ClockPlan(((0, 6, 1.0, None), (6, 20, 0.0, "off shift"), (20, 30, 1.0, None))), sky_of(None))
    end = clock.finish(start, work)
    assert end == start or end == pytest.approx(20.0, abs=1e-8)


def test_a_slow_stretch_takes_as_much_longer_as_its_rate_says_and_loses_the_rest_to_its_cause():
    clock = WorkClock(ClockPlan(((0, 2, 1.0, None), (2, 10, 0.25, "heat"), (10, 30, 1.0, None))), sky_of(None))
    assert clock.finish(1.0, 2.0) == 6.0
    assert clock.losses(1.0, 6.0) == {"heat": 3.0}
    assert clock.finish(0.0, 5.0) == 11.0


@given(worlds, st.floats(HORIZON, 3 * HORIZON), st.floats(0.001, 100))
@settings(max_examples=40)
def test_work_that_the_horizon_overtakes_never_ends(world, late, work):
    clock = clock_of(world)
    assert clock.finish(late, work) == math.inf
    assert clock.stretch(late) == (math.inf, math.inf)
    assert clock.finish(0.0, HORIZON + 1) == math.inf


def test_work_that_ends_with_the_horizon_gets_the_same_answer_whenever_it_is_asked():
    plan = ClockPlan(((0.0, 20.0, 0.0, "off shift"), (20.0, 30.0, 1.0, None)))
    fresh, used = WorkClock(plan, sky_of(None)), WorkClock(plan, sky_of(None))
    used.finish(25.0, 1.0)
    assert used.finish(25.0, 5.0) == fresh.finish(25.0, 5.0)
