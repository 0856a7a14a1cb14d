"""Who is on site, and for how many hours? Crews, and those who drive and grade for them, each on the hours that they keep.

A crew or a rail gang is as many people as the scenario writes, on the hours of its shift. A machine or a grading gang is manned
for as long as its work is on shift: where one person cannot stand that long in a day, it takes a second set of people.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.scenario import Scenario
    from simulation.scenario.tables.people import Shift

#: Hours from the first to the last hour on shift that one person can stand in a day, breaks included. 49 CFR 395.3, from memory:
#: nobody drives goods past the 14th hour after coming on duty.
LONGEST = 14.0


@dataclass(frozen=True)
class People:
    """People on site by what they do, all sets of them.

    Attributes
    ----------
    crews, forklift_operators, truck_drivers, graders, rail_gang, task_gangs : int
    total : int
    """

    crews: int
    forklift_operators: int
    truck_drivers: int
    graders: int
    rail_gang: int
    task_gangs: int

    @property
    def total(self) -> int:
        """All of them."""
        return self.crews + self.forklift_operators + self.truck_drivers + self.graders + self.rail_gang + self.task_gangs


@dataclass(frozen=True)
class Post:
    """People who are on shift together.

    Attributes
    ----------
    what : str
        An attribute of `People`.
    people : int
        At any hour of the shift.
    shift : Shift
    since : float
        From which hour on they are there.
    sets : int
        How many sets of them it takes to keep the shift.
    """

    what: str
    people: int
    shift: Shift
    since: float
    sets: int


def list_posts(scenario: Scenario) -> Iterator[Post]:
    """Yield who is on site; grading gangs and a rail gang only where they have something to do."""
    shifts = scenario.shifts
    for crew in scenario.crew:
        yield Post("crews", crew.people, crew.shift or shifts.of("laying"), crew.since, 1)
    operators, sets = scenario.forklifts.operators, count_sets(shifts.of("forklift"))
    for since in scenario.forklifts.all_since:
        yield Post("forklift_operators", operators, shifts.of("forklift"), since, sets)
    for fleet in scenario.supply.trucks:
        yield Post("truck_drivers", fleet.count, shifts.of("haul"), fleet.since, count_sets(shifts.of("haul")))
    grading, digs = scenario.grading, any(area.end_ramps for area in scenario.area)
    if digs if scenario.takes_up else grading.needed:
        shift = shifts.of("grading")
        yield Post("graders", grading.gangs * grading.people, shift, grading.since, count_sets(shift))
    if scenario.takes_up:  # crews take the rail up themselves, and tasks are of laying
        return
    if any(area.guide_rail for area in scenario.area):
        yield Post("rail_gang", scenario.rail_gang.people, shifts.of("laying"), 0.0, 1)
    for gang in scenario.gang:
        yield Post("task_gangs", gang.people, gang.shift or shifts.of("laying"), gang.since, 1)
    for task in scenario.task:
        if task.gang is None:
            yield Post("task_gangs", task.people or task.team, shifts.of("laying"), 0.0, 1)


def count_people(scenario: Scenario) -> People:
    """Return the people on site of a scenario."""
    counts = dict.fromkeys(("crews", "forklift_operators", "truck_drivers", "graders", "rail_gang", "task_gangs"), 0)
    for post in list_posts(scenario):
        counts[post.what] += post.people * post.sets
    return People(**counts)


def person_hours(scenario: Scenario, until: float) -> float:
    """Return the hours on shift of everybody on site from the start, or from when they are there, to a later hour.

    Days of rest are left out; hours in the dark, in the rain and of waiting are hours on shift. Infinite for an infinite `until`.
    """
    from simulation.conditions.clock.shift_pattern import hours_kept

    if math.isinf(until):
        return math.inf
    hours = ((post, hours_kept(post.shift, scenario.starts, post.since, until)) for post in list_posts(scenario))
    return math.fsum(post.people * each for post, each in hours)


def person_hours_a_day(scenario: Scenario) -> float:
    """Return the hours on shift of everybody on site together on a day on which all are there and none rests."""
    return math.fsum(post.people * (end - start) for post in list_posts(scenario) for start, end in post.shift.hours)


def hours_of(scenario: Scenario, spent: float) -> float:
    """Return the hours from the start after which everybody on site has been on shift for so many person-hours."""
    high = 24.0
    while person_hours(scenario, high) < spent:
        high *= 2.0
    low = 0.0
    while high - low > 1e-6:
        middle = (low + high) / 2
        low, high = (middle, high) if person_hours(scenario, middle) < spent else (low, middle)
    return high


def count_sets(shift: Shift) -> int:
    """Return how many sets of people it takes to keep a shift, each of them for at most `LONGEST` hours of the day.

    Examples
    --------
    >>> from simulation.scenario.tables.people import Shift
    >>> [sets_of(Shift(hours=hours)) for hours in (["06:00-12:00", "13:00-18:00"], ["05:00-24:00"])]
    [1, 2]
    """
    spans = [(start + day, end + day) for day in (0.0, 24.0) for start, end in sorted(shift.hours)]
    return min(_sets_from(first, spans) for first, _ in spans[: len(shift.hours)])


def _sets_from(first: float, spans: list[tuple[float, float]]) -> int:
    """Return how many sets keep a day's spans where the first set begins at an hour."""
    sets, at = 0, first
    while True:
        left = [max(start, at) for start, end in spans if end > at + 1e-9 and max(start, at) < first + 24.0 - 1e-9]
        if not left:
            return sets
        sets, at = sets + 1, min(left) + LONGEST
