"""Deliveries: trucks that cycle between port and yard, flights that land by a timetable, and what is ordered again."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

from simulation.build.board import Board
from simulation.build.plan import FleetPlan, FlightPlan
from simulation.build.site import Site
from simulation.build.steps import DAILY_LIMIT, END, HAUL, LOAD, RESUPPLY, TIMETABLE, WAY_BACK, Step
from simulation.chance import factors_of

Process = Generator[Any, Any, Any]


def truck(site: Site, board: Board, fleet: FleetPlan, number: int, actor: int) -> Process:
    """Bring load after load until none is left at the port."""
    stock, levels = board.stock, site.levels
    keys = [f"{fleet.key}.{trip}" for trip in ("load", "haul", "return")]
    load, haul, back = (levels[key] for key in keys)
    luck = [factors_of(site.plan.scatters[key], site.streams, key, str(number)) for key in keys]
    because, trip = site.zero, 0
    if fleet.since:
        because = yield site.late_start(fleet.since, actor)
    while pallets := stock.take(fleet.pallets):
        because = yield site.begin(LOAD, load * next(luck[0]), because, actor, -1, trip)
        while (leaves := stock.let_through(pallets, because[END])) > because[END]:
            because = yield site.pause(DAILY_LIMIT, leaves, because, actor)
        because = yield site.begin(HAUL, haul * next(luck[1]), because, actor, -1, trip)
        because = yield board.arrive(pallets, because).unloaded
        because = yield site.begin(WAY_BACK, back * next(luck[2]), because, actor, -1, trip)
        trip += 1


def flight(site: Site, board: Board, plan: FlightPlan, actor: int) -> Process:
    """Land by the timetable until nothing is left to bring.

    A load that is not yet unloaded does not hold the next one up; a landing that the daily limit puts off shifts no other.
    """
    because, number = site.zero, 0
    while pallets := board.stock.take(plan.pallets):
        lands = max(plan.first + number * plan.every, because[END])
        while (leaves := board.stock.let_through(pallets, lands)) > lands:
            lands = leaves
        because = yield site.begin(TIMETABLE, lands - because[END], because, actor, -1, number)
        board.arrive(pallets, because)
        number += 1


def resupply(site: Site, board: Board, pallets: int, actor: int, because: Step) -> Process:
    """Bring what was ordered again, after the time that takes."""
    because = yield site.begin(RESUPPLY, site.plan.supply.resupply, because, actor, -1, pallets)
    board.arrive(pallets, because)
