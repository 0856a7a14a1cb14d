"""A ship, a barge or an airdrop: it comes on a date of its own, or does not, and is brought off lot by lot."""

from __future__ import annotations

import math
from collections.abc import Generator
from dataclasses import dataclass
from itertools import islice
from typing import Any

from simulation.chance import Streams, draw_factors
from simulation.chance.levels import levels_at, scores_of
from simulation.chance.scatter import factors
from simulation.construction.plan.field_state import FieldState
from simulation.construction.plan.plan import Plan
from simulation.construction.plan.plan_parts import ShipmentPlan
from simulation.construction.plan.steps import DAILY_LIMIT, DISCHARGE, END, SHIPMENT
from simulation.construction.site.idle_steps import BY_CALENDAR
from simulation.construction.site.pallets.board import Board
from simulation.construction.site.site import Site, levels_of_run
from simulation.scenario.types.uncertainty.distributions import Constant

#: Dates that are drawn before one that is late counts as having none left. Planning value: it may then be one of a thousand.
_TRIES = 1_000


@dataclass(frozen=True)
class DrawnRun:
    """What the dates of a run's shipments follow from: its plan, its luck and its levels, without the run itself."""

    plan: Plan
    streams: Streams
    levels: dict[str, float]


def dates_missed(plan: Plan, run_number: int, seed: int) -> dict[str, int]:
    """Return on how many of its dates each shipment did not come in one run, by its key; 1 at most if it never comes again.

    Nothing is simulated: luck is keyed, so that this is what the run had. Left out is a shipment that is sure to come, or that
    had come before the run begins or is known never to.
    """
    drawn = DrawnRun(plan, streams := Streams(seed, run_number), levels_of_run(plan, streams))
    missed = {}
    for number, one in enumerate(plan.supply.shipments if plan.take_up is None else plan.take_up.ships):
        state = None if plan.take_up is not None else plan.state
        if one.chance < 1.0 and (state is None or state.shipped(number) == 0):
            _, count = _date_of(drawn, one, number, state)
            missed[one.key] = count if one.again is not None else min(count, 1)
    return missed


def _date_of(run: Site | DrawnRun, plan: ShipmentPlan, number: int, state: FieldState | None) -> tuple[float, int]:
    return draw_date(run, plan) if state is None else _draw_date_after(run, plan, number, state)


def shipment(site: Site, board: Board, plan: ShipmentPlan, number: int, actor: int) -> Generator[Any, Any, Any]:
    """Keep its pallets back from trucks and flights, come, and bring them to the yard.

    A lot waits at the gate for a day on which the daily limit has room. One that is known never to come is ordered again as far
    as its pallets are short. One that has no pallets to bring comes only where a task needs what else is on board.
    """
    stock, because = board.stock, site.zero
    brought = 0 if site.plan.state is None else site.plan.state.shipped(number)
    if brought is None:
        site.shipments.lost(number, site, because)
        return
    left = stock.keep_for_shipment(number, plan.pallets - brought)
    if not left and (brought or number not in site.shipments):
        site.shipments.came(number, site, because)
        return
    if not brought:
        lands, missed = _date_of(site, plan, number, site.plan.state)
        because = yield site.begin(SHIPMENT, max(0.0, lands - because[END]), because, actor)
        if missed and plan.again is None:
            stock.lose_shipment(number, because)
            site.shipments.lost(number, site, because)
            return
        if not left:
            site.shipments.came(number, site, because)
            return
    discharge = f"{plan.key}.discharge"
    luck = draw_factors(site.plan.scatters[discharge], site.streams, discharge, "")
    for factor in islice(luck, brought // plan.lot, None):
        pallets = min(plan.lot, left)
        because = yield site.begin(DISCHARGE, pallets * site.levels[discharge] * factor, because, actor, -1, pallets)
        while not stock.let_through(pallets, because[END]):
            because = yield site.pause(DAILY_LIMIT, stock.midnight_after(stock.day(because[END])), because, actor, BY_CALENDAR)
        load = board.arrive(pallets, because, stock.packed.next_of(pallets, number))
        stock.kept[number] -= pallets
        left -= pallets
        if not left:
            if number in site.shipments:
                site.shipments.came(number, site, (yield load.unloaded))
            return


def draw_date(site: Site | DrawnRun, plan: ShipmentPlan) -> tuple[float, int]:
    """Return the hour at which a shipment comes, or is known never to, and on how many dates before it has not come."""
    comes = f"{plan.key}.comes"
    factor = next(draw_factors(site.plan.scatters[comes], site.streams, comes, ""))
    missed = 0 if plan.chance == 1.0 else _dates_missed(plan, site.streams.stream("shipment comes", plan.key).random())
    return site.levels[comes] * factor + plan.put_off + missed * (plan.again or 0.0), missed


def _draw_date_after(site: Site | DrawnRun, plan: ShipmentPlan, number: int, state: FieldState) -> tuple[float, int]:
    """Return the same of a shipment that has not come by the moment at which the run begins, and of which nothing else is known.

    Its date is one of those after the moment, as likely as they were from the start: those before it are drawn anew. One that
    the log says is known, and its chance holds for it. Where no date is left, as of one that was sure to have come, it comes at
    once.
    """
    put_off = state.put_off[number] if number < len(state.put_off) else plan.put_off
    later, due = plan.put_off - put_off, dict(state.due).get(number)
    lands, missed = draw_date(site, plan)
    if due is not None:
        return due + later + missed * (plan.again or 0.0), missed
    comes, again = f"{plan.key}.comes", plan.again or 0.0
    level = next(level for level in site.plan.levels if level.key == comes)
    generator = site.streams.stream("shipment late", plan.key)
    sure = isinstance(level.level, Constant) and site.plan.scatters[comes] == 0.0 and plan.chance == 1.0
    for _ in range(1 if sure else _TRIES):
        if lands - later > state.at:
            return lands, missed
        value = levels_at([level], {score: float(generator.standard_normal()) for score in scores_of(level)})[comes]
        missed = 0 if plan.chance == 1.0 else _dates_missed(plan, float(generator.random()))
        lands = value * float(factors(site.plan.scatters[comes], generator, 1)[0]) + plan.put_off + missed * again
    while plan.again is not None and lands <= state.at:
        lands += plan.again
    return max(lands, state.at), missed if plan.again is not None else 0


def _dates_missed(plan: ShipmentPlan, luck: float) -> int:
    """Return on how many dates it does not come before the one on which it does; a better chance never gives more."""
    return int(math.log1p(-luck) / math.log1p(-plan.chance))
