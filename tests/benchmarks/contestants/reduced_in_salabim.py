"""The reduced line in salabim, in both of its idioms, monitors off, which is its quick way.

Either every pallet is a component that asks for forklifts and crew, or forklifts and crew are components that look for work, fall
passive where there is none, and are activated again; pallets are then mere counts. The library can do both, so both are timed: to
make a component costs it more than to let one hold many times.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import salabim
from contestants.benchmark_lines import Lay, ReducedLine

UNLOAD, FEED = 0, 1  # what waits is unloaded first
Draw = Callable[[], float]

# Processes as generators: its other way, without the word yield, needs another library.
salabim.yieldless(False)


def in_salabim_by_pallets(line: ReducedLine, seed: int = 1) -> Lay:
    """Return how salabim lays the reduced line with a component for every pallet."""
    return _lay(by_pallets, line, seed)


def in_salabim_by_workers(line: ReducedLine, seed: int = 1) -> Lay:
    """Return how salabim lays the reduced line with a component for every forklift and the crew."""
    return _lay(by_workers, line, seed)


def _lay(finish: Callable[[ReducedLine, Any, Draw, Draw], float], line: ReducedLine, seed: int) -> Lay:
    def one(run: int) -> float:
        env = salabim.Environment(random_seed=1_000_003 * seed + run, trace=False)
        trip, row = salabim.Exponential(line.trip, env=env).sample, salabim.Exponential(line.row, env=env).sample
        return finish(line, env, trip, lambda: sum(row() for _ in range(line.rows)))

    return lambda runs: [one(run) for run in runs]


def by_pallets(line: ReducedLine, env: Any, trip: Draw, pallet: Draw) -> float:
    """Return the hour at which the last pallet is laid; draws as in `reduced_by_hand.finish`."""
    forklifts = salabim.Resource("forklifts", line.forklifts, monitor=False, env=env)
    crew = salabim.Resource("crew", 1, monitor=False, env=env)

    class Pallet(salabim.Component):  # type: ignore[misc]
        def process(self) -> Iterator[Any]:
            for purpose in (UNLOAD, FEED):
                yield self.request((forklifts, 1, purpose))
                yield self.hold(trip())
                self.release(forklifts)
            yield self.request(crew)
            yield self.hold(pallet())
            self.release(crew)

    class Landings(salabim.Component):  # type: ignore[misc]
        def process(self) -> Iterator[Any]:
            for _ in range(line.pallets):
                yield self.hold(line.every)
                Pallet(env=env)

    Landings(env=env)
    env.run()
    return float(env.now())


def by_workers(line: ReducedLine, env: Any, trip: Draw, pallet: Draw) -> float:
    """Return the hour at which the last pallet is laid; draws as in `reduced_by_hand.finish`."""
    waiting = yard = staged = 0

    def wake(workers: list[Any]) -> None:
        for worker in workers:
            if worker.ispassive():
                worker.activate()
                return

    class Landings(salabim.Component):  # type: ignore[misc]
        def process(self) -> Iterator[Any]:
            nonlocal waiting
            for _ in range(line.pallets):
                yield self.hold(line.every)
                waiting += 1
                wake(forklifts)

    class Forklift(salabim.Component):  # type: ignore[misc]
        def process(self) -> Iterator[Any]:
            nonlocal waiting, yard, staged
            while True:
                if waiting:
                    waiting -= 1
                    yield self.hold(trip())
                    yard += 1
                    wake(forklifts)
                elif yard:
                    yard -= 1
                    yield self.hold(trip())
                    staged += 1
                    wake(crew)
                else:
                    yield self.passivate()

    class Crew(salabim.Component):  # type: ignore[misc]
        def process(self) -> Iterator[Any]:
            nonlocal staged
            for _ in range(line.pallets):
                while not staged:
                    yield self.passivate()
                staged -= 1
                yield self.hold(pallet())

    forklifts = [Forklift(env=env) for _ in range(line.forklifts)]
    crew = [Crew(env=env)]
    Landings(env=env)
    env.run()
    return float(env.now())
