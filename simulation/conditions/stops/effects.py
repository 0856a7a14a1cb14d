"""What do the hours of one run's sky leave of work, cause by cause? Worked out block by block, once for all clocks."""

from __future__ import annotations

from bisect import bisect_right
from typing import Protocol

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.chance import Streams
from simulation.conditions.sky.hourly import HOURS, Hours
from simulation.conditions.sky.rain import BLOCK
from simulation.conditions.stops.drying import antecedent
from simulation.conditions.stops.sunshine import cosines, evaporation
from simulation.conditions.stops.weather_limits import COLD, HEAT, LIGHTNING, MUD, ORDER, RAIN, WIND, Limits, Piece, Surroundings
from simulation.conditions.stops.wet_bulb_globe import wet_bulb_globe
from simulation.conditions.stops.wind_chill import wind_chill
from simulation.conditions.stops.work_and_rest import fahrenheit, rate_in_heat, share_worked
from simulation.scenario.types.spans import join_spans

Array = NDArray[float64]
Flags = NDArray[np.bool_]
Spans = list[tuple[float, float]]

_DAY = 24
_SLACK = 1e-9


class HourlyWeather(Protocol):
    """What is asked of a sky."""

    @property
    def spells(self) -> list[list[float]]:
        """Wet spells so far; the last one may still grow."""

    def reach(self, hour: float) -> None:
        """Draw the spells up to an hour."""

    def block(self, number: int) -> Hours:
        """Return the hours of a block."""


class HourEffects:
    """What one run's weather does, hour by hour.

    Parameters
    ----------
    around : Surroundings
    sky : HourlyWeather
    luck : Streams or None
        The run's streams; only thunder needs them, which is drawn from streams of its own.
    productive : float
        Productive share of a crew's hour in this run.
    """

    def __init__(self, around: Surroundings, sky: HourlyWeather, luck: Streams | None = None, productive: float = 1.0) -> None:
        if around.thunder and luck is None:
            raise ValueError("thunder is drawn: give the run's streams")
        self._around, self._sky, self._luck = around, sky, luck
        self._productive = productive
        self._thunder: dict[int, list[int]] = {}
        self._heat: dict[int, Array] = {}
        self._depth: list[list[float]] = []
        self._index: list[list[float]] = []
        self._pieces: dict[tuple[Limits, int], list[Piece]] = {}

    def pieces(self, limits: Limits, low: float, high: float) -> list[Piece]:
        """Return what the hours between two moments leave of one kind of work; pieces without gap, neighbours differ."""
        parts: list[Piece] = []
        for number in range(int(low // BLOCK), int((high - _SLACK) // BLOCK) + 1):
            key = limits, number  # crews of different hours are stopped by the same
            block = self._pieces.get(key)
            if block is None:
                block = self._pieces[key] = self._block(limits, number)
            for start, end, factors in block:
                if parts and parts[-1][2] == factors:
                    parts[-1] = (parts[-1][0], end, factors)
                elif end > low:
                    parts.append((start, end, factors))
        return parts

    def _block(self, limits: Limits, number: int) -> list[Piece]:
        origin = number * BLOCK
        spans: dict[str, Spans] = {}
        if limits.all_clear is not None:
            spans[LIGHTNING] = self._unsafe(number, limits.all_clear)
        if limits.rain == 0.0:
            spans[RAIN] = self._wet(origin, 0.0)
        if limits.drying:
            spans[MUD] = [(end, end + limits.drying) for _, end in self._wet(origin, limits.drying)]
        times = origin + np.arange(HOURS + 1.0)
        between = [edge for some in spans.values() for span in some for edge in span if origin < edge < origin + BLOCK]
        if between:
            times = np.unique(np.concatenate((times, between)))
        middles = (times[:-1] + times[1:]) / 2
        hour = (middles - origin).astype(np.intp)
        by_hour = self._by_hour(limits, number)
        names = [name for name in ORDER if name in spans or name in by_hour]
        left = np.ones((len(names), len(middles)))
        for row, name in zip(left, names, strict=True):
            if name in by_hour:
                row *= by_hour[name][hour]
            if name in spans:
                row[_inside(spans[name], middles)] = 0.0
        changes = np.flatnonzero((left[:, 1:] != left[:, :-1]).any(axis=0)) + 1
        firsts = np.concatenate(([0], changes))
        ends = times[np.concatenate((changes, [len(middles)]))].tolist()
        pieces: list[Piece] = []
        for start, end, column in zip(times[firsts].tolist(), ends, left[:, firsts].T.tolist(), strict=True):
            pieces.append((start, end, tuple((name, part) for name, part in zip(names, column, strict=True) if part < 1.0)))
        return pieces

    def _by_hour(self, limits: Limits, number: int) -> dict[str, Array]:
        """Return what each cause that goes by hours leaves of each hour of a block."""
        rates: dict[str, Array] = {}
        if limits.rain:
            rates[RAIN] = _open(self._sky.block(number).rain <= limits.rain)
        if limits.wind is not None or limits.gust is not None:
            hours = self._sky.block(number)
            calm = np.ones(HOURS, dtype=bool)
            for values, most in ((hours.wind, limits.wind), (hours.gust, limits.gust)):
                if most is not None:
                    calm &= values <= most
            rates[WIND] = _open(calm)
        if limits.dry_ground:
            rates[MUD] = _open(np.array(self.depth(number)) >= self._around.workable - _SLACK)
        if limits.wet_roads < 1.0:
            wet = np.array(self.index(number)) >= self._around.roads_wet
            rates[MUD] = np.where(wet, limits.wet_roads, 1.0) * rates.get(MUD, 1.0)
        if limits.effort:
            days = None if self._around.acclimatised else (number * HOURS + np.arange(HOURS)) // _DAY
            worked = share_worked(self.heat(number), limits.effort, days)
            rates[HEAT] = rate_in_heat(worked, limits.crews, self._productive, limits.covered)
        if limits.cold:
            rates[COLD] = _open(self.chill(number) >= self._around.stop_below)
        return rates

    def heat(self, number: int) -> Array:
        """Return the wet-bulb globe temperature of each hour of a block, °F, with what clothing adds."""
        known = self._heat.get(number)
        if known is None:
            hours, location = self._sky.block(number), self._around.location
            sun = np.zeros(HOURS) if location is None else cosines(location, number * HOURS, HOURS)
            celsius = wet_bulb_globe(hours.temperature, hours.humidity, hours.wind, sun, hours.rain > 0.0)
            known = self._heat[number] = fahrenheit(celsius) + self._around.clothing
        return known

    def chill(self, number: int) -> Array:
        """Return the wind chill of each hour of a block, °C."""
        hours = self._sky.block(number)
        return wind_chill(hours.temperature, hours.wind)

    def depth(self, number: int) -> list[float]:
        """Return the mm that have dried out of the ground at the beginning of each hour of a block."""
        around = self._around
        assert around.ground is not None
        while len(self._depth) <= number:
            block = len(self._depth)
            last = self._depth[-1][-1] if self._depth else around.dried_out
            rain = self._sky.block(block).rain
            # One value more than hours: what the block leaves is where the next begins.
            self._depth.append([last, *around.ground.dry(last, self._taken(block).tolist(), rain.tolist())])
        return self._depth[number][:HOURS]

    def index(self, number: int) -> list[float]:
        """Return the antecedent precipitation index at the end of each hour of a block, mm."""
        around = self._around
        while len(self._index) <= number:
            last = self._index[-1][-1] if self._index else around.roads_before
            self._index.append(antecedent(last, around.roads_keep, self._sky.block(len(self._index)).rain.tolist()))
        return self._index[number]

    def _taken(self, number: int) -> Array:
        """Return what the sky takes from wet ground in each hour of a block, mm; nothing while it rains.

        The days are those of 24 hours since the start; what they take is shared among their hours as the sun is, or evenly.
        """
        around, hours = self._around, self._sky.block(number)
        days = HOURS // _DAY
        if around.evaporation is not None:
            daily = np.full(days, around.evaporation)
        else:
            assert around.location is not None
            degrees = hours.temperature.reshape(days, _DAY)
            ends = zip(degrees.min(axis=1).tolist(), degrees.max(axis=1).tolist(), strict=True)
            daily = np.array([evaporation(around.location, number * days + day, *pair) for day, pair in enumerate(ends)])
        sun = np.zeros(HOURS) if around.location is None else cosines(around.location, number * HOURS, HOURS)
        by_day = sun.reshape(days, _DAY)
        whole = by_day.sum(axis=1, keepdims=True)
        shares = np.where(whole > 0.0, by_day / np.where(whole > 0.0, whole, 1.0), 1.0 / _DAY)
        taken: Array = np.where(hours.rain > 0.0, 0.0, (shares * daily[:, np.newaxis]).ravel())
        return taken

    def thunder(self, number: int) -> list[int]:
        """Return the hours of a block with thunder, since the start; an hour has the same luck whatever the chance."""
        known = self._thunder.get(number)
        if known is None:
            known = []
            if self._around.thunder and number >= 0:
                assert self._luck is not None
                draws = self._luck.stream("thunder", str(number)).random(HOURS)
                heard: Flags = (draws < self._around.thunder) & (self._sky.block(number).rain > 0.0)
                known = (np.flatnonzero(heard) + number * HOURS).tolist()
            self._thunder[number] = known
        return known

    def _unsafe(self, number: int, all_clear: float) -> Spans:
        before = range(number - int(all_clear // HOURS) - 1, number)
        heard = [hour for block in (*before, number) for hour in self.thunder(block)]
        return join_spans((hour, hour + 1.0 + all_clear) for hour in heard)

    def _wet(self, origin: float, longer: float) -> Spans:
        """Return the wet spells that reach into a block, or would if they lasted so much longer."""
        self._sky.reach(origin + BLOCK + _SLACK)  # beyond it, so that a spell that touches its end is known whole
        spells = self._sky.spells
        first = bisect_right(spells, origin - longer, key=lambda spell: spell[1])
        return [(start, end) for start, end in spells[first:] if start < origin + BLOCK]


def _open(allowed: Flags) -> Array:
    return allowed.astype(float64)


def _inside(spans: Spans, moments: Array) -> Flags:
    """Return which moments lie in one of some spans in the order of their starts."""
    merged = join_spans(spans)
    if not merged:
        return np.zeros(len(moments), dtype=bool)
    starts, ends = np.array(merged).T
    index = np.searchsorted(starts, moments, side="right") - 1
    inside: Flags = (index >= 0) & (moments < ends[index])
    return inside
