"""One run of taking a field up: gangs at their key strips, handlers beside them, forklifts to the yard, loads out of it.

A gang opens a section at its key strip and takes its rows up; it waits where too many mats lie loose beside it. Handlers clean,
sort and stack; they wait where as many full pallets stand beside them as there is room for. Forklifts bring pallets to the yard
and load trucks and aircraft; trucks make the haul of laying the other way round, under the same daily limit.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Callable, Generator
from dataclasses import dataclass, field
from typing import Any

import simpy

from simulation.chance import Streams, draw_factors
from simulation.conditions import HourlySky, WorkClock, make_clocks
from simulation.construction.take_up.load_out import LoadOut
from simulation.construction.take_up.take_up_luck import STATES, TakeUpLuck
from simulation.construction.take_up.take_up_plan import SectionPlan, TakeUpPlan
from simulation.construction.take_up.taken import FORKLIFTS, HANDLERS, RAMPS, LoadOff, PalletUp, Taken

Process = Generator[Any, Any, Any]


def take_up_once(plan: TakeUpPlan, run: int) -> Taken:
    """Return one run of taking a field up."""
    return TakeUpSite(plan, Streams(plan.laying.seed, run)).run()


@dataclass
class _Point:
    """A gang with its handlers: rows that lie loose, pallets begun by state and size, pallets that stand, feet to the yard."""

    number: int
    rows: deque[tuple[int, int]] = field(default_factory=deque)
    loose: int = 0
    begun: dict[tuple[int, bool], int] = field(default_factory=dict)
    standing: int = 0
    away: float = 0.0
    done: bool = False


class TakeUpSite:
    """Everybody and everything of one run."""

    def __init__(self, plan: TakeUpPlan, streams: Streams) -> None:
        self.plan, self.luck, self.env = plan, TakeUpLuck(plan, streams), simpy.Environment()
        laying, levels = plan.laying, self.luck.levels
        self.clocks = make_clocks(laying.clocks, HourlySky(laying.sky, streams, None), streams, levels["laying.efficiency"])
        self.left = deque(plan.sections)
        self.points = [_Point(number) for number in range(min(plan.points, len(plan.sections)))]
        self.jobs = simpy.Store(self.env)
        self.taken = Taken(waits={HANDLERS: 0.0, FORKLIFTS: 0.0, RAMPS: 0.0})
        self.busy_points = len(self.points)
        self.made = self.stored = 0
        self.yard: list[PalletUp] = []
        self.changed = self.env.event()
        self.dug: dict[int, Any] = {}
        self.over = self.env.event()
        self.load_out = LoadOut(self)

    def run(self) -> Taken:
        """Set everybody to work, and return what came of it."""
        env, laying = self.env, self.plan.laying
        ramped = [section for section in self.plan.sections if section.section.ramp]
        self.dug = {id(section): env.event() for section in ramped}
        for gang in range(laying.gangs):
            env.process(self.dig(ramped[gang :: laying.gangs]))
        for point in self.points:
            env.process(self.gang(point))
            env.process(self.handle(point))
        for number in range(laying.forklifts.count):
            env.process(self.forklift(number))
        for fleet in laying.supply.fleets:
            for number in range(fleet.count):
                env.process(self.load_out.truck(fleet.key, number, fleet.pallets, fleet.since))
        for index, flight in enumerate(laying.supply.flights):
            env.process(self.load_out.flights(index, flight.pallets, flight.first, flight.every))
        env.run(until=self.over | env.timeout(laying.horizon))
        return self.taken

    # What everybody does.

    def at_work(self, clock: str, hours: float) -> Any:
        """Return the event that ends so many hours of work by a clock; it never comes where the last day simulated is first."""
        mine: WorkClock = self.clocks[clock]
        end = mine.finish(self.env.now, hours)
        return self.env.event() if math.isinf(end) else self.env.timeout(end - self.env.now)

    def change(self) -> None:
        """Wake whoever waits for something to be otherwise."""
        self.changed.succeed()
        self.changed = self.env.event()

    def until(self, holds: Callable[[], bool], what: str = "") -> Process:
        """Wait until something holds, and count the hours."""
        since = self.env.now
        while not holds():
            yield self.changed
        if what:
            self.taken.waits[what] += self.env.now - since

    # Gangs, and those who dig ramps out for them.

    def dig(self, sections: list[SectionPlan]) -> Process:
        """Dig the end ramps of some sections out."""
        hours, efficiency = self.luck.each("dig_out", "ramps"), self.luck.levels["grading.efficiency"]
        for section in sections:
            for _ in range(section.section.ramp):
                yield self.at_work("grading", next(hours) / efficiency)
            self.dug[id(section)].succeed()

    def gang(self, point: _Point) -> Process:
        """Open section after section and take its rows up."""
        plan, luck, limit = self.plan, self.luck, self.plan.take_up.loose
        rail = luck.each("rail_section", str(point.number))
        while self.left:
            part = self.left.popleft()
            section = part.section
            if section.ramp and not self.dug[id(part)].triggered:
                since = self.env.now
                yield self.dug[id(part)]
                self.taken.waits[RAMPS] += self.env.now - since
            opening = luck.levels["laying.connect"] if part.junction else 0.0
            name = plan.laying.areas[section.area].name
            if section.strip is not None:
                opening += luck.strip_hours(name, section.strip)
            if section.starter:
                opening += luck.strip_hours(name, -1)
            yield self.at_work("laying", opening)
            hours = luck.lift[section.area]
            for row, full, half in zip(section.rows, part.full, part.half, strict=True):
                mats = full + half
                if point.loose and point.loose + mats > limit:
                    yield from self.until(lambda mats=mats: not point.loose or point.loose + mats <= limit, HANDLERS)  # type: ignore[misc]
                point.away = part.away
                yield self.at_work("laying", hours[row])
                point.loose += mats
                point.rows.append((section.area, row))
                self.taken.bare.append((self.env.now, part.row_area))
                self.change()
            for _ in range(part.rail):
                yield self.at_work("laying", next(rail))
        point.done = True
        self.busy_points -= 1
        if not self.busy_points:
            self.taken.rows_up = self.env.now
        self.change()

    # Handlers: from loose mats to pallets.

    def handle(self, point: _Point) -> Process:
        """Clean, inspect, sort, stack and band what lies loose beside a gang."""
        luck, handlers, places = self.luck, self.plan.take_up.handlers, self.plan.laying.forklifts.places
        band = luck.each("band", str(point.number))
        while True:
            yield from self.until(lambda: bool(point.rows) or point.done)
            if not point.rows:
                break
            area, row = point.rows.popleft()
            mats = luck.mats[area][row]
            closed = [pallet for state in range(len(STATES)) for half in (0, 1)
                      for pallet in self.put(point, state, not half, int(mats[state, half]))]  # fmt: skip
            hours = luck.sort[area][row] + sum(next(band) for _ in closed)
            yield self.at_work("laying", hours / handlers)
            point.loose -= int(mats.sum())
            self.change()
            for pallet in closed:
                yield from self.until(lambda: point.standing < places, FORKLIFTS)
                self.stand(point, pallet)
        for (state, full), load in sorted(point.begun.items()):
            if load:
                self.taken.fullest = max(self.taken.fullest, load)
                yield self.at_work("laying", next(band) / handlers)
                yield from self.until(lambda: point.standing < places, FORKLIFTS)
                self.stand(point, PalletUp(STATES[state], full, load // 2 if full else load))
        self.stored += 1
        self.finish()

    def put(self, point: _Point, state: int, full: bool, count: int) -> list[PalletUp]:
        """Put mats on the pallet that is begun for them, and return each pallet that this fills."""
        if not count:
            return []
        self.taken.mats[STATES[state], full] = self.taken.mats.get((STATES[state], full), 0) + count
        closed, size = [], 2 if full else 1
        load = point.begun.get((state, full), 0)
        for _ in range(count):
            if load + size > self.plan.pallet:
                self.taken.fullest = max(self.taken.fullest, load)
                closed.append(PalletUp(STATES[state], full, load // size))
                load = 0
            load += size
        point.begun[state, full] = load
        return closed

    def stand(self, point: _Point, pallet: PalletUp) -> None:
        """Set a banded pallet beside its gang, for a forklift to take."""
        self.taken.pallets[pallet.state] = self.taken.pallets.get(pallet.state, 0) + 1
        self.made += 1
        point.standing += 1
        self.jobs.put((point, point.away, None, pallet))

    # Forklifts; loads out of the yard are in `load_out`.

    def forklift(self, number: int) -> Process:
        """Bring pallets to the yard, and put loads on, in the order in which they came up."""
        laying, levels = self.plan.laying, self.luck.levels
        streams, scatters = self.luck.streams, laying.scatters

        def draws(name: str) -> Any:
            return draw_factors(scatters[f"forklifts.{name}"], streams, f"take up {name}", str(number))

        efficiency = levels["forklifts.efficiency"]
        speed, handle = laying.forklifts.speed * efficiency, 2.0 * levels["forklifts.handle"] / efficiency
        every, mend = levels["forklifts.breakdown_every"] / efficiency, levels["forklifts.repair"]
        lifts, gaps, repairs = draws("handle"), draws("breakdown_every"), draws("repair")
        sound = every * next(gaps)
        yield self.env.timeout(laying.forklifts.since[number])
        while True:
            point, work, loaded, pallet = yield self.jobs.get()
            hours = work / efficiency if point is None else 2.0 * work / speed + handle * next(lifts)
            yield self.at_work("forklift", hours)
            if point is None:
                loaded.succeed()
            else:
                point.standing -= 1
                self.yard.append(pallet)
                if not self.leaves:
                    self.taken.off.append(LoadOff(self.env.now, (pallet,)))
                self.change()
                self.finish()
            sound -= hours
            if sound <= 0.0:  # it breaks down behind the trip in which its hours ran out
                yield self.at_work("repair", mend * next(repairs))
                sound = every * next(gaps)

    @property
    def in_yard(self) -> int:
        """Pallets that came to the yard."""
        return len(self.yard)

    @property
    def leaves(self) -> bool:
        """Whether anything brings pallets away."""
        return bool(self.plan.laying.supply.fleets or self.plan.laying.supply.flights)

    def all_in(self) -> bool:
        """Return whether every pallet stands in the yard, or has left it."""
        return self.stored == len(self.points) and self.in_yard == self.made

    def finish(self) -> None:
        """Note when everything is in the yard, and when everything has left it."""
        if not self.all_in():
            return
        if math.isinf(self.taken.in_yard):
            self.taken.in_yard = self.env.now
            self.change()
        if not self.leaves or self.load_out.away == self.made:
            self.taken.gone = self.env.now if self.leaves else math.inf
            if not self.over.triggered:
                self.over.succeed()
