"""Loads out of the yard: trucks make the haul of laying the other way round, aircraft come by timetable, one daily limit."""

from __future__ import annotations

from bisect import insort
from collections.abc import Callable
from functools import partial
from operator import itemgetter

from simulation.chance import draw_factors
from simulation.conditions import WorkClock
from simulation.construction.plan.plan_parts import FleetPlan, FlightPlan
from simulation.construction.plan.steps import (
    DAILY_LIMIT,
    DRIVE_BACK,
    END,
    HAUL_AWAY,
    LATE_START,
    START,
    TIMETABLE,
    UNLOAD_AWAY,
    Step,
)
from simulation.construction.site.edges.laying_edge import Event
from simulation.construction.site.event_loop import Process
from simulation.construction.site.idle_steps import BY_CALENDAR
from simulation.construction.site.pallets.stock import Stock
from simulation.construction.site.site import Site
from simulation.construction.take_up.coming_up import ComingUp, PutOn, Queue
from simulation.construction.take_up.pallet_up import PalletUp


def truck(site: Site, field: ComingUp, fleet: FleetPlan, number: int, actor: int) -> Process:
    """Bring load after load to the port."""
    levels = site.levels
    keys = [f"{fleet.key}.{trip}" for trip in ("haul", "load", "return")]
    haul, unload, back = (levels[key] for key in keys)
    luck = [draw_factors(site.plan.scatters[key], site.streams, f"take up {key}", str(number)) for key in keys]
    road, port = site.clocks["haul"], site.clocks["port"]
    because, trip = site.zero, 0
    if fleet.since > site.env.now:
        because = yield site.pause(LATE_START, fleet.since, because, actor)
    while True:
        way, put = haul * next(luck[0]), unload * next(luck[1])
        because = yield from load_up(
            site, field, field.trucks, fleet.pallets, actor, because, partial(_at_port, road, way, port, put)
        )
        because = yield site.begin(HAUL_AWAY, way, because, actor, -1, trip)
        because = yield site.begin(UNLOAD_AWAY, put, because, actor, -1, trip)
        because = yield site.begin(DRIVE_BACK, back * next(luck[2]), because, actor, -1, trip)
        trip += 1


def _at_port(road: WorkClock, way: float, port: WorkClock, put: float, hour: float, _: int) -> float:
    """Return when a load is off a truck that sets out at an hour."""
    return port.finish(road.finish(hour, way), put)


def _on_board(hour: float, _: int) -> float:
    """Return when a load is off the site that an aircraft has taken at an hour."""
    return hour


def load_up(
    site: Site, field: ComingUp, queue: Queue, most: int, actor: int, because: Step, off: Callable[[float, int], float]
) -> Process:
    """Wait in a queue for a load, or what is left of the field, and for room on a day; return the step of its loading."""
    while True:
        there = field.there_for(queue)
        if there >= most or (field.all_in and there):
            pallets = field.take(min(most, there))
        else:
            event = site.env.event()
            queue.append((most, event))
            because = yield event
            pallets = field.taken.pop(id(event))
        room = _room(field.stock, site.env.now)
        if room < len(pallets):
            room = max(room, 0)
            pallets, rest = pallets[:room], pallets[room:]
            field.give_back(rest, because)
        if pallets:
            return (yield _put_on(site, field, pallets, because, off))
        midnight = field.stock.midnight_after(field.stock.day(site.env.now))
        ship = queue is field.ships  # which keeps no shift on the road
        because = yield site.pause(DAILY_LIMIT, midnight, because, actor, BY_CALENDAR if ship else "")


def flight(site: Site, field: ComingUp, plan: FlightPlan, number: int, actor: int) -> Process:
    """Land by the timetable, and take what the yard and the day's limit give.

    What a landing waits for counts from when its load was there: an aircraft that comes before it takes nothing away.
    """
    stock, landing = field.stock, 0
    before: Step = site.zero
    while True:
        stock.flights_landed[number] = landing + 1
        yield site.env.timeout(max(0.0, plan.first + landing * plan.every - site.env.now))
        there = min(plan.pallets, field.there_for(field.trucks), _room(stock, site.env.now, flies=True))
        if there > 0:
            pallets = field.take(there)
            came = field.last_in
            because = came if came is not None and came[END] > before[END] else before
            step = (because[END], site.env.now, because, site.env.now - because[END], TIMETABLE, actor, -1, landing)
            insort(site.trace, step, key=itemgetter(START))
            before = yield _put_on(site, field, pallets, step, _on_board)
        landing += 1


def _put_on(
    site: Site, field: ComingUp, pallets: tuple[PalletUp, ...], because: Step, off: Callable[[float, int], float]
) -> Event:
    """Have pallets put on by a forklift, and return the event of its being done."""
    stock = field.stock
    day = stock.day(site.env.now)
    stock.through_gate[day] = stock.through_gate.get(day, 0) + len(pallets)
    loaded = site.env.event()
    field.job(PutOn(pallets, len(pallets) * site.levels["take_up.load_one"], loaded, off), because)
    return loaded


def _room(stock: Stock, hour: float, flies: bool = False) -> int:
    """Return how many pallets may still leave on the day of an hour."""
    limit, day = stock.plan.per_day_limit, stock.day(hour)
    if limit is None:
        return 1_000_000
    return limit - stock.through_gate.get(day, 0) - (0 if flies else stock.kept_for_flights(day))
