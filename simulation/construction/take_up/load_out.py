"""Loads out of the yard: trucks make the haul of laying the other way round, aircraft come by timetable, one daily limit."""

from __future__ import annotations

import math
from collections.abc import Generator
from typing import TYPE_CHECKING, Any

from simulation.chance import draw_factors
from simulation.construction.take_up.taken import LoadOff, PalletUp

if TYPE_CHECKING:
    from simulation.construction.take_up.taking_up import TakeUpSite

Process = Generator[Any, Any, Any]


class LoadOut:
    """What leaves the yard of one run.

    Attributes
    ----------
    loaded : int
        Pallets on a truck or aircraft, or being put on one.
    away : int
        Pallets that have left.
    """

    def __init__(self, site: TakeUpSite) -> None:
        self.site = site
        self.loaded = self.away = 0
        self.today: dict[int, int] = {}

    def truck(self, key: str, number: int, pallets: int, since: float) -> Process:
        """Bring load after load away."""
        levels, scatters, streams = self.site.luck.levels, self.site.plan.laying.scatters, self.site.luck.streams

        def hours(name: str) -> Any:
            scatter = scatters[f"{key}.{name}"]
            luck = draw_factors(scatter, streams, f"take up {name}", f"{key} {number}")
            return (levels[f"{key}.{name}"] * factor for factor in luck)

        haul, unload, back = hours("haul"), hours("load"), hours("return")
        yield self.site.env.timeout(since)
        while not self.site.over.triggered:
            on_board = yield from self.load_out(pallets)
            road, port, way, put = self.site.clocks["haul"], self.site.clocks["port"], next(haul), next(unload)
            self.site.taken.off.append(LoadOff(port.finish(road.finish(self.site.env.now, way), put), on_board))
            yield self.site.at_work("haul", way)
            yield self.site.at_work("port", put)
            yield self.site.at_work("haul", next(back))

    def flights(self, index: int, pallets: int, first: float, every: float) -> Process:
        """Land by the timetable, and take what the yard and the day's limit give."""
        yield self.site.env.timeout(first)
        while not self.site.over.triggered:
            there = min(pallets, self.site.in_yard - self.loaded, self.room_today())
            if there > 0:
                on_board = yield from self.load(there)
                self.site.taken.off.append(LoadOff(self.site.env.now, on_board))
            spent = (self.site.env.now - first) % every
            yield self.site.env.timeout(every - spent)

    def load_out(self, pallets: int) -> Generator[Any, Any, tuple[PalletUp, ...]]:
        """Wait for a load, or for what is left of the field, have it loaded, and return it."""
        while True:
            yield from self.site.until(
                lambda: self.site.in_yard - self.loaded >= pallets or (self.site.all_in() and self.site.in_yard > self.loaded)
            )
            there = min(pallets, self.site.in_yard - self.loaded, self.room_today())
            if there > 0:
                return (yield from self.load(there))
            yield self.site.env.timeout(self.next_midnight() - self.site.env.now)

    def load(self, count: int) -> Generator[Any, Any, tuple[PalletUp, ...]]:
        """Have so many pallets put on by a forklift, those first that have stood longest, and return them."""
        on_board = self.site.yard[self.loaded : self.loaded + count]
        self.loaded += count
        today = self.day()
        self.today[today] = self.today.get(today, 0) + count
        loaded = self.site.env.event()
        one = self.site.luck.levels["take_up.load_one"]
        self.site.jobs.put((None, count * one, loaded, None))
        yield loaded
        self.site.taken.loads += 1
        self.away += count
        self.site.finish()
        return tuple(on_board)

    def day(self) -> int:
        """Return the local day of now, counted from that of the start."""
        return math.floor((self.site.env.now - self.site.plan.laying.supply.midnight) / 24.0 + 1e-9)

    def next_midnight(self) -> float:
        """Return when the local day ends."""
        return self.site.plan.laying.supply.midnight + 24.0 * (self.day() + 1)

    def room_today(self) -> int:
        """Return how many pallets may still leave today."""
        limit = self.site.plan.laying.supply.per_day_limit
        return self.site.made if limit is None else limit - self.today.get(self.day(), 0)
