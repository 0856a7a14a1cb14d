"""Checks H1, H2, H3: the handbook labour method of NAVEDTRA 14045 (P-405 method), through a scenario."""

import pytest

from simulation import forecast
from simulation.field import take_off
from simulation.questions.forecast.overview import book
from simulation.questions.forecast.yardsticks.handbook_labour import by_the_book, days_until
from simulation.questions.forecast.yardsticks.rate_spread import handbook_rate
from simulation.scenario import parse_scenario
from simulation.study.run_context import RunContext

# A mat of 10 ft, so that the field holds exactly the 16,000 sq ft of the method's worked example.
FIELD = """
[mat]
full = "10 ft"
half = "5 ft"
[[area]]
name = "slab"
length = "200 ft"
width = "80 ft"
[[crew]]
name = "red"
people = 12
areas = ["slab"]
[forklifts]
operators = 0
[supply]
on_hand = 100
[book]
"""


def by_the_book_of(lines):
    scenario = parse_scenario(FIELD + lines)
    square_feet = take_off(scenario).total("square_feet")
    assert square_feet == 16_000
    return by_the_book(scenario, square_feet)


def test_h1_person_days_without_a_delay_factor():
    # H1 (T): 16,000 sq ft at 33 h per 1,000 → 66. Efficiency 67 is the method's average, of delay factor 1.
    found = by_the_book_of("hours_per_1000_sqft = 33.0\nefficiency = 67")
    assert found.delay_factor == 1.0
    assert found.person_days == pytest.approx(66.0)


def test_h1_and_h3_person_days_with_the_delay_factor_of_63_percent():
    # H3 (R): efficiency 63 % → delay factor 1.06; H1 (T): with it 70 person-days.
    found = by_the_book_of("hours_per_1000_sqft = 33.0\nefficiency = 63")
    assert round(found.delay_factor, 2) == 1.06
    assert round(found.person_days) == 70


def test_h2_duration_of_a_crew_of_twelve():
    # H2 (T): 70 / 12 / 0.75 / 0.9375 = 8.3 workdays; 0.9375 is 7.5 net hours of 8.
    found = by_the_book_of("hours_per_1000_sqft = 33.0\nefficiency = 63\navailability = 0.75\nnet_hours = 7.5")
    assert found.crew == 12
    assert round(found.workdays, 1) == 8.3


def test_h2_a_crew_twice_as_large_takes_half_the_workdays():
    twice = parse_scenario(FIELD.replace("people = 12", "people = 24") + "efficiency = 63")
    assert by_the_book(twice, 16_000.0).workdays == pytest.approx(by_the_book_of("efficiency = 63").workdays / 2)


# --- G1: service news 2014 (T): 146,000 sq ft in about a week by 69 people; the ten-hour day is assumed -------------------------

TEN_HOURS = '[shifts.all]\nhours = ["07:00-17:00"]\n[book]'
#: By the method's own losses: a quarter away, 7.5 of 8 hours net.
LOSSES = "availability = 0.75\nnet_hours = 7.5"


def week_by_the_book(lines=""):
    scenario = parse_scenario(FIELD.replace("people = 12", "people = 69").replace("[book]", TEN_HOURS) + lines)
    return by_the_book(scenario, 146_000.0).workdays


def test_g1_the_default_rate_gives_back_the_week_of_the_job_it_was_taken_from():
    assert week_by_the_book() == pytest.approx(7.0, abs=0.1)


def test_g1_losses_belong_to_a_net_rate_of_about_23_person_hours_and_count_twice_with_a_gross_one():
    # 7.5 net hours of 8 are 9.375 of ten; three quarters of 69 people for seven such days are the same job.
    net = LOSSES.replace("7.5", "9.375")
    assert week_by_the_book(f"hours_per_1000_sqft = 23.3\n{net}") == pytest.approx(7.0, abs=0.1)
    assert week_by_the_book(net) == pytest.approx(7.0 / 0.75 / 0.9375, abs=0.1)


def test_two_sets_of_operators_stand_no_more_hours_than_their_machines():
    # Two machines from 05:00 to 24:00 take four operators: 12 people of 10 h and 4 of 9.5 h, 158 person-hours a day.
    shifts = '[shifts.all]\nhours = ["07:00-17:00"]\n[shifts.forklift]\nhours = ["05:00-24:00"]\n[book]'
    text = FIELD.replace("operators = 0", "count = 2\noperators = 1").replace("[book]", shifts)
    found = by_the_book(parse_scenario(text), 16_000.0)
    assert found.crew == 16
    assert found.net_hours == pytest.approx((12 * 10 + 2 * 19) / 16)
    assert found.workdays * found.crew * found.net_hours == pytest.approx(8.0 * found.person_days)


def test_the_hours_of_the_scenario_s_shifts_are_those_of_its_days_by_the_book():
    shorter, longer = (
        parse_scenario(FIELD.replace("[book]", f'[shifts.all]\nhours = ["{hours}"]')) for hours in ("06:00-14:00", "06:00-18:00")
    )
    by = [forecast(scenario, RunContext(runs=1, workers=1)).book for scenario in (shorter, longer)]
    assert [one.net_hours for one in by] == [8.0, 12.0]
    assert by[0].workdays / by[1].workdays == pytest.approx(12 / 8)


# --- Workdays and days: those of rest count in the days of a forecast ----------------------------------------------------------

WEEK = '[shifts.all]\nhours = ["06:00-14:00"]\n'


def rested(shift, workdays, more=""):
    return days_until(parse_scenario(FIELD.replace("[book]", f"{shift}{more}")), workdays)


def test_days_by_the_book_count_those_of_rest():
    assert rested(WEEK, 17.2) == 17.2
    # Days 7 and 14 rest: six workdays, a rest, six, a rest, and 5.2 more.
    assert rested(f"{WEEK}rest_every = 7\n", 17.2) == pytest.approx(19.2)
    assert rested(f"{WEEK}rest_every = 7\n", 6.0) == 6.0


def test_a_day_on_which_half_of_the_crews_rest_is_half_a_workday():
    other = '[[crew]]\nname = "blue"\npeople = 12\nareas = ["slab"]\n[crew.shift]\nhours = ["06:00-14:00"]\nrest_every = 2\n'
    assert rested(other + WEEK, 3.0) == pytest.approx(4.0)


def test_a_job_of_many_years_rests_as_often_as_in_its_first():
    assert rested(f"{WEEK}rest_every = 4\n", 3e6) == pytest.approx(4e6)


def test_rates_by_the_book_and_of_the_runs_are_over_the_same_days():
    found = forecast(parse_scenario(FIELD.replace("[book]", f"{WEEK}rest_every = 2\n")), RunContext(runs=1, workers=1))
    assert found.book.days > found.book.workdays
    assert handbook_rate(found).per_day == pytest.approx(found.yardsticks.square_feet / found.book.days)
    assert f"with days of rest {found.book.days:.1f} calendar days after the start; the simulated median is" in book(found)
