"""Which moments stand in the cells of a column of times, whatever the country: year first, day first, month first, in a zone?"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone

from simulation.scenario.types.texts.csv_form import FormError, word_of

_CLOCK = r"(?:[ T]+(\d{1,2})(?::(\d{2})(?::(\d{2})(?:[.,]\d+)?)?)?\s*([AaPp][Mm])?)?\s*(Z|z|UTC|GMT|[+-]\d{2}:?\d{2})?"
_YEAR_FIRST = re.compile(rf"(\d{{4}})([-/.])(\d{{1,2}})\2(\d{{1,2}}){_CLOCK}")
_YEAR_LAST = re.compile(rf"(\d{{1,2}})([-/.])(\d{{1,2}})\2(\d{{4}}){_CLOCK}")
_COMPACT = re.compile(r"(\d{4})(\d{2})(\d{2})[T ]?(?:(\d{2}):?(\d{2})?:?(\d{2})?)?(Z)?")

#: What is said of a cell without a moment.
NO_TIME = "is no time such as 2013-07-01T14:00"


@dataclass(frozen=True)
class Written:
    """A moment as it is written: three parts of a date, hour, minute, second, and what it is ahead of UTC, if that is written."""

    parts: tuple[int, int, int]
    year_first: bool
    dotted: bool
    clock: tuple[int, int, int]
    zone: timedelta | None


def parsed(cell: str) -> Written | None:
    """Return what stands in a cell; None where it is no moment."""
    cell = cell.strip()
    if match := _YEAR_FIRST.fullmatch(cell):
        year, sign, month, day, *clock, half, zone = match.groups()
        return _written((int(year), int(month), int(day)), True, sign, clock, half, zone)
    if match := _YEAR_LAST.fullmatch(cell):
        first, sign, second, year, *clock, half, zone = match.groups()
        return _written((int(first), int(second), int(year)), False, sign, clock, half, zone)
    if match := _COMPACT.fullmatch(cell):
        year, month, day, *clock, zone = match.groups()
        return _written((int(year), int(month), int(day)), True, "-", clock, None, zone)
    return None


def _written(
    parts: tuple[int, int, int], year_first: bool, sign: str, clock: Sequence[str | None], half: str | None, zone: str | None
) -> Written | None:
    hour, minute, second = (int(part or 0) for part in clock)
    if half is not None:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half.lower() == "pm" else 0)
    if hour > 24 or minute > 59 or second > 59 or (hour == 24 and minute + second):
        return None
    ahead: timedelta | None = None
    if zone is not None:
        digits = zone.replace(":", "")
        ahead = timedelta(hours=int(digits[:3]), minutes=int(digits[0] + digits[3:])) if digits[0] in "+-" else timedelta()
    return Written(parts, year_first, sign == ".", (hour, minute, second), ahead)


def order_of(written: Iterable[Written]) -> str:
    """Return the order of dates, over all of them: a part above 12 is a day; dotted dates have the day first.

    Raises
    ------
    FormError
        If it is not clear.
    """
    first = second = 0
    last = dotted = False
    for moment in written:
        if not moment.year_first:
            last, dotted = True, dotted or moment.dotted
            first, second = max(first, moment.parts[0]), max(second, moment.parts[1])
    right = 'write date_order = "day first" or "month first"'
    if not last:
        return "year first"
    if first > 12 and second > 12:
        raise FormError("date_order", "some dates have the day first and some the month", "write them all alike, year first")
    if first > 12 or (dotted and second <= 12):
        return "day first"
    if second > 12:
        return "month first"
    raise FormError("date_order", "no date has a day above 12, so it is not clear which is the day", right)


def moment_of(cell: Written, order: str) -> datetime | None:
    """Return a moment, with its zone where it has one; None where the calendar has none such."""
    if cell.year_first:
        year, month, day = cell.parts
    elif order == "month first":
        month, day, year = cell.parts
    else:
        day, month, year = cell.parts
    hour, minute, second = cell.clock
    try:
        moment = datetime(year, month, day, hour % 24, minute, second)
        moment += timedelta(days=hour // 24)
        return moment if cell.zone is None else moment.replace(tzinfo=timezone(cell.zone)).astimezone(UTC)
    except (ValueError, OverflowError):
        return None


def no_time(cell: str) -> str:
    """Return what is said of a cell that holds no moment."""
    return f'"{word_of(cell)}" {NO_TIME}'
