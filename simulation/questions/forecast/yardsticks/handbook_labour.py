"""How long would it take by the handbook? The handbook labour method of NAVEDTRA 14045, beside the simulation.

person-days = quantity / unit × hours per unit / 8 × delay factor, the delay factor being 67 / efficiency;
duration = person-days / crew / availability / (net hours / 8). It knows no field, no supply, no weather and no spread.

The default rate is a gross one, everybody on site over all hours of a real job: losses stand in it already. So everybody counts
as present and all hours of their own shift as net, unless the scenario says otherwise; a net rate goes with its own losses.
So person-hours are those that the rates of a forecast count as well: of two sets of operators each stands half of a long shift.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from simulation.scenario import Scenario
from simulation.scenario.tables.people import Book
from simulation.study.people import count_people, person_hours_a_day

SOURCE = "NAVEDTRA 14045 (P-405 method)"

#: Production efficiency of the method's average case, percent.
_AVERAGE_EFFICIENCY = 67.0
_BOOK_DAY = 8.0
#: Days whose rest is looked at one by one; a job that takes longer rests as often after them as in them.
_LOOKED_AT = 4000


@dataclass(frozen=True)
class ByTheBook:
    """The handbook's answer for a scenario.

    Attributes
    ----------
    delay_factor : float
    person_days : float
        With the delay factor.
    crew : int
        The people on site, as the default rate counts them.
    net_hours : float
        Of a person's day: the scenario's, or the mean hours on shift of everybody on site.
    workdays : float
        Days on which the crews work.
    days : float
        Days from the start until then, those of rest counted: what the simulated days are to be read beside.
    """

    delay_factor: float
    person_days: float
    crew: int
    net_hours: float
    workdays: float
    days: float


def by_the_book(scenario: Scenario, square_feet: float) -> ByTheBook:
    """Return the handbook's duration for surfacing `square_feet` with the people on site.

    Parameters
    ----------
    scenario : Scenario
    square_feet : float
    """
    book: Book = scenario.book
    delay_factor = _AVERAGE_EFFICIENCY / book.efficiency
    person_days = square_feet / 1000.0 * book.hours_per_1000_sqft / _BOOK_DAY * delay_factor
    crew = count_people(scenario).total
    net_hours = person_hours_a_day(scenario) / crew if book.net_hours is None else book.net_hours
    workdays = person_days / crew / book.availability / (net_hours / _BOOK_DAY)
    return ByTheBook(delay_factor, person_days, crew, net_hours, workdays, days_until(scenario, workdays))


def days_until(scenario: Scenario, workdays: float) -> float:
    """Return the days from the start until the crews have worked so many; days of rest count, and bring no workday.

    Where crews rest on different days, a day is worth the share of the crews' person-hours that fall on it.
    """
    from simulation.conditions.clock.shift_pattern import rests

    keeping = [(crew.shift or scenario.shifts.of("laying"), crew.people) for crew in scenario.crew]
    hours = [(shift, people * math.fsum(end - start for start, end in shift.hours)) for shift, people in keeping]
    if not any(shift.rest_every or shift.rest_on for shift, _ in hours):
        return workdays
    whole = math.fsum(each for _, each in hours)
    left = workdays
    for day in range(_LOOKED_AT):
        worth = math.fsum(each for shift, each in hours if not rests(shift, scenario.starts, day)) / whole
        if left <= worth:
            return day + left / worth
        left -= worth
    done = workdays - left
    return workdays * _LOOKED_AT / done if done else math.inf
