"""Is the answer of the right size? The scenario's own rates, to be read beside published ones."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.analysis.moments import Calendar
    from simulation.scenario import Scenario


@dataclass(frozen=True)
class Published:
    """A published rate.

    Attributes
    ----------
    what : str
    rate : str
    source : str
    """

    what: str
    rate: str
    source: str


PUBLISHED = (
    Published(
        "field, everything included, 2009",
        "25,000 sq ft a day",
        "service news 2009: 150,000 sq ft in 6 days",
    ),
    Published(
        "field, everything included, 2014",
        "about 21,000 sq ft a day; about 30 sq ft per on-site person-hour",
        "service news 2014: 146,000 sq ft in about a week, 69 people; seven 10-hour days assumed",
    ),
    Published(
        "test sections, unhindered, required",
        "250 (desired 400) sq ft per person-hour of the laying crew",
        "WES papers, hdl 11681/20670",
    ),
    Published(
        "test sections, unhindered, measured",
        "478 to over 500 sq ft per person-hour of the laying crew",
        "WES papers; DTIC AD0758444",
    ),
    Published(
        "steel plank, for scale",
        "70 to 125 sq ft per person-hour of the laying crew",
        "ENR 1944, crews of 100 to 150; museum fact sheet, average 125",
    ),
)


@dataclass(frozen=True)
class Yardsticks:
    """The scenario's own rates, over the median time of readiness.

    Attributes
    ----------
    square_feet : float
    days : float
        Median time of readiness.
    people : int
        On site, drivers and operators included.
    hours_a_day : float
        Hours of the laying shifts; on-site person-hours are people × these hours × days.
    per_day : float or None
        Square feet a day; None where the median lies beyond the horizon.
    per_person_hour : float or None
        Square feet per on-site person-hour; the same.
    """

    square_feet: float
    days: float
    people: int
    hours_a_day: float
    per_day: float | None
    per_person_hour: float | None


def yardsticks_of(scenario: Scenario, square_feet: float, calendar: Calendar, median: float) -> Yardsticks:
    """Return the scenario's own rates over the median hours until readiness."""
    days = median / 24.0
    people, hours_a_day = scenario.people_on_site, calendar.hours_a_day
    per_day = square_feet / days if 0 < days < math.inf else None
    per_person_hour = per_day / (people * hours_a_day) if per_day is not None else None
    return Yardsticks(square_feet, days, people, hours_a_day, per_day, per_person_hour)
