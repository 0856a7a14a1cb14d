"""When is each kind of work on shift: hours over midnight, breaks, hand-over, rest days, and how the hours wear on people?"""

import re
from typing import Annotated

from pydantic import Field, StrictBool, StrictInt

from simulation.scenario.types.mistakes import complaint, did_you_mean, shown
from simulation.scenario.types.named_values import WEEKDAYS
from simulation.scenario.types.reads import Reads
from simulation.scenario.types.section import MOST_ENTRIES, Duration, Number, Section, not_written, written
from simulation.scenario.types.usual_range import Usual

_TIME = re.compile(r"\s*([0-9]{1,2}):([0-9]{2})\s*")
_SPAN = re.compile(r"\s*([0-9]{1,2}):([0-9]{2})\s*-\s*([0-9]{1,2}):([0-9]{2})\s*")


def _as_list(value: object, example: str) -> str:
    """Return how a list is written of what was written alone, or else of an example; several keys hold such lists."""
    return f"write [{shown(value)}]" if isinstance(value, str) else f"write such as [{example}]"


def _read_spans(value: object) -> tuple[tuple[float, float], ...]:
    """Return the hours of ``"06:00-12:00"`` texts; a span that ends at or before its start runs past midnight."""
    if not isinstance(value, list | tuple):
        raise complaint(f"{shown(value)} is not a list of hours", _as_list(value, '"06:00-12:00", "13:00-18:00"'))
    if len(value) > MOST_ENTRIES:
        raise complaint(f"has {len(value)} spans", f"write at most {MOST_ENTRIES}")
    return tuple(_read_span(span) for span in value)


def _read_span(value: object) -> tuple[float, float]:
    if isinstance(value, str) and (parts := _SPAN.fullmatch(value)):
        hours, minutes, end_hours, end_minutes = map(int, parts.groups())
        start, end = hours + minutes / 60, end_hours + end_minutes / 60
        if start < 24 and end <= 24 and max(minutes, end_minutes) < 60:
            return (start, end) if start < end else (start, end + 24.0)
    raise complaint(f"{shown(value)} is not a span of hours", 'write it as "06:00-12:00", within "00:00" to "24:00"')


def _read_times(value: object) -> tuple[float, ...]:
    """Return the hours of day of ``"07:30"`` texts."""
    if not isinstance(value, list | tuple):
        raise complaint(f"{shown(value)} is not a list of times", _as_list(value, '"07:30", "12:00"'))
    if len(value) > MOST_ENTRIES:
        raise complaint(f"has {len(value)} times", f"write at most {MOST_ENTRIES}")
    return tuple(_read_time(time) for time in value)


def _read_time(value: object) -> float:
    if isinstance(value, str) and (parts := _TIME.fullmatch(value)):
        hours, minutes = map(int, parts.groups())
        if hours < 24 and minutes < 60:
            return hours + minutes / 60
    raise complaint(f"{shown(value)} is not a time of day", 'write it as "07:30", from "00:00" to "23:59"')


def _read_weekdays(value: object) -> tuple[str, ...]:
    """Return days of the week in their order, each once."""
    example = 'write rest_on = ["Sunday"], with whole names of days'
    if not isinstance(value, list | tuple):
        raise complaint(f"{shown(value)} is not a list of days of the week", example)
    if len(value) > MOST_ENTRIES:
        raise complaint(f"has {len(value)} days", "write each once")
    named = {str(day).strip().capitalize() for day in value}
    if unknown := [day for day in value if str(day).strip().capitalize() not in WEEKDAYS]:
        raise complaint(f"{shown(unknown[0])} is no day of the week", did_you_mean(str(unknown[0]).capitalize(), WEEKDAYS))
    if len(named) == len(WEEKDAYS):
        raise complaint("is every day of the week, so nobody would ever work", example)
    return tuple(day for day in WEEKDAYS if day in named)


Weekdays = Annotated[tuple[str, ...], Reads(_read_weekdays)]
Spans = Annotated[tuple[tuple[float, float], ...], Reads(_read_spans), Field(min_length=1)]
Times = Annotated[tuple[float, ...], Reads(_read_times)]
Breaks = Annotated[tuple[tuple[float, float], ...], Reads(_read_spans)]


class Shift(Section):
    """When a kind of work is on shift. Spans of hours less than three hours apart are one shift with a break in it."""

    hours: Spans = written(("06:00-12:00", "13:00-18:00"))
    """Spans of local time, every day; one that ends at or before its start runs past midnight. Planning value."""
    breaks: Breaks = ()
    """Spans of local time within these hours in which nobody works, such as "09:00-09:15". Default: none."""
    taking_over: Annotated[Duration, Usual("duration", "1 min", "2 h")] = written("0 min")
    """Lost at the beginning of every shift, to orders, tools and taking over. Default: none, part of the efficiency."""
    handing_over: Annotated[Duration, Usual("duration", "1 min", "2 h")] = written("0 min")
    """Lost at the end of every shift, to securing the work and handing over. Default: none, part of the efficiency."""
    rest_every: Annotated[Annotated[StrictInt, Field(ge=2, le=365)] | None, Usual("count", 2, 31)] = None
    """Every so many days, counted from that of the start, one on which no shift begins: 7 rests on the 7th, 14th, … day.
    Default: none."""
    rest_on: Weekdays = ()
    """Days of the week on which no shift begins, such as ["Sunday"], whatever the date of the start; `rest_every` adds its own.
    Default: none."""
    lighting: StrictBool = False
    """Whether work goes on in the dark under lights. Default: no."""
    night_rate: Annotated[Number, Field(gt=0, le=1), Usual("share", 0.3, 1.0)] = 1.0
    """Rate of work in the dark under lights, 1 being that of daylight. Default: no slower; 0.8 is a planning value."""
    fatigue: Annotated[Number, Field(ge=0, le=0.5), Usual("share", 0.002, 0.15)] = 0.0
    """Share of the output that every further hour of a shift costs after `fatigue_after`; output falls to a half at most.

    Default: none. Studies of long hours in construction rest on few projects, disagree (losses of 10 to 15 % over whole weeks of
    50 and 60 hours; Thomas and Raynar 1997, J. Constr. Eng. Manage. 123(2); from memory), and mix fatigue with late material and
    crowding, which are simulated here. So state it only with records of your own."""
    fatigue_after: Annotated[Duration, Usual("duration", "1 h", "24 h")] = written("8 h")
    """Hours into a shift, breaks included, up to which nobody tires. Planning value."""


class Shifts(Section):
    """The shifts of everybody, and of those kinds of work that keep their own."""

    all: Shift = not_written()
    """Whoever has none of their own."""
    laying: Shift | None = None
    """Crews that have none of their own. Final sweep, inspection and marking goes on while any crew is on shift."""
    forklift: Shift | None = None
    """Forklifts and their repair."""
    haul: Shift | None = None
    """Trucks."""
    grading: Shift | None = None
    """Grading and trenches."""

    def of(self, kind: str) -> Shift:
        """Return the shift of one kind of work."""
        return getattr(self, kind) or self.all
