"""How long would it take by the book? The handbook labour method of NAVEDTRA 14045, beside the simulation.

person-days = quantity / unit × hours per unit / 8 × delay factor, the delay factor being 67 / efficiency;
duration = person-days / crew / availability / (net hours / 8). It knows no field, no supply, no weather and no spread.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

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
    workdays : float
    """

    delay_factor: float
    person_days: float
    crew: int
    workdays: float


def by_the_book(scenario: Scenario, square_feet: float) -> ByTheBook:
    """Return the handbook's duration for surfacing `square_feet` with the people on site."""
    book: Book = scenario.book
    delay_factor = _AVERAGE_EFFICIENCY / book.efficiency
    person_days = square_feet / 1000.0 * book.hours_per_1000_sqft / _BOOK_DAY * delay_factor
    crew = scenario.people_on_site
    return ByTheBook(delay_factor, person_days, crew, person_days / crew / book.availability / (book.net_hours / _BOOK_DAY))
