"""What if the weather of a run is the weather that was? One season of a record as it was, or pieces of it put together.

All variables of an hour come from the same hour of the record, so whatever goes with rain goes with it here.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import cached_property, lru_cache
from typing import Literal

import numpy as np
from numpy import float64, intp
from numpy.typing import NDArray

from simulation.chance import Streams
from simulation.conditions.sky.rain import BLOCK

_HOURS = int(BLOCK)
#: With so many whole years or more, whole years are drawn; with fewer, pieces of days.
MANY_YEARS = 15
#: Mean length of a piece in days, and how far its start may lie from the date, either way.
PIECE, WINDOW = 6.0, 15


@dataclass(frozen=True)
class Recorded:
    """A record, hour by hour.

    Attributes
    ----------
    first : datetime.datetime
        Local time of its first hour.
    way : str
        ``"replay"``, ``"years"`` or ``"pieces"``.
    year : int
        The year in which a replay begins.
    values : dict of str to ndarray
        ``rain`` and whatever else is recorded, without gaps; fields of an hour.
    least : float
        mm of rain from which an hour counts as wet.
    """

    first: datetime
    way: Literal["replay", "years", "pieces"]
    year: int
    values: dict[str, NDArray[float64]] = field(compare=False, repr=False)
    least: float = 0.2

    @property
    def stated(self) -> frozenset[str]:
        """What is recorded."""
        return frozenset(self.values)

    @property
    def length(self) -> int:
        """Hours in the record."""
        return len(self.values["rain"])

    @cached_property
    def wet(self) -> NDArray[np.bool_]:
        """Whether each hour (day) of the record is wet."""
        is_wet: NDArray[np.bool_] = self.values["rain"] >= self.least
        return is_wet

    @cached_property
    def years(self) -> list[int]:
        """The years that it holds whole, but for a day at either end."""
        low, high = self.first - timedelta(days=1), self.first + timedelta(hours=self.length, days=1)
        candidates = range(low.year, high.year + 1)
        return [year for year in candidates if datetime(year, 1, 1) >= low and datetime(year + 1, 1, 1) <= high]

    def hour_of(self, moment: datetime) -> int:
        """Return how many hours after the record's first a moment lies."""
        return (moment - self.first) // timedelta(hours=1)


def in_year(moment: datetime, year: int) -> datetime:
    """Return the same date and hour in another year; 29 February is 28 February where there is none."""
    try:
        return moment.replace(year=year)
    except ValueError:
        return moment.replace(year=year, day=28)


class Places:
    """Which hours of the record stand for those of one run, block by block."""

    __slots__ = ("_luck", "_next", "_number", "_record", "_starts", "_year")

    def __init__(self, record: Recorded, starts: datetime, luck: Streams) -> None:
        self._record, self._luck = record, luck
        self._starts = starts.replace(minute=0, second=0, microsecond=0)
        self._number = 0
        self._next: int | None = None  # where the piece under way goes on
        self._year = record.year
        if record.way == "years":
            self._year = int(luck.stream("weather year").choice(record.years))

    def block(self) -> NDArray[intp]:
        """Return the hours of the record for the next block of the run."""
        number = self._number
        self._number += 1
        return self._pieces(number) if self._record.way == "pieces" else self._of_years(number * _HOURS)

    def _of_years(self, first: int) -> NDArray[intp]:
        """Return the hours of the record with the block's dates, in the year drawn and those that follow it."""
        index: list[NDArray[intp]] = []
        at, left = self._starts + timedelta(hours=first), _HOURS
        while left:
            count = min(left, 24 - at.hour)
            index.append((self._place(at) + np.arange(count)) % self._record.length)
            at, left = at + timedelta(hours=count), left - count
        return np.concatenate(index)

    def _place(self, at: datetime) -> int:
        """Return where in the record a date of a run lies; behind its end it goes on with its first whole year."""
        record = self._record
        year = at.year - self._starts.year + self._year
        index = record.hour_of(in_year(at, year))
        if not 0 <= index < record.length and record.years:
            index = record.hour_of(in_year(at, record.years[(year - record.years[0]) % len(record.years)]))
        return index

    def _pieces(self, number: int) -> NDArray[intp]:
        """Return pieces of geometric length, each from around its date in a year of its own: the stationary bootstrap."""
        record = self._record
        stream = self._luck.stream("weather", str(number))
        # As many draws a day whether they are used or not: a piece that goes on must not shift the luck of the next one.
        draws = stream.random((_HOURS // 24, 2)).tolist()
        index: list[NDArray[intp]] = []
        for day, (ends, which) in enumerate(draws):
            if self._next is None or ends < 1.0 / PIECE or self._next + 24 > record.length:
                self._next = self._start_of(self._starts + timedelta(hours=number * _HOURS + 24 * day), which)
            index.append(self._next + np.arange(24))
            self._next += 24
        return np.concatenate(index)

    def _start_of(self, at: datetime, which: float) -> int:
        """Return where in the record a piece begins: within the window around the date, in any year, each day alike likely."""
        places = _near(self._record.first, self._record.length, at)
        return places[int(which * len(places))]


@lru_cache(maxsize=1024)
def _near(first: datetime, length: int, at: datetime) -> tuple[int, ...]:
    """Return where in a record of so many hours a piece around a date may begin; all runs ask for the same dates."""
    last = first + timedelta(hours=length)
    return tuple(
        middle + 24 * shift
        for year in range(first.year - 1, last.year + 2)
        for middle in ((in_year(at, year) - first) // timedelta(hours=1),)
        for shift in range(-WINDOW, WINDOW + 1)
        if 0 <= middle + 24 * shift <= length - 24
    )


class RecordedSky:
    """The wet spells and hours of one run, out of a record; `spells` and `drawn` as a `Sky` has them."""

    __slots__ = ("_index", "_places", "_record", "drawn", "spells")

    def __init__(self, record: Recorded, starts: datetime, luck: Streams) -> None:
        self._record, self._places = record, Places(record, starts, luck)
        self._index: list[NDArray[intp]] = []
        self.spells: list[list[float]] = []
        self.drawn = 0.0

    def reach(self, hour: float) -> None:
        """Draw blocks until the weather is known up to `hour`."""
        while self.drawn < hour:
            index = self._places.block()
            self._index.append(index)
            add_spells(self.spells, self._record.wet[index], self.drawn)
            self.drawn += BLOCK

    def hours(self, number: int) -> dict[str, NDArray[float64]]:
        """Return what the record says of the hours of a block; rain below the least that counts is none."""
        self.reach((number + 1) * BLOCK)
        index = self._index[number]
        block = {name: values[index] for name, values in self._record.values.items()}
        block["rain"] = np.where(self._record.wet[index], block["rain"], 0.0)
        return block


def add_spells(spells: list[list[float]], wet: NDArray[np.bool_], first: float) -> None:
    """Add the wet spells of hours from `first` on; one that goes on from the last spell makes that longer."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], wet, [False])))) + first
    for start, end in edges.astype(float).reshape(-1, 2).tolist():
        if spells and spells[-1][1] == start:
            spells[-1][1] = end
        else:
            spells.append([start, end])
