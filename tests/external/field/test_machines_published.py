"""Checks H5 to H8: dozer, roller, grader and truck cycle of the handbooks, through a scenario and its take-off."""

import pytest

from simulation.field import take_off
from simulation.questions.forecast.yardsticks.handbook_machines import machines_by_the_book
from simulation.scenario import parse_scenario

FIELD = """
[[area]]
name = "road"
length = "{length}"
width = "6 ft"
[[crew]]
name = "red"
people = 12
areas = ["road"]
[supply]
on_hand = 1
{supply}
[grading]
done = {done}
[book]
{book}
"""


def by_the_book(book="", length="200 ft", done=1.0, supply=""):
    scenario = parse_scenario(FIELD.format(book=book, length=length, done=done, supply=supply))
    return machines_by_the_book(scenario, take_off(scenario))


def test_h5_a_dozer_moves_190_loose_cu_yd_an_hour_and_three_do_3000_within_7_hours():
    # Training slides on FM 5-434, read: 300 × .92 × .75 × .80 × 1.20 × 1.0 × .83 × 1.15 → 190; 3,000 → 15.8 h; 3 dozers.
    factors = "[0.92, 0.75, 0.80, 1.20, 1.0, 0.83, 1.15]"
    found = by_the_book(f"earth = 3000.0\ndozer = {{ ideal = 300.0, factors = {factors}, within = 7.0 }}")
    assert round(found.dozer_output) == 190
    assert round(found.dozer_hours, 1) == 15.8
    assert found.dozers == 3


def test_h6_a_roller_compacts_489_cu_yd_an_hour():
    # Course solution, read: 16.3 × 8 ft × 3 mph × 6 in × (50/60) / 4 passes.
    roller = '{ width = "8 ft", speed = "3 mph", lift = "6 in", passes = 4, minutes = 50.0 }'
    found = by_the_book(f"fill = 978.0\nroller = {roller}")
    assert found.roller_output == pytest.approx(489)
    assert found.roller_hours == pytest.approx(2)


@pytest.mark.parametrize(
    ("miles", "passes", "efficiency", "hours"),
    [(15, [(2, 4), (2, 5), (2, 6)], 0.8, 23.1), (5, [(2, 2.3), (2, 3.7), (3, 9.7)], 0.6, 14.3)],
)
def test_h7_a_grader_takes_passes_times_distance_over_speed_and_efficiency(miles, passes, efficiency, hours):
    # NAVEDTRA 14081's formula, read; its examples from memory.
    by_speed = ", ".join(f'{{ passes = {count}, speed = "{speed} mph" }}' for count, speed in passes)
    found = by_the_book(f"grader = {{ passes = [{by_speed}], efficiency = {efficiency} }}", f"{miles * 5280} ft", done=0.0)
    assert found.grader_miles == pytest.approx(miles)
    assert round(found.grader_hours, 1) == hours


def test_h7_ground_that_is_ready_at_hour_zero_is_not_graded():
    assert by_the_book(done=1.0).grader_hours == 0
    assert by_the_book(done=0.5).grader_hours == pytest.approx(by_the_book(done=0.0).grader_hours / 2)


@pytest.mark.parametrize(("trucks", "loads", "governs"), [(4, 4 / 0.584, "trucks"), (5, 1 / 0.126, "loading")])
def test_h8_a_truck_cycle_and_the_loads_an_hour_that_trucks_or_loading_let_through(trucks, loads, governs):
    # Course page, read: .126 + .233 + .050 + .175 = .584 h; loads an hour ≤ min(N / .584, 1 / .126).
    fleet = f'[[supply.trucks]]\ncount = {trucks}\nload = "0.126 h"\nhaul = "0.233 h"\nreturn = "0.175 h"\n'
    (haul,) = by_the_book('unload = "0.050 h"', supply=fleet).hauls
    assert haul.cycle == pytest.approx(0.584)
    assert haul.loads_an_hour == pytest.approx(loads)
    assert haul.governed_by == governs
    assert haul.hours == pytest.approx(haul.loads / loads)
