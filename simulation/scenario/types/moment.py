"""A local date and time, as a planner writes it."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated

from simulation.scenario.types.mistakes import complaint, shown
from simulation.scenario.types.reads import Reads


def _read_moment(value: object) -> datetime:
    if not isinstance(value, datetime) or value.tzinfo is not None:
        raise complaint(f"{shown(value)} is not a local date and time", "write 2031-04-02T06:00:00, no quotes, no zone")
    if value.microsecond:
        raise complaint(f"{shown(value)} has a fraction of a second", "write whole seconds, such as 2031-04-02T06:00:00")
    if not 1900 <= value.year <= 2200:
        raise complaint(f"the year {value.year} is out of range", "write a year from 1900 to 2200")
    return value


Moment = Annotated[datetime, Reads(_read_moment)]
