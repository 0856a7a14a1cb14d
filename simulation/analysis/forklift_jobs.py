"""Which jobs did the forklifts of a build do, and which loads came to be unloaded?

A trace holds steps; a breakdown cuts a job into several. What a load held, and which load a forklift unloads, the trace leaves to
be worked out: loads are taken at the port in the order of the trace, and unloaded in the order in which they arrive.
"""

from __future__ import annotations

from dataclasses import dataclass

from simulation.build import Finished
from simulation.build.steps import (
    ACTOR,
    END,
    FACE,
    FEED,
    HAUL,
    KIND,
    LOAD,
    MOVE,
    NUMBER,
    REPAIR,
    RESUPPLY,
    START,
    TIMETABLE,
    UNLOAD,
    WORK,
    Step,
)


@dataclass(frozen=True)
class Job:
    """One job of one forklift.

    Attributes
    ----------
    forklift : int
        Its number as an actor.
    kind : int
        ``FEED``, ``UNLOAD`` or ``MOVE`` of `simulation.build.steps`.
    face, row : int
        Where to, and the rows laid there when it set out; −1 for unloading.
    pieces : tuple of Step
        In turn; repairs stand between them.
    whole : bool
        Whether the last piece ends the job: false only where the build was over before.
    """

    forklift: int
    kind: int
    face: int
    row: int
    pieces: tuple[Step, ...]
    whole: bool

    @property
    def start(self) -> float:
        """When the forklift took it."""
        start: float = self.pieces[0][START]
        return start

    @property
    def end(self) -> float:
        """When it is done; infinite where the build was over before."""
        return self.pieces[-1][END] if self.whole else float("inf")

    @property
    def hours(self) -> float:
        """Hours of work, as far as they were begun."""
        return sum(piece[WORK] for piece in self.pieces)


@dataclass(frozen=True)
class Consignment:
    """What one truck or flight brought, or one order again: pallets, and when they set out, came, and were unloaded.

    `sets_out` is when they left the stock at the port, or were ordered; hours that did not come are infinite.
    """

    actor: int
    pallets: int
    sets_out: float
    arrives: float
    unloading: float
    unloaded: float
    again: bool


def jobs_of(build: Finished) -> list[Job]:
    """Return every job of the forklifts of a build, in the order in which they were begun."""
    begun: list[list[Step]] = []
    at_work: dict[int, list[Step]] = {}
    last: dict[int, int] = {}
    for step in build.site.trace:
        kind, actor = step[KIND], step[ACTOR]
        if kind in (FEED, UNLOAD, MOVE):
            if last.get(actor) == REPAIR:
                at_work[actor].append(step)
            else:
                at_work[actor] = [step]
                begun.append(at_work[actor])
        if actor >= 0:
            last[actor] = kind
    broken = {id(at_work[actor]) for actor, kind in last.items() if kind == REPAIR}
    return [
        Job(first[ACTOR], first[KIND], first[FACE], first[NUMBER], tuple(pieces), id(pieces) not in broken)
        for pieces in begun
        for first in pieces[:1]
    ]


def consignments_of(build: Finished, jobs: list[Job]) -> list[Consignment]:
    """Return every load of a build in the order of arrival; those still on the road when it was over come last."""
    plan = build.site.plan.supply
    trucks = [fleet.pallets for fleet in plan.fleets for _ in range(fleet.count)]
    flights = [flight.pallets for flight in plan.flights]
    carries = {
        **dict(zip((n for n, actor in enumerate(build.actors) if actor.kind == "truck"), trucks, strict=True)),
        **dict(zip((n for n, actor in enumerate(build.actors) if actor.kind == "flight"), flights, strict=True)),
    }
    left, loaded = plan.total - plan.on_hand, dict[int, tuple[int, float]]()
    found: list[tuple[float, int, int, int, float, bool]] = []  # (arrives, place in the trace, actor, pallets, sets out, again)
    for place, step in enumerate(build.site.trace):
        kind, actor = step[KIND], step[ACTOR]
        if kind in (LOAD, TIMETABLE):
            pallets = min(carries[actor], left)
            left -= pallets
            loaded[actor] = (pallets, step[START])
        if kind in (HAUL, TIMETABLE):
            pallets, since = loaded.pop(actor)
            found.append((step[END], place, actor, pallets, since, False))
        elif kind == RESUPPLY:
            found.append((step[END], place, actor, step[NUMBER], step[START], True))
    never = float("inf")
    found.sort()
    found += [(never, 0, actor, pallets, since, False) for actor, (pallets, since) in loaded.items()]
    unloading = [(job.start, job.end) for job in jobs if job.kind == UNLOAD]
    times = unloading + [(never, never)] * (len(found) - len(unloading))
    return [
        Consignment(actor, pallets, since, arrives, *when, again)
        for (arrives, _, actor, pallets, since, again), when in zip(found, times, strict=True)
    ]
