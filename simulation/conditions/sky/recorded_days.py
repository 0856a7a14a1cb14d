"""What are the hours of a day of which a record says only the day?

Each day keeps what was recorded of it: whether it was wet, its sum of rain, the mean and highest gust of its wind, the lowest and
highest temperature, its mean humidity. Within it, the wet hours are those that the chain fitted to the record has on such a day,
wind goes up and down as it is drawn elsewhere, and temperature has the shape that is assumed where only two figures are known.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

import numpy as np
from numpy import bool_, float64
from numpy.typing import NDArray

from simulation.chance import Streams
from simulation.conditions.sky.climate_defaults import day_shape, saturation
from simulation.conditions.sky.day_hours import DayHours
from simulation.conditions.sky.hourly_variables import LEAST_HUMIDITY, MOST_HUMIDITY, Air, AirDraws, months_and_hours
from simulation.conditions.sky.rain import BLOCK
from simulation.conditions.sky.recorded import Places, Recorded, add_spells
from simulation.conditions.sky.three_states import LONG, SHORT, WET, ThreeStates

_HOURS = int(BLOCK)
Array = NDArray[float64]


@dataclass(frozen=True)
class RecordedDays(Recorded):
    """A record by days; `values` are of days, the lowest and highest temperature among them. A gust is NaN if not reported.

    Attributes
    ----------
    chain : ThreeStates
        Fitted to the record: on which hours of a wet day it rains.
    """

    chain: ThreeStates = field(kw_only=True)

    @property
    def stated(self) -> frozenset[str]:
        """What is recorded."""
        names = {name.removesuffix("_low") for name in self.values if name != "temperature_high"}
        return frozenset(names)

    @property
    def length(self) -> int:
        """Hours in the record."""
        return 24 * super().length


class RecordedDaysSky:
    """The wet spells and hours of one run, out of a record by days; `spells` and `drawn` as a `Sky` has them.

    Notes
    -----
    A day of the record is a day of the run, whenever start is: weeks are drawn from the midnight before it.
    """

    __slots__ = (
        "_after_midnight",
        "_air",
        "_luck",
        "_midnight",
        "_of_days",
        "_places",
        "_record",
        "_state",
        "_weeks",
        "drawn",
        "spells",
    )

    def __init__(self, record: RecordedDays, air: Air, starts: datetime, luck: Streams) -> None:
        self._record, self._luck = record, luck
        self._midnight = starts.replace(hour=0, minute=0, second=0, microsecond=0)
        self._after_midnight = starts.hour
        self._places = Places(record, self._midnight, luck)
        self._air = AirDraws(air, self._midnight, luck)
        self._of_days = DayHours(record.chain)
        self._state: int | None = None
        self._weeks: list[dict[str, Array]] = []
        self.spells: list[list[float]] = []
        self.drawn = -float(self._after_midnight)

    def reach(self, hour: float) -> None:
        """Draw weeks until the weather is known up to `hour`."""
        while self.drawn < hour:
            week = self._draw_week()
            self._weeks.append(week)
            wet = week["rain"] > 0.0
            before = max(-int(self.drawn), 0)
            add_spells(self.spells, wet[before:], self.drawn + before)
            self.drawn += BLOCK

    def hours(self, number: int) -> dict[str, Array]:
        """Return all fields of the hours of a block."""
        self.reach((number + 1) * BLOCK)
        two = self._weeks[number : number + 2]
        cut = slice(self._after_midnight, self._after_midnight + _HOURS)
        return {name: np.concatenate([week[name] for week in two])[cut] for name in two[0]}

    def _draw_week(self) -> dict[str, Array]:
        number = len(self._weeks)
        days = self._places.block()[::24] // 24
        recorded = {name: values[days][:, np.newaxis] for name, values in self._record.values.items()}
        rain = self._rain(number, self._record.wet[days], recorded["rain"][:, 0])
        drawn = self._air.block(number, (rain > 0.0).astype(float).ravel())
        week = {name: values.reshape(-1, 24) for name, values in drawn.items()} | {"rain": rain}
        if "wind" in recorded:
            shape = week["wind"] / week["wind"].mean(axis=1, keepdims=True)
            week["gust"] *= recorded["wind"] * shape / week["wind"]
            week["wind"] = recorded["wind"] * shape
            # That of a day is that of its windiest hour; where it was not reported it is drawn.
            highest = recorded["gust"] / np.maximum(week["wind"].max(axis=1, keepdims=True), 1e-9)
            week["gust"] = np.where(np.isnan(highest), week["gust"], week["wind"] * np.maximum(highest, 1.0))
        if "temperature_low" in recorded:
            low, high = recorded["temperature_low"], recorded["temperature_high"]
            week["temperature"] = (low + high) / 2 + (high - low) / 2 * np.array(day_shape())
        if "humidity" in recorded:
            dryness = 1.0 / np.vectorize(saturation)(week["temperature"])
            humidity = recorded["humidity"] * dryness / dryness.mean(axis=1, keepdims=True)
            week["humidity"] = np.clip(humidity, LEAST_HUMIDITY, MOST_HUMIDITY)
        return {name: values.ravel() for name, values in week.items()}

    def _rain(self, number: int, wet: NDArray[bool_], amounts: Array) -> Array:
        """Return the rain of each hour of a week: on wet days all that was recorded, on dry ones none."""
        months, _ = months_and_hours(self._midnight, number * _HOURS, _HOURS)
        luck = self._luck.stream("weather hours of days", str(number))
        draws, parts = luck.random((len(wet), 24)), luck.standard_exponential((len(wet), 24))
        rain = np.zeros((len(wet), 24))
        if self._state is None:  # the hour before the first midnight, in equilibrium
            share, short, _ = self._record.chain.shares(int(months[0]))
            first = float(luck.random())
            self._state = WET if first < share else SHORT if first < share + short else LONG
        states = self._of_days.of(months[::24].tolist(), wet.tolist(), self._state, draws)
        self._state, least = states[-1][-1], self._record.least
        for day in np.flatnonzero(wet).tolist():
            # No more wet hours than there is rain for: each is wet by what counts as wet.
            hours = np.flatnonzero(np.array(states[day]) == WET)[: max(1, int(amounts[day] / least + 1e-9))]
            shares = parts[day][hours] / parts[day][hours].sum()
            rain[day, hours] = least + (amounts[day] - least * len(hours)) * shares
        return rain
