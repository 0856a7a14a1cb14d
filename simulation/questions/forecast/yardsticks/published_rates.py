"""Is the answer of the right size? The scenario's own rates, beside published ones, and how many runs are as slow as those."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from simulation.scenario import Scenario
from simulation.stats.chances import Chance, chance_among
from simulation.study.people import count_people, hours_of, person_hours


@dataclass(frozen=True)
class Published:
    """A published rate.

    Attributes
    ----------
    what : str
    rate : str
    source : str
    per_day, per_person_hour : float or None
        Square feet a day, and per on-site person-hour, of a whole field; None where it says nothing of one.
    """

    what: str
    rate: str
    source: str
    per_day: float | None = None
    per_person_hour: float | None = None


PUBLISHED = (
    Published(
        "field, everything included, 2009",
        "25,000 sq ft a day",
        "service news 2009: 150,000 sq ft in 6 days",
        per_day=150_000 / 6,
    ),
    Published(
        "field, everything included, 2014",
        "about 21,000 sq ft a day; about 30 sq ft per on-site person-hour",
        "service news 2014: 146,000 sq ft in about a week, 69 people; seven 10-hour days assumed",
        per_day=146_000 / 7,
        per_person_hour=146_000 / (69 * 70),
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

#: What is known of fields that were taken up.
TAKEN_UP = (
    Published(
        "field taken up, 2011",
        "more than 60,000 sq ft a day; about 180 sq ft per on-site person-hour",
        "service news 2011: more than 1.8 million sq ft in more than 10,000 person-hours, ten-hour days, about a month",
        per_day=1_800_000 / 30,
        per_person_hour=1_800_000 / 10_000,
    ),
)


def published_for(scenario: Scenario) -> tuple[Published, ...]:
    """Return the published rates that a scenario's own are to be read beside: of its job."""
    return TAKEN_UP if scenario.takes_up else PUBLISHED


#: Those of a whole field, that a run can be as slow as.
OF_FIELDS = tuple(published for published in PUBLISHED if published.per_day is not None)


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
    person_hours : float
        Hours on shift until the median of all of them together, each on the hours of its own shift.
    per_day : float or None
        Square feet a day; None where the median lies after the last day simulated.
    per_person_hour : float or None
        Square feet per on-site person-hour; the same.
    """

    square_feet: float
    days: float
    people: int
    person_hours: float
    per_day: float | None
    per_person_hour: float | None


def compare_published_rates(scenario: Scenario, square_feet: float, median: float) -> Yardsticks:
    """Return the scenario's own rates over the median hours until readiness."""
    days = median / 24.0
    spent = person_hours(scenario, median)
    per_day = square_feet / days if 0 < days < math.inf else None
    per_person_hour = square_feet / spent if 0 < spent < math.inf else None
    return Yardsticks(square_feet, days, count_people(scenario).total, spent, per_day, per_person_hour)


@dataclass(frozen=True)
class AsSlow:
    """How many runs take as long as the field would at a published rate, or longer.

    Attributes
    ----------
    published : Published
    by : str
        What the rate counts: ``"day"``, or ``"person-hour"`` of the people on site.
    days : float
        How long the field would take at it.
    chance : Chance or None
        The share of runs that are not ready sooner; None where that lies after the last day simulated.
    """

    published: Published
    by: str
    days: float
    chance: Chance | None


def as_slow_as_published(
    scenario: Scenario, own: Yardsticks, hours: Sequence[float], cube: int | None = None
) -> tuple[AsSlow, ...]:
    """Return for each published rate of a whole field how many runs are as slow.

    Parameters
    ----------
    scenario : Scenario
    own : Yardsticks
        Of it.
    hours : sequence of float
        Until readiness, of each run in order of run; infinite for one that was not ready by the last day simulated.
    cube : int, optional
        Runs of one hypercube, see `chance_among`.
    """
    return tuple(
        AsSlow(published, by, days, _chance(hours, 24.0 * days, scenario.horizon, cube))
        for published in (TAKEN_UP if scenario.takes_up else OF_FIELDS)
        for by, days in _days_at(scenario, own, published)
    )


def _chance(hours: Sequence[float], as_late: float, horizon: float, cube: int | None) -> Chance | None:
    return chance_among([each >= as_late for each in hours], cube) if as_late <= horizon else None


def _days_at(scenario: Scenario, own: Yardsticks, published: Published) -> Iterator[tuple[str, float]]:
    """Yield how many days the field would take at a published rate, by whatever the rate counts."""
    if published.per_day is not None:
        yield "day", own.square_feet / published.per_day
    if published.per_person_hour is not None:
        yield "person-hour", hours_of(scenario, own.square_feet / published.per_person_hour) / 24.0
