"""Checks H1, H2, H3: the handbook labour method of NAVEDTRA 14045 (P-405 method), through a scenario."""

import pytest

from simulation.analysis.book import by_the_book
from simulation.field import take_off
from simulation.scenario import parse_scenario

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
