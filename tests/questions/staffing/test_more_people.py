"""Where more people stop helping, told by paired differences."""

import math

import numpy as np
import pandas as pd
import pytest
from staffed import staffed

from simulation.questions.staffing.more_people import more_people
from simulation.scenario import Team, vary
from simulation.study.outcomes import summarise_outcome

LUCK = np.random.default_rng(2).normal(100.0, 10.0, 200)


def outcome(people, hours):
    scenario = vary(staffed(), [Team(1, people).instead(staffed())])
    return summarise_outcome(f"1x{people}", scenario, pd.DataFrame({"milestone.operational readiness": hours}))


def helped(outcomes, margin=6.0):
    return more_people(outcomes, [one.people for one in outcomes], margin)


def test_more_people_stop_helping_where_all_larger_teams_are_as_late():
    found = helped([outcome(10, LUCK + 20), outcome(12, LUCK), outcome(14, LUCK), outcome(16, LUCK)])
    assert (found.at, found.earliest) == (1, 2)
    assert (found.gain.value, found.gain.low, found.gain.high) == (0.0, 0.0, 0.0)


def test_a_step_that_gains_nothing_is_passed_over_where_a_larger_one_gains():
    found = helped([outcome(10, LUCK), outcome(12, LUCK), outcome(14, LUCK - 8), outcome(16, LUCK - 8)])
    assert found.at == 2


def test_more_people_may_be_worse():
    found = helped([outcome(10, LUCK), outcome(12, LUCK + 5), outcome(14, LUCK + 9)])
    assert (found.at, found.earliest) == (0, 1)
    assert found.gain.value == pytest.approx(5.0)


def test_a_gain_within_its_interval_is_none():
    other = np.random.default_rng(9).permutation(LUCK) - 0.3  # luck of its own: the interval is wide
    found = helped([outcome(10, LUCK), outcome(12, other)])
    assert found.at == 0
    assert found.gain.low < 0 < found.gain.high


def test_pairing_tells_the_same_gain_under_the_same_luck():
    assert helped([outcome(10, LUCK), outcome(12, LUCK - 0.3)], margin=0.2).at == 1


def test_a_gain_that_is_measured_and_too_small_to_matter_is_none():
    found = helped([outcome(10, LUCK + 20), outcome(12, LUCK), outcome(14, LUCK - 0.3)])
    assert (found.at, found.earliest, found.seen) == (1, 2, True)
    assert found.gain.measurable
    assert found.gain.value == pytest.approx(-0.3)


def test_small_gains_that_add_up_to_one_that_matters_help():
    assert helped([outcome(10 + number, LUCK - 4 * number) for number in range(4)]).at == 2


def test_up_to_the_largest_team_there_is_no_such_point():
    found = helped([outcome(10, LUCK), outcome(12, LUCK - 8)])
    assert (found.at, found.earliest, found.seen, found.smaller) == (1, None, False, 0)
    assert found.gain.value == pytest.approx(-8.0)


def test_of_teams_of_as_many_people_the_earliest_counts():
    found = helped([outcome(10, LUCK), outcome(10, LUCK - 9), outcome(12, LUCK - 4)])
    assert (found.at, found.earliest) == (1, 2)


def test_a_team_that_is_never_ready_is_later_than_one_that_is():
    never = np.full(200, math.inf)
    assert helped([outcome(10, never), outcome(12, LUCK)]).at == 1
    found = helped([outcome(10, never), outcome(12, never)])
    assert (found.at, found.gain.value) == (0, None)


def test_who_drives_one_more_forklift_lays_nothing():
    """The largest crews are tried with one forklift and with two: nobody more lays, so nothing is said of more people."""
    found = more_people([outcome(10, LUCK), outcome(14, LUCK - 20), outcome(15, LUCK - 20)], [8, 12, 12], 6.0)
    assert (found.at, found.earliest, found.seen) == (1, None, False)


def test_that_few_runs_cannot_tell_is_not_that_more_people_do_not_help():
    other = np.random.default_rng(9).permutation(LUCK) - 0.3
    wide = helped([outcome(10, LUCK), outcome(12, other)], margin=0.5)
    assert (wide.at, wide.earliest, wide.seen) == (0, 1, False)
    assert helped([outcome(10, LUCK), outcome(12, LUCK)], margin=0.5).seen
