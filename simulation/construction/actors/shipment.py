"""A ship, a barge or an airdrop: it comes on a date of its own, or does not, and is brought off lot by lot."""

from __future__ import annotations

import math
from collections.abc import Generator
from itertools import islice
from typing import Any

from simulation.chance import draw_factors
from simulation.construction.plan.plan_parts import ShipmentPlan
from simulation.construction.plan.steps import DAILY_LIMIT, DISCHARGE, END, SHIPMENT
from simulation.construction.site.idle_steps import BY_CALENDAR
from simulation.construction.site.pallets.board import Board
from simulation.construction.site.site import Site


def shipment(site: Site, board: Board, plan: ShipmentPlan, number: int, actor: int) -> Generator[Any, Any, Any]:
    """Keep its pallets back from trucks and flights, come, and bring them to the yard.

    A lot waits at the gate for a day on which the daily limit has room. One that is known never to come is ordered again as far
    as its pallets are short. Where the work had begun, one that is late by then comes at once, or on its next date. One that has
    no pallets to bring comes only where a task needs what else is on board.
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
        lands, missed = draw_date(site, plan)
        while plan.again is not None and lands < because[END]:
            lands += plan.again
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


def draw_date(site: Site, plan: ShipmentPlan) -> tuple[float, int]:
    """Return the hour at which a shipment comes, or is known never to, and on how many dates before it has not come."""
    missed, comes = _dates_missed(site, plan), f"{plan.key}.comes"
    factor = next(draw_factors(site.plan.scatters[comes], site.streams, comes, ""))
    return site.levels[comes] * factor + plan.put_off + missed * (plan.again or 0.0), missed


def _dates_missed(site: Site, plan: ShipmentPlan) -> int:
    """Return on how many dates it does not come before the one on which it does; a better chance never gives more."""
    if plan.chance == 1.0:
        return 0
    luck = site.streams.stream("shipment comes", plan.key).random()
    return int(math.log1p(-luck) / math.log1p(-plan.chance))
