"""How do jobs of different size compare? Their rates: square feet a day, and per hour of everybody on site."""

from __future__ import annotations

import math
from dataclasses import dataclass

from simulation.questions.forecast.study import Forecast
from simulation.questions.forecast.yardsticks.published_rates import OF_FIELDS
from simulation.study.people import person_hours, person_hours_a_day

#: The shares of runs between which a spread lies, and its middle.
SHARES = (0.1, 0.5, 0.9)


@dataclass(frozen=True)
class Rate:
    """One rate; None where it is not known.

    Attributes
    ----------
    per_day : float or None
        Square feet a day.
    per_person_hour : float or None
        Square feet per on-site person-hour.
    """

    per_day: float | None
    per_person_hour: float | None = None


@dataclass(frozen=True)
class Spread:
    """What runs of one plan come to.

    Attributes
    ----------
    name : str
        Of the plan.
    days : tuple of float
        P10, P50 and P90 of the time of readiness; infinite after the last day simulated.
    rates : tuple of Rate
        At those times, the fastest first; 0 after the last day simulated.
    """

    name: str
    days: tuple[float, ...]
    rates: tuple[Rate, ...]


@dataclass(frozen=True)
class Job:
    """One job: what its runs come to, what it came to in fact, and by the handbook.

    Attributes
    ----------
    name : str
    spreads : tuple of Spread
        One for each plan by which it may have been laid; none where it is only known from a source.
    published : Rate or None
        Where a source tells what it came to.
    book : Rate or None
        By the handbook's labour method.
    """

    name: str
    spreads: tuple[Spread, ...]
    published: Rate | None = None
    book: Rate | None = None

    @property
    def inside(self) -> bool:
        """Whether what it came to a day lies between P10 and P90 of every plan."""
        known = None if self.published is None else self.published.per_day
        if known is None or not self.spreads:
            return False
        return all((spread.rates[-1].per_day or 0.0) <= known <= (spread.rates[0].per_day or 0.0) for spread in self.spreads)


def spread_of(forecast: Forecast, name: str = "") -> Spread:
    """Return the spread of the rates of a forecast, over the time until readiness."""
    days = tuple(forecast.readiness.quantile(share).value / 24.0 for share in SHARES)
    return Spread(name, days, tuple(_rate(forecast, each) for each in days))


def handbook_rate(forecast: Forecast) -> Rate:
    """Return the rate by the handbook's labour method, over its days, those of rest counted as in those of the runs."""
    book = forecast.book
    feet = forecast.yardsticks.square_feet
    return Rate(feet / book.days, feet / (book.workdays * person_hours_a_day(forecast.scenario)))


def own_and_published(forecast: Forecast) -> tuple[Job, ...]:
    """Return the forecast's own job, and below it each published field."""
    own = Job("this forecast", (spread_of(forecast),), book=handbook_rate(forecast))
    fields = (
        Job(published.what.replace("everything included, ", ""), (), Rate(published.per_day, published.per_person_hour))
        for published in OF_FIELDS
    )
    return (own, *fields)


def _rate(forecast: Forecast, days: float) -> Rate:
    feet = forecast.yardsticks.square_feet
    if math.isinf(days):
        return Rate(0.0, 0.0)
    return Rate(feet / days, feet / person_hours(forecast.scenario, 24.0 * days))
