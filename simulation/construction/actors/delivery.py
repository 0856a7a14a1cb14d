"""Deliveries: trucks that cycle between port and yard, flights that land by a timetable, and what is ordered again."""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Iterator

from simulation.chance import draw_factors, left_of
from simulation.conditions import WorkClock
from simulation.conditions.clock.clock import SLACK
from simulation.construction.plan.field_state import AT_PORT, COMING, HELD, LOADING, RETURNING, UNLOADING
from simulation.construction.plan.plan_parts import FleetPlan, FlightPlan
from simulation.construction.plan.steps import (
    ARRIVAL,
    DAILY_LIMIT,
    END,
    HAUL,
    LATE_START,
    LOAD,
    RESUPPLY,
    TIMETABLE,
    WAY_BACK,
    Step,
)
from simulation.construction.site.edges.laying_edge import Event
from simulation.construction.site.event_loop import Process
from simulation.construction.site.idle_steps import BY_CALENDAR
from simulation.construction.site.pallets.board import Board
from simulation.construction.site.pallets.stock import DAY_SLACK, Stock
from simulation.construction.site.site import Site

#: Hours of driving that are more than the last bits of a sum of hours, as a rule.
_NEAR = 1e-12
#: Of the hours to midnight, until less is left than matters.
_HALVINGS = 50


class LoadingPlaces:
    """The places at the port where trucks are loaded; who finds none waits for the end of another's loading.

    Attributes
    ----------
    free : int
    """

    def __init__(self, places: int) -> None:
        self.free = places
        self._waiting: deque[Event] = deque()

    def take(self) -> bool:
        """Take a place, if one is free; return whether one was."""
        if not self.free:
            return False
        self.free -= 1
        return True

    def wait(self, event: Event) -> Event:
        """Return the event, which is fired when a place is handed over."""
        self._waiting.append(event)
        return event

    def leave(self, step: Step) -> None:
        """Hand a place over to who has waited longest."""
        if self._waiting:
            self._waiting.popleft().succeed(step)
        else:
            self.free += 1


def truck(site: Site, board: Board, fleet: FleetPlan, number: int, actor: int, port: LoadingPlaces | None = None) -> Process:
    """Bring load after load until none is left at the port.

    The daily limit counts a load on the day on which it comes to the yard; a truck waits at the port until that day has room.
    """
    stock, levels = board.stock, site.levels
    keys = [f"{fleet.key}.{trip}" for trip in ("load", "haul", "return")]
    load, haul, back = (levels[key] for key in keys)
    luck = [draw_factors(site.plan.scatters[key], site.streams, key, str(number)) for key in keys]
    because, trip = site.zero, 0
    if site.plan.state is not None:
        because = yield from trip_under_way(site, board, fleet, number, actor, port, luck)
        trip = 1
    if fleet.since > because[END]:
        because = yield site.pause(LATE_START, fleet.since, because, actor)
    while stock.to_come:
        if port is not None and not port.take():
            because = yield port.wait(site.env.event())
        pallets = stock.take(fleet.pallets)
        if not pallets:  # others took the last ones while this one waited
            if port is not None:
                port.leave(because)
            return
        because = yield site.begin(LOAD, load * next(luck[0]), because, actor, -1, trip)
        if port is not None:
            port.leave(because)
        because = yield from bring(site, board, pallets, haul * next(luck[1]), because, actor, trip)
        because = yield site.begin(WAY_BACK, back * next(luck[2]), because, actor, -1, trip)
        trip += 1


def bring(
    site: Site, board: Board, pallets: int, hours: float, because: Step, actor: int, trip: int, loaded_before: bool = False
) -> Process:
    """Drive a load to the yard when the daily limit has room for it; return the step of its being unloaded."""
    stock, clock = board.stock, site.clocks["haul"]
    while not stock.let_through(pallets, clock.finish(because[END], hours)):
        because = yield site.pause(DAILY_LIMIT, next_day(stock, clock, because[END], hours), because, actor)
    because = yield site.begin(HAUL, hours, because, actor, -1, trip)
    mats = stock.packed.on_road(pallets) if loaded_before else stock.packed.next_of(pallets)
    return (yield board.arrive(pallets, because, mats).unloaded)


def trip_under_way(
    site: Site, board: Board, fleet: FleetPlan, number: int, actor: int, port: LoadingPlaces | None, luck: list[Iterator[float]]
) -> Process:
    """Bring the trip to its end that a truck was on when the run began, each part of it as one that has lasted so long."""
    assert site.plan.state is not None
    fleet_number = site.plan.supply.fleets.index(fleet)
    was = site.plan.state.truck(fleet_number, number)
    because = site.zero

    def left(trip_part: str, factors: Iterator[float], clock: str, stage: int) -> float:
        key = f"{fleet.key}.{trip_part}"
        spent = site.clocks[clock].worked(was.since, site.env.now) if was.stage == stage else 0.0
        return left_of(site.levels[key], site.plan.scatters[key], next(factors), spent)

    if was.stage == AT_PORT:
        return because
    if was.stage == LOADING:
        if port is not None:
            port.take()
        because = yield site.begin(LOAD, left("load", luck[0], "port", LOADING), because, actor, -1, 0)
        if port is not None:
            port.leave(because)
    if was.stage in (LOADING, HELD):
        because = yield from bring(site, board, was.pallets, left("haul", luck[1], "haul", COMING), because, actor, 0, True)
    elif was.stage == COMING:
        hours = left("haul", luck[1], "haul", COMING)
        board.stock.pass_gate(was.pallets, site.clocks["haul"].finish(because[END], hours))
        because = yield site.begin(HAUL, hours, because, actor, -1, 0)
        because = yield board.arrive(was.pallets, because, board.stock.packed.on_road(was.pallets)).unloaded
    elif was.stage == UNLOADING:
        because = yield board.arrive(was.pallets, because, was.hold).unloaded
    return (yield site.begin(WAY_BACK, left("return", luck[2], "haul", RETURNING), because, actor, -1, 0))


def next_day(stock: Stock, clock: WorkClock, hour: float, haul: float) -> float:
    """Return the earliest hour at which a truck that would leave at `hour` comes to the yard a day later than it would now."""
    day = stock.day(clock.finish(hour, haul))

    def comes_later(leaves: float) -> bool:
        comes = clock.finish(leaves, haul)
        return math.isinf(comes) or stock.day(comes) > day

    early, late = hour, stock.midnight_after(day)
    # Who leaves while the clock runs as long as the haul until the day ends comes the same day: where that is so just before this
    # moment and no more just after it, only between the two it is asked. In a stop the day ends when the clock's slack does.
    today, tomorrow = early, late
    for ends in (clock.worked(hour, late - DAY_SLACK), clock.worked(hour, late) + SLACK):
        before, after = clock.finish(hour, ends - haul - _NEAR), clock.finish(hour, ends - haul + _NEAR)
        if before < after < late and comes_later(after) and not comes_later(before):
            today, tomorrow = before, after
            break
    if late - early <= 2**_HALVINGS * math.ulp(early):  # they come to neighbouring numbers, from wherever they begin
        early, late = today, tomorrow
    for _ in range(_HALVINGS):
        middle = 0.5 * (early + late)
        if not early < middle < late:  # no number lies between them
            break
        if middle >= tomorrow or (middle > today and comes_later(middle)):
            late = middle
        else:
            early = middle
    return late


def flight(site: Site, board: Board, plan: FlightPlan, number: int, actor: int) -> Process:
    """Land by the timetable until nothing is left to bring.

    A load that is not yet unloaded does not hold the next one up; a landing that the daily limit puts off shifts no other. What
    it is put off by is the limit's, by day and by night, since flights keep no shift.
    """
    because, stock = site.zero, board.stock
    # What the timetable had before the run began has landed, or never will.
    landing = max(0, math.ceil((because[END] - plan.first) / plan.every - 1e-9)) if because[END] else 0
    while pallets := stock.take(plan.pallets):
        lands = by_timetable = max(plan.first + landing * plan.every, because[END])
        stock.flights_landed[number] = landing + 1
        while not stock.let_through(pallets, lands, flies=True):
            lands = stock.midnight_after(stock.day(lands))
        because = yield site.begin(TIMETABLE, by_timetable - because[END], because, actor, -1, landing)
        if lands > by_timetable:
            because = yield site.pause(DAILY_LIMIT, lands, because, actor, BY_CALENDAR)
        board.arrive(pallets, because, stock.packed.next_of(pallets))
        landing += 1
    stock.flights_landed[number] = None


def arrivals(site: Site, board: Board, actor: int) -> Process:
    """Bring what comes at hours that are known when the run begins, load after load."""
    because, stock = site.zero, board.stock
    for number, arrival in enumerate(sorted(site.plan.supply.arrivals, key=lambda arrival: arrival.hour)):
        if arrival.hour > 0.0:
            because = yield site.begin(ARRIVAL, arrival.hour - because[END], because, actor, -1, number)
            stock.pass_gate(len(arrival.pallets), because[END])
            board.arrive(len(arrival.pallets), because, arrival.pallets)


def resupply(site: Site, board: Board, pallets: int, actor: int, because: Step, ordered: float | None = None) -> Process:
    """Bring what was ordered again, after the time that takes; `ordered` is when, if that was before the run began."""
    hours = site.plan.supply.resupply - (0.0 if ordered is None else because[END] - ordered)
    because = yield site.begin(RESUPPLY, hours, because, actor, -1, pallets)
    board.arrive(pallets, because, board.stock.packed.of_order(pallets))
