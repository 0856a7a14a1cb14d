"""The reduced line in plain SimPy, in both of its idioms.

Either every pallet is a process that asks for forklifts and crew, resources, which is how one would first write it; or forklifts
and crew are processes that look for work and wait for an event where there is none, and pallets are mere counts.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator

import simpy
from contestants.benchmark_lines import Lay, ReducedLine

UNLOAD, FEED = 0, 1  # what waits is unloaded first
Draw = Callable[[], float]


def in_simpy_by_pallets(line: ReducedLine, seed: int = 1) -> Lay:
    """Return how SimPy lays the reduced line with a process for every pallet."""
    return _lay(by_pallets, line, seed)


def in_simpy_by_workers(line: ReducedLine, seed: int = 1) -> Lay:
    """Return how SimPy lays the reduced line with a process for every forklift and the crew."""
    return _lay(by_workers, line, seed)


def _lay(finish: Callable[[ReducedLine, Draw, Draw], float], line: ReducedLine, seed: int) -> Lay:
    def one(run: int) -> float:
        exponential = random.Random(f"{seed}.{run}").expovariate
        trip, row = 1.0 / line.trip, 1.0 / line.row
        return finish(line, lambda: exponential(trip), lambda: sum(exponential(row) for _ in range(line.rows)))

    return lambda runs: [one(run) for run in runs]


def by_pallets(line: ReducedLine, trip: Draw, pallet: Draw) -> float:
    """Return the hour at which the last pallet is laid; draws as in `reduced_by_hand.finish`."""
    env = simpy.Environment()
    forklifts = simpy.PriorityResource(env, line.forklifts)
    crew = simpy.Resource(env)

    def landings() -> Iterator[simpy.Event]:
        for _ in range(line.pallets):
            yield env.timeout(line.every)
            env.process(one_pallet())

    def one_pallet() -> Iterator[simpy.Event]:
        for purpose in (UNLOAD, FEED):
            with forklifts.request(priority=purpose) as forklift:
                yield forklift
                yield env.timeout(trip())
        with crew.request() as turn:
            yield turn
            yield env.timeout(pallet())

    env.process(landings())
    env.run()
    return float(env.now)


def by_workers(line: ReducedLine, trip: Draw, pallet: Draw) -> float:
    """Return the hour at which the last pallet is laid; draws as in `reduced_by_hand.finish`."""
    env = simpy.Environment()
    waiting = yard = staged = 0
    idle_forklifts: list[simpy.Event] = []
    idle_crew: list[simpy.Event] = []

    def wake(idle: list[simpy.Event]) -> None:
        if idle:
            idle.pop(0).succeed()

    def no_work(idle: list[simpy.Event]) -> simpy.Event:
        idle.append(env.event())
        return idle[-1]

    def landings() -> Iterator[simpy.Event]:
        nonlocal waiting
        for _ in range(line.pallets):
            yield env.timeout(line.every)
            waiting += 1
            wake(idle_forklifts)

    def forklift() -> Iterator[simpy.Event]:
        nonlocal waiting, yard, staged
        while True:
            if waiting:
                waiting -= 1
                yield env.timeout(trip())
                yard += 1
                wake(idle_forklifts)
            elif yard:
                yard -= 1
                yield env.timeout(trip())
                staged += 1
                wake(idle_crew)
            else:
                yield no_work(idle_forklifts)

    def crew() -> Iterator[simpy.Event]:
        nonlocal staged
        for _ in range(line.pallets):
            while not staged:
                yield no_work(idle_crew)
            staged -= 1
            yield env.timeout(pallet())

    env.process(landings())
    for _ in range(line.forklifts):
        env.process(forklift())
    return float(env.run(until=env.process(crew())) or env.now)
