"""Which hour of a run is "3 d 4 h"? Reads one as a planner would say it: a duration in parts, or a local time."""

from __future__ import annotations

import re
from datetime import datetime

from simulation.study.calendar import Calendar

_PART = re.compile(r"\s*((?:\d+\.?\d*|\.\d+)\s*[^\W\d]+)\s*,?")
_DATE = re.compile(r"\d{4}-\d\d-\d\d")


class NoHour(ValueError):
    """What was written is no hour."""


def read_duration(text: str) -> float:
    """Return the hours of a duration of one part or several.

    Raises
    ------
    NoHour
        If it cannot be read.

    Examples
    --------
    >>> read_duration("3 d 4 h"), read_duration("90 min")
    (76.0, 1.5)
    """
    from pydantic_core import PydanticCustomError

    from simulation.scenario.types.quantities.units import read_quantity

    hours, at = 0.0, 0
    while at < len(text.rstrip()):
        part = _PART.match(text, at)
        if part is None:
            raise NoHour(f'"{text}" is not a duration')
        try:
            hours += read_quantity("duration", part[1])
        except PydanticCustomError:
            raise NoHour(f'"{text}" is not a duration') from None
        at = part.end()
    if not text.strip():
        raise NoHour('"" is not a duration')
    return hours


def read_hour(text: str, calendar: Calendar) -> float:
    """Return the hours since the start of a duration (``"3 d 4 h"``) or a local time (``"2031-04-05T10:00"``).

    Raises
    ------
    NoHour
        If it cannot be read, or lies before the start.
    """
    if not _DATE.match(text.strip()):
        return read_duration(text)
    try:
        moment = datetime.fromisoformat(text.strip())
    except ValueError:
        raise NoHour(f'"{text}" is not a local time') from None
    if moment.tzinfo is not None:
        raise NoHour(f'"{text}" names a time zone')
    hours = calendar.hours(moment)
    if hours < 0.0:
        raise NoHour(f'"{text}" lies before the start, {calendar.starts:%Y-%m-%dT%H:%M}')
    return hours
