"""How does the field of a run stand when it is left at a moment? What a site log of it says, read off the run itself."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator

from rows_of_run import RowsOfRun

from simulation.construction.actors.forklift import Forklift
from simulation.construction.actors.rail_gang import RailGang
from simulation.construction.plan.field_state import (
    AT_PORT,
    COMING,
    HELD,
    LOADING,
    RETURNING,
    UNLOADING,
    EdgeState,
    FieldState,
    TruckState,
)
from simulation.construction.plan.steps import (
    ACTOR,
    BACKFILL,
    CLOSING,
    DAILY_LIMIT,
    DRILL,
    EDGE,
    END,
    FEED,
    GRADING,
    HAUL,
    KEY_STRIP,
    KIND,
    LOAD,
    MOVE,
    NUMBER,
    REPAIR,
    RESUPPLY,
    START,
    TASK,
    TIMETABLE,
    WAY_BACK,
    WORK,
    Step,
)
from simulation.construction.running import Finished
from simulation.construction.site.pallets.jobs import Load
from simulation.construction.site_log.entries import to_the_second
from simulation.construction.trace.links import clock_of

_STAGES = {LOAD: LOADING, DAILY_LIMIT: HELD, HAUL: COMING, WAY_BACK: RETURNING}
#: Hours that are none: sums of many steps are not exact to the last bit.
_SLACK = 1e-9


def state_of_run(run: Finished, at: float) -> FieldState:
    """Return how the field of a run stands that was left at a moment; see `simulate`, `until`.

    Notes
    -----
    A row that is begun counts as not begun, and its mats as lying open; a pallet on forks as standing in the yard; mats left over
    that are moved as lying where they go. Moments are whole seconds, as in a log.
    """
    site, stock, plan = run.site, run.stock, run.site.plan
    rows = RowsOfRun(run)
    last = _last_steps(run)
    laid = [rows.laid(edge.index, at) for edge in site.edges]
    back_in_yard, moved = _on_forks(run, last, at)
    loads, unloading = _waiting_loads(run, at)
    done_loads = sum(unloading.values())
    waiting = sum(left for _, left in loads)
    orders = [(step[NUMBER], step[START]) for step in site.trace if step[KIND] == RESUPPLY]
    trucks, on_loads = _trucks(run, last, loads, at)
    crews = {crew.number: number for number, crew in enumerate(run.crews)}
    laid_by = [0] * len(run.crews)
    for edge in site.edges:
        for actor, count in rows.by_crew(edge.index, -1.0, at).items():
            laid_by[crews[actor]] += count
    midnight = site.plan.supply.midnight + 24.0 * (stock.day(at) - 1)
    today = sum(len(load.luck) for load in run.board.arrived if load.came[END] >= midnight - _SLACK)
    return FieldState(
        at=at,
        edges=tuple(_edge(run, edge, laid[edge], moved, at) for edge in range(len(site.edges))),
        crews=tuple(rows.last_of(crew.number, at) for crew in run.crews),
        rows_by_crew=tuple(laid_by),
        yard=stock.yard + back_in_yard + done_loads,
        came=stock.supplied - stock.incoming + waiting + done_loads,
        came_today=today,
        rejected=(_rejected(run, laid, 0), _rejected(run, laid, 1)),
        trucks=trucks,
        loads=tuple(sorted(on_loads)),
        forklifts=tuple(_under_repair(last.get(forklift.actor), at) for forklift in run.forklifts),
        orders=tuple((pallets, to_the_second(since)) for pallets, since in orders),
        reached=tuple(None if step is None else to_the_second(step[END]) for step in site.reached),
        swept_since=tuple(_swept(run, number, at) for number in range(len(plan.milestones))),
        followed=tuple(_followed(run, at)),
        shipments=tuple(_shipped(run, at)),
        wet=None if plan.sky.dry else any(start <= at < end for start, end in site.sky.spells),
    )


def _shipped(run: Finished, at: float) -> Iterator[int | None]:
    """Yield the pallets that each shipment has brought to the yard; None for one that is known never to come."""
    came_before = run.site.plan.state
    for number, actor in enumerate(actor for actor, party in enumerate(run.actors) if party.kind == "shipment"):
        loads = (load for load in run.board.arrived if load.came[ACTOR] == actor and load.came[END] <= at)
        before = 0 if came_before is None else came_before.shipped(number) or 0
        yield None if number in run.stock.never_came else before + sum(len(load.luck) for load in loads)


def _last_steps(run: Finished) -> dict[int, Step]:
    """Return the last step of each actor."""
    return {step[ACTOR]: step for step in run.site.trace}


def _edge(run: Finished, number: int, laid: int, moved: dict[int, list[int]], at: float) -> EdgeState:
    edge = run.site.edges[number]
    # Of pallets that hold different mats: all that came, else what stands there was moved.
    kinds = {(run.stock.full, run.stock.half), *(pallet for load in run.board.arrived for pallet in load.mats)}
    more = moved.get(number, [0, 0])
    odd = [mats for mats in edge.staged if mats not in kinds]
    full, half = (
        (edge.loose_full, edge.loose_half)[kind]
        + sum((edge.full, edge.half)[kind][laid : edge.taken])
        + sum(mats[kind] for mats in odd)
        + more[kind]
        for kind in (0, 1)
    )
    strip = edge.plan.strips.get(laid)
    is_set = any(
        step[KIND] == KEY_STRIP and step[EDGE] == number and step[NUMBER] == strip and step[END] <= at for step in run.site.trace
    )
    return EdgeState(
        laid=laid,
        graded=max(float(laid), round(_graded(run, number, at), 2)),
        staged=len(edge.staged) - len(odd),
        open_full=full,
        open_half=half,
        sections=_sections(run.site.rail_gang, number),
        strip_set=strip is not None and is_set,
        prepared=edge.area.prepared is not None and edge.area.prepared.triggered,
        end_stands=edge.end_stands,
    )


def _sections(gang: RailGang | None, edge: int) -> int:
    return 0 if gang is None else next((rail.set for rail in gang.rails if rail.edge.index == edge), 0)


def _graded(run: Finished, number: int, at: float) -> float:
    """Return the rows of a laying edge whose ground is ready, with what is done of others: as if all of it lay side by side."""
    edge, plan = run.site.edges[number], run.site.plan
    rows = float(edge.graded) + sum(upto - first for first, upto in edge.slices_done.items())
    graded = [step for step in run.site.trace if step[KIND] == GRADING and step[EDGE] == number]
    for step in graded:
        if step[START] < at < step[END]:
            piece = next(piece for piece in plan.slices if piece.edge == number and piece.upto == step[NUMBER])
            clock = clock_of(step, run.site.clocks)
            spent = at - step[START] if clock is None else clock.worked(step[START], at)
            before = sum(other[WORK] for other in graded if other[NUMBER] == step[NUMBER] and other is not step)  # for a window
            whole = before + step[WORK]
            rows += (piece.upto - piece.first) * ((before + spent) / whole if whole else 1.0)
    return min(rows, float(edge.rows))


def _rejected(run: Finished, laid: list[int], kind: int) -> int:
    return sum(mats[kind] for edge in run.site.edges for row, mats in edge.rejected.items() if row < laid[edge.index])


def _on_forks(run: Finished, last: dict[int, Step], at: float) -> tuple[int, dict[int, list[int]]]:
    """Return the pallets on forks or left on the way, and the left-over mats by the laying edge that they go to."""
    pallets, moved = 0, dict[int, list[int]]()

    def move(edge: int, mats: tuple[int, int]) -> None:
        there = moved.setdefault(edge, [0, 0])
        there[0] += mats[0]
        there[1] += mats[1]

    for forklift in run.forklifts:
        step = last.get(forklift.actor)
        if isinstance(forklift, Forklift) and step is not None and step[END] > at and any(forklift.carries):
            if step[KIND] == FEED:
                pallets += 1
            elif step[KIND] == MOVE:
                move(step[EDGE], forklift.carries)
    for carry in run.board.strays:
        if carry.kind == FEED:
            pallets += 1
        else:
            move(carry.edge.index, carry.mats)
    return pallets, moved


def _waiting_loads(run: Finished, at: float) -> tuple[list[tuple[Load, int]], dict[int, int]]:
    """Return the loads in the yard with what is left on each, and by load the pallets of an unloading under way that are down."""
    loads, down = [], {}
    for load in run.board.arrived:
        left = len(load.luck) - load.done
        if left:
            if load.pieces and load.pieces[-1][0][END] > at:
                step, pallets = load.pieces[-1]
                clock = clock_of(step, run.site.clocks)
                spent = at - step[START] if clock is None else clock.worked(step[START], at)
                down[id(load)] = int(pallets * min(1.0, spent / step[WORK])) if step[WORK] else pallets
            loads.append((load, left - down.get(id(load), 0)))
    return loads, down


def _trucks(
    run: Finished, last: dict[int, Step], loads: list[tuple[Load, int]], at: float
) -> tuple[tuple[tuple[TruckState, ...], ...], list[int]]:
    """Return what each truck is at, and what is left of the loads in the yard that stand on something else."""
    of_truck = {load.came[ACTOR]: (load, left) for load, left in loads if load.came[KIND] == HAUL}
    others = [left for load, left in loads if load.came[KIND] != HAUL]
    actors = iter([number for number, actor in enumerate(run.actors) if actor.kind == "truck"])
    full = _short_load(run, last, at)
    fleets = []
    for fleet in run.site.plan.supply.fleets:
        trucks = []
        for _ in range(fleet.count):
            actor = next(actors)
            step = last.get(actor)
            if actor in of_truck:
                load, left = of_truck[actor]
                trucks.append(TruckState(UNLOADING, to_the_second(load.came[END]), left))
            elif step is None or step[KIND] not in _STAGES or step[END] <= at:
                trucks.append(TruckState(AT_PORT))
            else:
                stage = _STAGES[step[KIND]]
                pallets = 0 if stage == RETURNING else full.get(actor, fleet.pallets)
                trucks.append(TruckState(stage, to_the_second(step[START]), pallets))
        fleets.append(tuple(trucks))
    return tuple(fleets), others


def _short_load(run: Finished, last: dict[int, Step], at: float) -> dict[int, int]:
    """Return the pallets on the truck that took the last ones at the port, where they were fewer than it takes."""
    stock, plan = run.stock, run.site.plan.supply
    if stock.to_come:
        return {}
    taken: list[tuple[float, int, int]] = []
    actors = [number for number, actor in enumerate(run.actors) if actor.kind == "truck"]
    sizes = [fleet.pallets for fleet in plan.fleets for _ in range(fleet.count)]
    for actor, size in zip(actors, sizes, strict=True):
        step = last.get(actor)
        if step is not None and step[END] > at and step[KIND] in (LOAD, DAILY_LIMIT, HAUL):
            taken.append((_loaded_at(run, actor), actor, size))
    flights = [number for number, actor in enumerate(run.actors) if actor.kind == "flight"]
    for actor, flight in zip(flights, plan.flights, strict=True):
        step = last.get(actor)
        if step is not None and step[END] > at and step[KIND] in (TIMETABLE, DAILY_LIMIT):
            taken.append((_loaded_at(run, actor), actor, flight.pallets))
    due = sum(step[NUMBER] for step in run.site.trace if step[KIND] == RESUPPLY and step[END] > at)
    waiting = sum(len(load.luck) - load.done for load in run.board.arrived)
    missing = sum(size for _, _, size in taken) - (stock.incoming - waiting - due - sum(stock.kept))
    if missing <= 0 or not taken:
        return {}
    _, actor, size = max(taken)
    return {actor: size - missing}


def _loaded_at(run: Finished, actor: int) -> float:
    """Return when a truck began to load, or when a flight's next load was set aside."""
    kinds = (LOAD, TIMETABLE)
    return max(step[START] for step in run.site.trace if step[ACTOR] == actor and step[KIND] in kinds)


def _under_repair(step: Step | None, at: float) -> float | None:
    return to_the_second(step[START]) if step is not None and step[KIND] == REPAIR and step[END] > at else None


def _swept(run: Finished, milestone: int, at: float) -> float | None:
    for step in reversed(run.site.trace):
        swept = step[KIND] == CLOSING and step[NUMBER] == milestone
        if swept and (step[END] > at or run.site.reached[milestone] is None):  # its temporary ends are not made yet
            return to_the_second(step[START])
    return None


def _followed(run: Finished, at: float) -> Iterator[int]:
    done: dict[int, int] = {}
    for step in run.site.trace[: bisect_right(run.site.trace, at, key=lambda step: float(step[START]))]:
        if step[KIND] in (BACKFILL, DRILL, TASK) and step[END] <= at:
            done[step[ACTOR]] = max(done.get(step[ACTOR], 0), step[NUMBER])
    began = (0,) * len(run.site.plan.follows) if run.site.plan.state is None else run.site.plan.state.followed
    actors = [number for number, actor in enumerate(run.actors) if actor.kind == "following"]
    for actor, before in zip(actors, began, strict=True):
        yield max(before, done.get(actor, 0))
