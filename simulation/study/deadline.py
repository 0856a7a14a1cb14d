"""Will the field be ready by a deadline? Reads one, as a duration or a date, and counts the runs that meet it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from simulation.scenario.types.mistakes import refusal
from simulation.stats.chances import Chance, chance_among, likelihood_word

if TYPE_CHECKING:
    from simulation.study.calendar import Calendar

_DATE = re.compile(r"\d{4}-\d\d?-\d\d?")
_HOW = 'write a duration such as "9 day" or "200 h", or a date such as 2031-04-11 or 2031-04-11T18:00'
#: Hours of the longest deadline: ten thousand days, after the last day simulated and within every calendar.
_LATEST = 24.0 * 10_000


@dataclass(frozen=True)
class Deadline:
    """A deadline as it was given, and the hours since the start that it allows."""

    text: str
    hours: float


@dataclass(frozen=True)
class DeadlineChance:
    """How the runs stand against a deadline.

    Attributes
    ----------
    deadline : Deadline
    chance : Chance
        Of being ready by then; a lower bound where the deadline lies after the last day simulated and runs are unfinished: some
        of those may still have met it.
    """

    deadline: Deadline
    chance: Chance

    @property
    def likelihood(self) -> str | None:
        """The word of ICD 203 for the chance; None where there are too few runs for one, or where it is a lower bound."""
        return likelihood_word(self.chance)


def read_deadline(text: str, calendar: Calendar) -> Deadline:
    """Return a deadline that a planner wrote.

    Parameters
    ----------
    text : str
        A duration from the start (``"9 day"``), a local date and time (``"2031-04-11T18:00"``), or a date, which means its end.
    calendar : Calendar

    Raises
    ------
    ScenarioError
        If it cannot be read, or lies at or before the start.
    """
    text = text.strip()
    hours = _hours_of_date(text, calendar) if _DATE.match(text) else _hours_of_duration(text)
    if hours <= 0:
        raise refusal("deadline", f"{text} is not after the start, {calendar.starts:%Y-%m-%d %H:%M}", "write a later one")
    return Deadline(text, hours)


def _hours_of_date(text: str, calendar: Calendar) -> float:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError:
        raise refusal("deadline", f'"{text}" is not a date', _HOW) from None
    if moment.tzinfo is not None:
        raise refusal("deadline", f'"{text}" names a time zone', "write local time of the scenario, without a zone")
    if len(text) <= len("2031-04-11"):
        try:
            moment += timedelta(days=1)
        except OverflowError:
            raise refusal("deadline", f'"{text}" is too late a date', _HOW) from None
    return calendar.hours(moment)


def _hours_of_duration(text: str) -> float:
    from pydantic_core import PydanticCustomError

    from simulation.scenario.types.quantities.units import read_quantity, unit_hint

    try:
        hours = read_quantity("duration", text)
    except PydanticCustomError:
        raise refusal("deadline", f'"{text}" is neither a duration nor a date', f"{unit_hint('duration', text)}{_HOW}") from None
    if hours > _LATEST:
        raise refusal("deadline", f'"{text}" is too long', _HOW)
    return hours


def on_time(hours: float, deadline: Deadline) -> bool:
    """Return whether a run met a deadline: one that ends with its own shift did, whatever its last bit."""
    return hours <= deadline.hours + 1e-6


def deadline_chance(deadline: Deadline, hours: Sequence[float], horizon: float, cube: int | None = None) -> DeadlineChance:
    """Return the chance of being ready by a deadline; an unfinished run, of infinite hours, has not met it.

    Where runs were sampled in hypercubes, `cube` is the number of runs of one; see `chances.chance_among`.
    """
    at_least = deadline.hours > horizon and max(hours) == float("inf")
    chance = chance_among([on_time(hour, deadline) for hour in hours], cube)
    if at_least:  # nothing is known of the other end
        chance = replace(chance, at_least=True, high=1.0)
    return DeadlineChance(deadline, chance)
