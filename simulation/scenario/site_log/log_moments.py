"""Which hours does a line of a log cover, and what does it say is under way?"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, timedelta

_CLOCK = r"(\d{1,2}):(\d{2})(?::(\d{2}))?"
_SPAN = re.compile(rf"{_CLOCK}\s*(?:-|–|to)\s*{_CLOCK}")
_TIME = re.compile(_CLOCK)
_WHEN = rf"(?:since\s+|at\s+)?(?:(\d{{4}}-\d{{2}}-\d{{2}})[T ])?{_CLOCK}"
_ITEMS = {
    "truck": re.compile(rf"truck (\d+)\.(\d+) (loading|held|coming|unloading|returning) {_WHEN}(?:,? (\d+) pallets)?", re.I),
    "forklift": re.compile(rf"forklift (\d+) down {_WHEN}", re.I),
    "ordered": re.compile(rf"ordered (\d+) pallets {_WHEN}", re.I),
    "load": re.compile(r"load of (\d+) pallets", re.I),
    "shipment": re.compile(r"shipment (\d+) (?:brought (\d+) pallets|never comes)", re.I),
    "due": re.compile(rf"shipment (\d+) due {_WHEN}", re.I),
    "sweeping": re.compile(rf"sweeping (.+?) {_WHEN}", re.I),
    "reached": re.compile(rf"reached (.+?) {_WHEN}", re.I),
    "prepared": re.compile(r"prepared (.+)", re.I),
    "temporary end": re.compile(r"temporary end (.+)", re.I),
    "done": re.compile(r"done (\d+) of (.+)", re.I),
}
#: Those of which no time is told.
_WITHOUT_TIME = ("load", "shipment", "prepared", "temporary end", "done")


@dataclass(frozen=True)
class UnderWay:
    """One thing under way: which of `_ITEMS`, its words and numbers as written, and since when."""

    what: str
    words: tuple[str, ...]
    when: datetime | None


def span_of(cell: str) -> tuple[float, float] | None:
    """Return the hours of the day that a cell names, the second above 24 past midnight; twice the same for a single time."""
    cell = cell.strip()
    if match := _SPAN.fullmatch(cell):
        start, end = _hour(match.groups()[:3]), _hour(match.groups()[3:])
        if start is None or end is None or start >= 24.0:
            return None
        return start, end if end > start else end + 24.0
    if match := _TIME.fullmatch(cell):
        at = _hour(match.groups())
        return None if at is None else (at, at)
    return None


def items_of(cell: str, day: date) -> tuple[list[UnderWay], list[str]]:
    """Return what a cell says is under way, with times of the line's day where they name none, and what in it cannot be read."""
    items: list[UnderWay] = []
    unread: list[str] = []
    for part in (piece.strip() for piece in cell.split(" / ")):
        if not part:
            continue
        for what, pattern in _ITEMS.items():
            if match := pattern.fullmatch(part):
                words, when = _parts(what, list(match.groups()), day)
                if when is not None or what in _WITHOUT_TIME:
                    items.append(UnderWay(what, words, when))
                    break
        else:
            unread.append(part)
    return items, unread


def _parts(what: str, groups: list[str | None], day: date) -> tuple[tuple[str, ...], datetime | None]:
    if what in _WITHOUT_TIME:
        return tuple(group or "" for group in groups), None
    pallets = [groups.pop() or ""] if what == "truck" else []
    hour, on = _hour(groups[-3:]), groups[-4]
    try:
        midnight = datetime.combine(day if on is None else date.fromisoformat(on), datetime.min.time())
    except ValueError:
        return (), None
    when = None if hour is None else midnight + timedelta(seconds=round(3600.0 * hour))
    return (*(group or "" for group in groups[:-4]), *pallets), when


def _hour(parts: tuple[str | None, ...] | list[str | None]) -> float | None:
    hours, minutes, seconds = (int(part or 0) for part in parts)
    if minutes > 59 or seconds > 59 or hours > 24 or (hours == 24 and minutes + seconds):
        return None
    return hours + minutes / 60 + seconds / 3600
