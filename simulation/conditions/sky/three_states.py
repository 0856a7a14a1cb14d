"""When does it rain, hour by hour? Wet, a short dry spell between showers, or a long one between weathers: three states.

A two-state chain clusters too little: dry weeks come too seldom. Here dry spells are of two sorts, so rain comes in groups.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from simulation.chance import Streams
from simulation.conditions.sky.hourly_variables import months_and_hours
from simulation.conditions.sky.rain import BLOCK, Known

_HOURS = int(BLOCK)
WET, SHORT, LONG = 0, 1, 2


@dataclass(frozen=True)
class ThreeStates:
    """Chances from one hour to the next, a number for each month, January first.

    Attributes
    ----------
    wet : tuple of float
        p: a wet hour after a wet one.
    short : tuple of float
        w: share of dry spells that are short.
    short_ends, long_ends : tuple of float
        a, b: a wet hour after one of a short, and of a long, dry spell.
    """

    wet: tuple[float, ...]
    short: tuple[float, ...]
    short_ends: tuple[float, ...]
    long_ends: tuple[float, ...]

    def cycle(self, month: int) -> float:
        """Return the mean hours from the beginning of one wet spell to the next, if the month went on for ever."""
        return sum(self._parts(month))

    def shares(self, month: int) -> tuple[float, float, float]:
        """Return the long-run shares of wet hours and of hours in short and long dry spells."""
        parts, cycle = self._parts(month), self.cycle(month)
        return parts[0] / cycle, parts[1] / cycle, parts[2] / cycle

    def _parts(self, month: int) -> tuple[float, float, float]:
        short = self.short[month]
        return 1.0 / (1.0 - self.wet[month]), short / self.short_ends[month], (1.0 - short) / self.long_ends[month]


class ThreeStateSky:
    """The wet spells of one run, drawn as a `Sky` draws them, with its `spells` and `drawn`."""

    __slots__ = ("_chain", "_known", "_luck", "_starts", "_state", "drawn", "spells")

    def __init__(self, chain: ThreeStates, starts: datetime, luck: Streams, known: Known | None = None) -> None:
        self._known = (-1, False) if known is None else (int(known[0] + 1e-9), known[1])
        self._chain, self._starts, self._luck = chain, starts, luck
        self._state: int | None = None
        self.spells: list[list[float]] = []
        self.drawn = 0.0

    def reach(self, hour: float) -> None:
        """Draw blocks until the weather is known up to `hour`."""
        while self.drawn < hour:
            self._draw_block()

    def _draw_block(self) -> None:
        chain, first = self._chain, int(self.drawn)
        number = first // _HOURS
        months, _ = months_and_hours(self._starts, first, _HOURS)
        state = self._state
        if state is None:  # the hour before the start, in equilibrium
            wet_share, short_share, _ = chain.shares(int(months[0]))
            draw = float(self._luck.stream("weather", "before").random())
            state = WET if draw < wet_share else SHORT if draw < wet_share + short_share else LONG
        spells, month = self.spells, -1
        draws = self._luck.stream("weather", str(number)).random(_HOURS).tolist()
        for hour, (draw, now) in enumerate(zip(draws, months.tolist(), strict=True), start=first):
            if now != month:
                month = now
                stays, ends = chain.wet[month], (0.0, chain.short_ends[month], chain.long_ends[month])
                to_short = stays + (1.0 - stays) * chain.short[month]
            # The same small draws mean rain in every state, so a wetter month is the same rain and more of it.
            if hour == self._known[0]:
                state = self._seen(int(now), state)
                if state != WET:
                    continue
            elif state != WET:
                if draw >= ends[state]:
                    continue
                state = WET
            elif draw >= stays:
                state = SHORT if draw < to_short else LONG
                continue
            if spells and spells[-1][1] == hour:
                spells[-1][1] = hour + 1.0
            else:
                spells.append([float(hour), hour + 1.0])
        self._state, self.drawn = state, float(first + _HOURS)

    def _seen(self, month: int, state: int) -> int:
        """Return the state of the hour of which it is known whether it rains: as drawn where that agrees, else a likely one."""
        if self._known[1]:
            return WET
        if state != WET:
            return state
        _, short, long = self._chain.shares(month)
        return SHORT if float(self._luck.stream("weather", "seen").random()) * (short + long) < short else LONG
