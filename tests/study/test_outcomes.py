"""What does a plan come to over its runs, and what does it change against another?"""

import math

import pytest
from invented_runs import invented_runs, invented_scenario

from simulation.stats.paired_difference import UNKNOWN
from simulation.stats.quantiles import estimate
from simulation.study.calendar import make_calendar
from simulation.study.deadline import read_deadline
from simulation.study.outcomes import against, summarise_outcome
from simulation.study.people import count_people

FIELD = invented_scenario()
READY = "milestone.operational readiness"


def outcome(count=200, deadline=None, **how):
    limit = None if deadline is None else read_deadline(deadline, make_calendar(FIELD))
    return summarise_outcome("plan", FIELD, invented_runs(FIELD, count, **how), limit)


def test_an_outcome_is_read_from_the_milestone_that_is_readiness():
    runs = invented_runs(FIELD, 200)
    found = summarise_outcome("plan", FIELD, runs)
    assert list(found.hours) == runs[READY].tolist()
    assert (found.p50, found.p80) == (estimate(runs[READY], 0.5), estimate(runs[READY], 0.8))
    assert found.people == count_people(FIELD).total
    assert found.crew_days == pytest.approx(2 * found.p50.value / 24)
    assert (found.deadline, found.chance) == (None, None)


def test_the_chance_of_the_deadline_is_the_share_of_runs_that_meet_it():
    found = outcome(deadline="7 day")
    met = sum(hours <= 7 * 24 for hours in found.hours)
    assert 0 < met < 200
    assert found.chance.probability == met / 200
    assert found.chance.low < met / 200 < found.chance.high


def test_a_plan_that_takes_a_day_longer_in_every_run_is_later_by_a_day_in_every_number():
    first = outcome()
    runs = invented_runs(FIELD, 200)
    runs[READY][:] += 24.0
    found = against(first, summarise_outcome("later", FIELD, runs))
    assert (found.mean.value, found.mean.low, found.mean.high) == pytest.approx((24.0,) * 3)
    for change in (found.p50, found.p80):
        assert change.value == pytest.approx(24.0)
        assert change.low == pytest.approx(24.0)
        assert change.high == pytest.approx(24.0)
    assert found.chance == UNKNOWN


def test_against_itself_nothing_changes():
    one = outcome(deadline="7 day")
    found = against(one, one)
    assert all((change.value, change.low, change.high) == (0.0, 0.0, 0.0) for change in (found.p50, found.p80, found.chance))
    assert found.mean.value == 0.0


def test_the_other_way_round_every_change_has_the_other_sign():
    one, other = outcome(deadline="7 day"), outcome(deadline="7 day", mean=85.0)
    forth, back = against(one, other), against(other, one)
    for name in ("mean", "p50", "p80", "chance"):
        assert getattr(forth, name).value == pytest.approx(-getattr(back, name).value)
        assert getattr(forth, name).low == pytest.approx(-getattr(back, name).high)
    assert forth.p80.value > 0 > forth.chance.value


def test_each_plan_is_held_to_its_own_deadline_where_hours_zero_differ():
    one, other = outcome(deadline="7 day"), outcome(deadline="8 day")
    found = against(one, other)
    assert found.chance.value == pytest.approx(other.chance.probability - one.chance.probability)
    assert found.chance.low > 0
    assert found.p80.value == 0.0


def test_beyond_the_horizon_only_the_chance_is_known():
    one, late = outcome(deadline="7 day"), outcome(deadline="7 day", unfinished=0.3)
    found = against(one, late)
    assert late.p80.value == math.inf
    assert (found.mean, found.p80) == (UNKNOWN, UNKNOWN)
    assert found.p50.value == 0.0  # the slowest three in ten are beyond it, the median is not
    assert found.chance.value is not None
    assert outcome(unfinished=0.6).crew_days == math.inf
