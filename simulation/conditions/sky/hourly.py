"""What is each hour of a run like: rain, wind, gusts, temperature, humidity? Drawn only where somebody asks for it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple, assert_never

import numpy as np
from numpy import float64
from numpy.typing import NDArray

from simulation.chance import Streams
from simulation.conditions.sky.hourly_variables import Air, AirDraws
from simulation.conditions.sky.outlook import Outlook, OutlookDraws
from simulation.conditions.sky.rain import BLOCK, Chain, Known, Sky
from simulation.conditions.sky.recorded import Recorded, RecordedSky
from simulation.conditions.sky.recorded_days import RecordedDays, RecordedDaysSky
from simulation.conditions.sky.three_states import ThreeStates, ThreeStateSky

#: Hours of a block, as a whole number.
HOURS = int(BLOCK)


class Hours(NamedTuple):
    """The hours of one block, an array of `HOURS` values each; the first is the hour that begins with the block.

    Attributes
    ----------
    rain : ndarray
        mm in the hour; more than 0 exactly where some of the hour lies in a wet spell.
    wind, gust : ndarray
        mph: mean of the hour, and the highest gust in it; no gust is below its mean.
    temperature : ndarray
        °C.
    humidity : ndarray
        Relative, in %, above 0 and up to 100.
    """

    rain: NDArray[float64]
    wind: NDArray[float64]
    gust: NDArray[float64]
    temperature: NDArray[float64]
    humidity: NDArray[float64]


@dataclass(frozen=True)
class SkyPlan:
    """Where the weather of a scenario's runs comes from; plain numbers, sent once to every worker.

    Attributes
    ----------
    starts : datetime.datetime
        Local time of the start.
    spells : Chain or ThreeStates or Recorded or None
        None is dry throughout.
    air : Air
        What hours are like, given whether they are wet; where a record says it itself, only what the record lacks.
    outlook : Outlook or None
        What a forecaster says of the next days.
    """

    starts: datetime
    spells: Chain | ThreeStates | Recorded | None
    air: Air
    outlook: Outlook | None = None

    @property
    def dry(self) -> bool:
        """Whether no run has rain."""
        return self.spells is None and self.outlook is None

    @property
    def stated(self) -> frozenset[str]:
        """The fields of `Hours` that scenario or record speak of; the others rest on planning values alone."""
        recorded = self.spells.stated if isinstance(self.spells, Recorded) else frozenset()
        return self.air.stated | recorded


class HourlySky:
    """The weather of one run: its wet spells, and its hours where they are asked for.

    Parameters
    ----------
    plan : SkyPlan
    luck : Streams
    known : (float, bool), optional
        A moment, and whether it rains then: a chain goes on from it; a record is what it is.

    Notes
    -----
    Spells are drawn without the hours, which have streams of their own for each block of days and each variable. So neither
    who asks, nor in which order, nor whether anybody does, changes anything.
    """

    __slots__ = ("_air", "_blocks", "_outlook", "_reached", "_sky", "_spells")

    def __init__(self, plan: SkyPlan, luck: Streams, known: Known | None = None) -> None:
        self._sky: Sky | ThreeStateSky | RecordedSky | RecordedDaysSky
        match plan.spells:
            case ThreeStates():
                self._sky = ThreeStateSky(plan.spells, plan.starts, luck, known)
            case RecordedDays():
                self._sky = RecordedDaysSky(plan.spells, plan.air, plan.starts, luck)
            case Recorded():
                self._sky = RecordedSky(plan.spells, plan.starts, luck)
            case Chain() | None:
                self._sky = Sky(plan.spells, luck, known)
            case _:
                assert_never(plan.spells)
        self._air = AirDraws(plan.air, plan.starts, luck)
        self._blocks: list[Hours] = []
        self._outlook = None if plan.outlook is None else OutlookDraws(plan.outlook, luck)
        self._reached = math.inf if plan.outlook is None else 0.0
        self._spells = self._sky.spells if plan.outlook is None else []

    @property
    def spells(self) -> list[list[float]]:
        """Wet spells so far as (start, end), in hours since the start; the last one may still grow."""
        return self._spells

    @property
    def drawn(self) -> float:
        """Hours up to which the spells are drawn; infinite where it is dry throughout."""
        return min(self._sky.drawn, self._reached)

    def reach(self, hour: float) -> None:
        """Draw blocks until the spells are known up to `hour`."""
        if self._outlook is None:
            self._sky.reach(hour)
        elif hour > self.drawn:
            # The days of the outlook at once: no spell is put before one that was told already.
            known = max(hour, self._outlook.covered[-1][1] if self._outlook.covered else 0.0)
            self._reached = BLOCK * math.ceil(known / BLOCK)
            self._sky.reach(self._reached)
            self._spells[:] = self._outlook.mixed(self._sky.spells)

    def block(self, number: int) -> Hours:
        """Return the hours ``number * HOURS`` to ``(number + 1) * HOURS`` since the start.

        Blocks before it are drawn first, since wind and temperature go on from one to the next.
        """
        while len(self._blocks) <= number:
            self._blocks.append(self._draw_block(len(self._blocks)))
        return self._blocks[number]

    def _draw_block(self, number: int) -> Hours:
        if isinstance(self._sky, RecordedDaysSky) and self._outlook is None:
            return Hours(**self._sky.hours(number))
        self.reach((number + 1) * BLOCK)
        recorded = self._sky.hours(number) if isinstance(self._sky, RecordedSky | RecordedDaysSky) else {}
        # Where a record tells all, no air is drawn that nobody breathes: each variable has a stream of its own.
        told = self._outlook is None and len(recorded) == len(Hours._fields)
        air = {} if told else self._air.block(number, self._wet_shares(number))
        drawn = air | recorded
        if recorded:
            drawn["gust"] = np.maximum(drawn["gust"], drawn["wind"])
        if self._outlook is not None:
            drawn["rain"] = np.where(self._outlook.covers(number), air["rain"], drawn["rain"])
            self._outlook.put_into(number, drawn)
        return Hours(**drawn)

    def _wet_shares(self, number: int) -> NDArray[float64]:
        """Return which share of each hour of a block lies in a wet spell."""
        low = number * BLOCK
        shares = np.zeros(HOURS)
        for start, end in reversed(self._spells):
            if end <= low:
                break
            first, last = max(start - low, 0.0), min(end - low, BLOCK)
            if first >= last:
                continue
            begin, stop = int(first), int(last)
            shares[begin:stop] += 1.0
            # What the whole hours have too much at the beginning, and too little at the end.
            shares[begin] -= first - begin
            if stop < HOURS:
                shares[stop] += last - stop
        return np.clip(shares, 0.0, 1.0)
