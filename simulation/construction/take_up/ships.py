"""A ship or a barge that takes pallets away: it comes on a date of its own, or does not, and takes them on board lot by lot."""

from __future__ import annotations

import math
from collections.abc import Generator
from typing import Any

from simulation.chance import draw_factors
from simulation.construction.actors.shipment import draw_date
from simulation.construction.plan.plan_parts import ShipmentPlan
from simulation.construction.plan.steps import NUMBER, ON_BOARD, SHIPMENT
from simulation.construction.site.site import Site
from simulation.construction.take_up.coming_up import ComingUp
from simulation.construction.take_up.leaving import load_up
from simulation.construction.take_up.pallet_up import LoadOff


class Ship:
    """One ship of one take-up.

    Parameters
    ----------
    site : Site
    field : ComingUp
    plan : ShipmentPlan
    number, actor : int
        Its place among the ships, and its number as an actor.
    """

    def __init__(self, site: Site, field: ComingUp, plan: ShipmentPlan, number: int, actor: int) -> None:
        self.site, self.field, self.plan, self.number, self.actor = site, field, plan, number, actor
        self.lots: list[int] = []
        self.bringing = self.last = 0.0
        discharge = f"{plan.key}.discharge"
        self.level = site.levels[discharge]
        self.luck = draw_factors(site.plan.scatters[discharge], site.streams, f"take up {discharge}", "")

    def work(self) -> Generator[Any, Any, None]:
        """Come, wait for lot after lot, and sail when it is full; see `sail` for one that is not."""
        site, field, plan = self.site, self.field, self.plan
        comes, missed = draw_date(site, plan)
        because = yield site.begin(SHIPMENT, comes, site.zero, self.actor)
        if missed and plan.again is None:
            field.keep_for_ship(self.number, 0, because)
            return
        field.sailings.append(self.sail)
        left = plan.pallets
        while left:
            lot = min(plan.lot, left)
            because = yield from load_up(site, field, field.ships, lot, self.actor, because, self.on_board)
            left -= because[NUMBER]
            field.keep_for_ship(self.number, left, because)
            because = yield site.begin(ON_BOARD, self.bringing, because, self.actor, -1, because[NUMBER])
        self.sail()

    def on_board(self, hour: float, pallets: int) -> float:
        """Note a lot that has been put on, and return when it is off the site: not before the ship sails."""
        self.lots.append(len(self.field.off))
        self.bringing = pallets * self.level * next(self.luck)
        self.last = self.site.clocks["port"].finish(hour, self.bringing)
        return math.inf

    def sail(self) -> None:
        """Leave with all that is on board: full, or with the last that there is."""
        off = self.field.off
        for lot in self.lots:
            off[lot] = LoadOff(self.last, off[lot].pallets)
