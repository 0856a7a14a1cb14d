"""How many people are on site, and how many hours are they on shift, where not all keep the same hours?"""

import math

import pytest
from scenarios import CREW, SHIFTED, sound

from simulation.scenario import Change, load_scenario, parse_scenario, vary
from simulation.scenario.tables.people import Shift
from simulation.study.people import LONGEST, count_people, count_sets, person_hours


def strip(hours, more=""):
    lines = ("[forklifts]", "operators = 0", "[shifts.all]", f"hours = {hours}", more)
    return parse_scenario(sound(*lines, top="starts = 2031-06-02T06:00:00", crew=CREW.replace("18", "10")))


@pytest.mark.parametrize(
    ("hours", "sets"),
    [
        (["06:00-12:00", "13:00-18:00"], 1),
        (["05:00-24:00"], 2),
        (["00:00-24:00"], 2),
        (["05:00-19:00"], 1),
        (["05:00-19:01"], 2),
        (["05:00-11:00", "15:00-18:30"], 1),  # a pause through the heat of the day is no second set
        (["06:00-12:00", "20:00-24:00"], 2),
        (["19:00-24:00", "00:30-05:00"], 1),  # one night
        (["20:00-04:00"], 1),
        (["00:00-03:00", "08:00-11:00", "16:00-19:00"], 2),
    ],
)
def test_a_shift_longer_than_a_person_can_stand_takes_another_set_of_people(hours, sets):
    assert count_sets(Shift(hours=hours)) == sets
    assert LONGEST == 14.0


def test_whoever_drives_and_grades_on_two_shifts_is_two_sets_of_people_and_a_crew_is_the_people_it_has():
    field = load_scenario()
    longer = vary(field, [Change("shifts.forklift", "copy of shifts.all"), Change("shifts.forklift.hours", '["05:00-24:00"]')])
    before, after = count_people(field), count_people(longer)
    assert after.forklift_operators == 2 * before.forklift_operators > 0
    assert (after.crews, after.truck_drivers, after.graders) == (before.crews, before.truck_drivers, before.graders)
    assert after.total == before.total + before.forklift_operators


@pytest.mark.parametrize(
    ("until", "hours"),
    [(0.0, 0.0), (3.0, 3.0), (6.5, 6.0), (8.0, 7.0), (24.0, 11.0), (25.0, 12.0), (240.0, 110.0), (math.inf, math.inf)],
)
def test_a_person_on_shift_is_there_for_its_spans(until, hours):
    assert person_hours(strip('["06:00-12:00", "13:00-18:00"]'), until) == pytest.approx(10 * hours)


def test_a_shift_past_midnight_counts_on_both_days():
    night = strip('["20:00-04:00"]').model_copy(update={"starts": parse_scenario(SHIFTED).starts.replace(hour=1, minute=30)})
    assert [person_hours(night, until) for until in (2.0, 20.0, 24.0)] == pytest.approx([20.0, 10 * (2.5 + 1.5), 80.0])


def test_days_of_rest_and_hours_before_somebody_is_there_are_no_hours_on_shift():
    week = strip('["06:00-16:00"]', "rest_every = 7")
    assert person_hours(week, 168.0) == pytest.approx(10 * 60.0)
    late = vary(week, [Change("crew.red.from", "1 day")])
    assert person_hours(late, 168.0) == pytest.approx(10 * 50.0)


def test_person_hours_are_the_sum_over_the_shifts_that_crews_and_operators_keep():
    field = parse_scenario(SHIFTED)  # 14 people for ten hours, 14 for eight, three operators around the clock in two sets
    assert person_hours(field, 240.0) == pytest.approx(10 * (14 * 10 + 14 * 8 + 3 * 24))
    assert count_people(field).total == 28 + 6
