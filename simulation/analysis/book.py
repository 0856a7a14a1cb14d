"""How long would it take by the book? The handbook labour method of NAVEDTRA 14045, beside the simulation.

person-days = quantity / unit × hours per unit / 8 × delay factor, the delay factor being 67 / efficiency;
duration = person-days / crew / availability / (net hours / 8). It knows no field, no supply, no weather and no spread.

The default rate is a gross one, everybody on site over all hours of a real job: losses stand in it already. So everybody counts
as present and all hours of their own shift as net, unless the scenario says otherwise; a net rate goes with its own losses.
So person-hours are those that the rates of a forecast count as well: of two sets of operators each stands half of a long shift.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.analysis.people import people_of, person_hours_a_day

if TYPE_CHECKING:
    from simulation.scenario import Scenario
    from simulation.scenario.people import Book

SOURCE = "NAVEDTRA 14045 (P-405 method)"

#: Production efficiency of the method's average case, percent.
_AVERAGE_EFFICIENCY = 67.0
_BOOK_DAY = 8.0


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
    """

    delay_factor: float
    person_days: float
    crew: int
    net_hours: float
    workdays: float


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
    crew = people_of(scenario).total
    net_hours = person_hours_a_day(scenario) / crew if book.net_hours is None else book.net_hours
    workdays = person_days / crew / book.availability / (net_hours / _BOOK_DAY)
    return ByTheBook(delay_factor, person_days, crew, net_hours, workdays)
