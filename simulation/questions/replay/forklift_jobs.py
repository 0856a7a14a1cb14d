"""Which jobs did the forklifts of a run do, and which loads came to be unloaded?

A job is one step: what a breakdown interrupts is another job, of whoever takes it over. What a load held the trace leaves to be
worked out: loads are taken at the port in the order of the trace.
"""

from __future__ import annotations

from dataclasses import dataclass

from simulation.construction import Finished
from simulation.construction.plan.steps import (
    ACTOR,
    BECAUSE,
    DAILY_LIMIT,
    DISCHARGE,
    EDGE,
    END,
    FEED,
    HAUL,
    KIND,
    LOAD,
    MOVE,
    NUMBER,
    RESUPPLY,
    SHIPMENT,
    START,
    TIMETABLE,
    UNLOAD,
    Step,
)


@dataclass(frozen=True)
class Job:
    """One job of one forklift, up to its end or a breakdown.

    Attributes
    ----------
    step : Step
        As it stands in the trace.
    forklift : int
        Its number as an actor.
    kind : int
        ``FEED``, ``UNLOAD`` or ``MOVE`` of `simulation.construction.plan.steps`.
    edge : int
        Where to; −1 for unloading.
    row : int
        Rows laid there when it set out.
    start, end : float
        When the forklift took it, and when it is done, or a breakdown ends it.
    mats : (int, int)
        Full and half mats of the pallet that it brings.
    stray : bool
        Whether it takes up mats that a forklift left where it broke down.
    broke_down : (int, float) or None
        Where a breakdown ended it: on the way to which laying edge, −1 in the yard, and how many feet from the yard.
    """

    step: Step
    forklift: int
    kind: int
    edge: int
    row: int
    start: float
    end: float
    mats: tuple[int, int]
    stray: bool
    broke_down: tuple[int, float] | None


@dataclass(frozen=True)
class Consignment:
    """What a truck, a flight or a lot of a shipment brought, or an order again: pallets, when they set out, came, were unloaded.

    `sets_out` is when they left the stock at the port, or were ordered; hours that did not come are infinite. `pieces` are
    from when to when forklifts unloaded it, and how many pallets each time; `mats` the full and half mats on these.
    """

    actor: int
    pallets: int
    sets_out: float
    arrives: float
    pieces: tuple[tuple[float, float, int], ...]
    mats: tuple[tuple[int, int], ...]
    again: bool

    @property
    def unloading(self) -> float:
        """When a forklift first came to it."""
        return self.pieces[0][0] if self.pieces else float("inf")

    @property
    def unloaded(self) -> float:
        """When its last pallet was unloaded."""
        whole = sum(pallets for _, _, pallets in self.pieces) == self.pallets
        return self.pieces[-1][1] if whole else float("inf")


def list_jobs(run: Finished) -> list[Job]:
    """Return every job of the forklifts of a run, in the order in which they were begun."""
    board, alike = run.board, (run.stock.full, run.stock.half)
    return [
        Job(
            step, step[ACTOR], step[KIND], step[EDGE], step[NUMBER], step[START], step[END],
            mats=board.carried.get(id(step), alike), stray=id(step) in board.taken_over,
            broke_down=board.broken_off.get(id(step)),
        )
        for step in run.site.trace
        if step[KIND] in (FEED, UNLOAD, MOVE)
    ]  # fmt: skip


def _let_through(step: Step, put_off: dict[int, Step]) -> Step:
    """Return the step at whose end a load came to the yard: the last by which the daily limit put it off, or its own."""
    while id(step) in put_off:
        step = put_off[id(step)]
    return step


def list_consignments(run: Finished) -> list[Consignment]:
    """Return every load of a run in the order of arrival; those still on the road when it was over come last."""
    plan = run.site.plan.supply
    trucks = [fleet.pallets for fleet in plan.fleets for _ in range(fleet.count)]
    flights = [flight.pallets for flight in plan.flights]
    carries = {
        **dict(zip((n for n, actor in enumerate(run.actors) if actor.kind == "truck"), trucks, strict=True)),
        **dict(zip((n for n, actor in enumerate(run.actors) if actor.kind == "flight"), flights, strict=True)),
    }
    arrived = run.board.arrived
    pieces = {
        id(load.came): (
            tuple((step[START], step[END], some) for step, some in load.pieces),
            tuple(load.mats_unloaded((plan.full, plan.half))),
        )
        for load in arrived
    }
    nothing: tuple[tuple[()], tuple[()]] = (), ()
    shipped = sum(shipment.pallets for shipment in plan.shipments)
    left, loaded = max(0, plan.total - plan.on_hand - shipped), dict[int, tuple[int, float]]()
    jobs: list[tuple[float, int, Consignment]] = []
    put_off = {id(step[BECAUSE]): step for step in run.site.trace if step[KIND] == DAILY_LIMIT}
    for index, step in enumerate(run.site.trace):
        kind, actor = step[KIND], step[ACTOR]
        if kind in (LOAD, TIMETABLE):
            pallets = min(carries[actor], left)
            left -= pallets
            loaded[actor] = (pallets, step[START])
        if kind == DISCHARGE:
            loaded[actor] = (step[NUMBER], step[START])
        if kind in (HAUL, TIMETABLE, DISCHARGE):
            pallets, since = loaded.pop(actor)
            came = step if kind == HAUL else _let_through(step, put_off)
            load = Consignment(actor, pallets, since, came[END], *pieces.get(id(came), nothing), False)
            jobs.append((came[END], index, load))
        elif kind == RESUPPLY:
            times = step[START], step[END]
            jobs.append((step[END], index, Consignment(actor, step[NUMBER], *times, *pieces.get(id(step), nothing), True)))
    jobs.sort(key=lambda job: job[:2])
    never = float("inf")
    on_the_road = [Consignment(actor, pallets, since, never, *nothing, False) for actor, (pallets, since) in loaded.items()]
    return [*(load for _, _, load in jobs), *on_the_road]


def list_shipments_lost(run: Finished) -> list[tuple[float, int]]:
    """Return of each shipment that never comes when that is known, and the pallets that were kept for it."""
    shipments = [number for number, actor in enumerate(run.actors) if actor.kind == "shipment"]
    known = {step[ACTOR]: step[END] for step in run.site.trace if step[KIND] == SHIPMENT}
    return [(known[shipments[number]], lost) for number, lost in run.stock.never_came.items()]
