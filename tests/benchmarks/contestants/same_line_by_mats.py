"""The same line in plain SimPy, mat by mat: what one would first write who knows the library well.

Containers hold pallets, places and mats, a store the loads that wait. Every mat is taken from what lies opened and laid, one
after another at the pace of the crew, so that a row takes what the row-time law says.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any

import simpy
from contestants.benchmark_lines import Lay, SameLine, Spread

Process = Iterator[Any]


def by_mats(line: SameLine, seed: int = 1) -> Lay:
    """Return how plain SimPy lays the same line."""
    return lambda runs: [_Run(line, random.Random(f"{seed}.{run}")).finish() for run in runs]


class _Shift:
    """Opens and closes the work of everybody, day after day."""

    def __init__(self, env: simpy.Environment, spans: tuple[tuple[float, float], ...]) -> None:
        self.env, self.spans = env, spans
        self.opens = env.event()
        self.closes = 0.0
        env.process(self.days())

    def days(self) -> Process:
        day = 0.0
        while True:
            for start, end in self.spans:
                yield self.env.timeout(day + start - self.env.now)
                self.closes = day + end
                self.opens.succeed()
                yield self.env.timeout(self.closes - self.env.now)
                self.opens = self.env.event()
            day += 24.0

    def work(self, hours: float) -> Process:
        while hours > 0.0:
            yield self.opens
            spell = min(hours, self.closes - self.env.now)
            yield self.env.timeout(spell)
            hours -= spell


class _LayingEdge:
    def __init__(self, env: simpy.Environment, line: SameLine, number: int) -> None:
        self.pieces, self.joints, self.travel = line.pieces[number], line.joints[number], line.travel[number]
        self.places = simpy.Container(env, line.places, init=line.places)
        self.mats = simpy.Container(env)
        self.staged = simpy.Container(env)
        self.cover = 0  # pallets staged or on their way
        self.to_bring = len(self.pieces) // line.rows_on_pallet
        self.laid = 0


class _Run:
    def __init__(self, line: SameLine, luck: random.Random) -> None:
        self.line, self.luck = line, luck
        self.env = env = simpy.Environment()
        self.shift = _Shift(env, line.spans)
        self.at_port = line.total - line.on_hand
        self.yard = simpy.Container(env, init=line.on_hand)
        self.loads = simpy.Store(env)
        self.news = env.event()
        self.edges = [_LayingEdge(env, line, number) for number in range(len(line.pieces))]

    def finish(self) -> float:
        """Return the hour at which the last row is laid."""
        env, line = self.env, self.line
        for _ in range(line.trucks):
            env.process(self.truck())
        for _ in range(line.forklifts):
            env.process(self.forklift())
        env.run(until=env.all_of([env.process(self.crew(edge)) for edge in self.edges]))
        return float(env.now)

    def draw(self, spread: Spread) -> float:
        return self.luck.lognormvariate(spread.mu, spread.sigma)

    def tell(self) -> None:
        """Let forklifts without a job look again."""
        self.news.succeed()
        self.news = self.env.event()

    def truck(self) -> Process:
        line, work = self.line, self.shift.work
        while self.at_port:
            pallets = min(line.load_pallets, self.at_port)
            self.at_port -= pallets
            yield from work(self.draw(line.load))
            yield from work(self.draw(line.haul))
            unloaded = self.env.event()
            yield self.loads.put((pallets, unloaded))
            self.tell()
            yield unloaded
            yield from work(self.draw(line.back))

    def neediest(self) -> _LayingEdge | None:
        """Return the laying edge to feed now: that with the least cover; while a load waits, only one with very little."""
        below = self.line.urgent_below if self.loads.items else self.line.places
        fit = [edge for edge in self.edges if edge.to_bring and edge.places.level and edge.cover < below]
        return min(fit, key=lambda edge: edge.cover) if fit and self.yard.level else None

    def forklift(self) -> Process:
        line, luck, shift = self.line, self.luck, self.shift
        away, sound_for = 0.0, luck.expovariate(1.0 / line.sound)
        while True:
            yield shift.opens
            edge = self.neediest()
            if edge is None and not self.loads.items:
                yield self.news
                continue
            lift = 2.0 * self.draw(line.handle)  # a pallet is picked up once and set down once
            if edge is not None:
                edge.to_bring -= 1
                edge.cover += 1
                yield edge.places.get(1) & self.yard.get(1)
                there = edge.travel[edge.laid]
                hours = (away + there) / line.speed + lift
            else:
                pallets, unloaded = yield self.loads.get()
                there = 0.0
                hours = away / line.speed + pallets * lift
            while hours >= sound_for:
                hours -= sound_for
                yield from shift.work(sound_for)
                yield from shift.work(self.draw(line.repair))
                sound_for = luck.expovariate(1.0 / line.sound)
            sound_for -= hours
            yield from shift.work(hours)
            away = there
            if edge is not None:
                yield edge.staged.put(1)
            else:
                yield self.yard.put(pallets)
                unloaded.succeed()
                self.tell()

    def crew(self, edge: _LayingEdge) -> Process:
        line, work = self.line, self.shift.work
        for row, (pieces, joints) in enumerate(zip(edge.pieces, edge.joints, strict=True)):
            hours = line.row_hours(pieces, joints, self.draw(line.pick_up), self.draw(line.place))
            for _ in range(pieces):
                if not edge.mats.level:
                    yield edge.staged.get(1)
                    edge.cover -= 1
                    yield edge.mats.put(line.mats)
                yield edge.mats.get(1)
                yield from work(hours / pieces)
            edge.laid = min(row + 1, len(edge.pieces) - 1)
            if not edge.mats.level:
                yield edge.places.put(1)
                self.tell()
