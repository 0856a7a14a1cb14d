"""Which other ways of moving a field are tried: people moved from the one site to the other, and more pallets in stock?"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.construction.take_up.take_up_plan import plan_take_up
from simulation.field import take_off
from simulation.questions.move.second_site import stock_of

if TYPE_CHECKING:
    from simulation.scenario import Scenario

#: Shares of what the second field takes that are tried as stock beside what comes. Planning value.
STOCKS = (0.1, 0.25, 0.5, 1.0)


@dataclass(frozen=True)
class Way:
    """One way of moving a field: what it is called, the keys that make it of the files, and both scenarios."""

    name: str
    keys: str
    first: Scenario
    second: Scenario


def list_ways(first: Scenario, second: Scenario) -> tuple[tuple[Way, ...], tuple[Way, ...]]:
    """Return the splits of people and the stocks that are tried beside the move as written."""
    return tuple(_splits(first, second)), tuple(_stocks(first, second))


def _splits(first: Scenario, second: Scenario) -> list[Way]:
    """Return the move with one gang more at the first site, taken from the crews of the second, and the other way round.

    Where crews come from the first site when it is done, they are in no place twice, and nothing is tried.
    """
    if second.leg.crews:
        return []
    plan = plan_take_up(first)
    points, strips = plan.points, plan.strips
    gang = first.take_up.people + first.take_up.handlers
    least = second.laying.overhead + second.laying.team_size + 1
    ways = []
    for more in (-1, 1):
        crews = _with_people(second, -more * gang)
        if not 1 <= points + more <= strips or any(crew.people < least for crew in crews.crew):
            continue
        there = first.model_copy(update={"take_up": first.take_up.model_copy(update={"points": points + more})})
        people = ", ".join(f"crew.{crew.name}.people = {crew.people}" for crew in crews.crew)
        name = f"{gang} people {'fewer' if more < 0 else 'more'} at the first site"
        ways.append(Way(name, f"take_up.points = {points + more} there, {people} here", there, crews))
    return ways


def _with_people(second: Scenario, more: int) -> Scenario:
    """Return the second site with so many people more in its crews, spread evenly, the first crews taking one more."""
    count = len(second.crew)
    each, left = divmod(abs(more), count)
    sign = 1 if more >= 0 else -1
    crews = tuple(
        crew.model_copy(update={"people": crew.people + sign * (each + (place < left))}) for place, crew in enumerate(second.crew)
    )
    return second.model_copy(update={"crew": crews})


def _stocks(first: Scenario, second: Scenario) -> list[Way]:
    """Return the move with more pallets on hand at the second site, up to all that it takes."""
    needed, supply = take_off(second).need.pallets, second.supply
    numbers = dict.fromkeys(min(math.ceil(share * needed), needed - stock_of(second)) for share in STOCKS)
    ways = []
    for more in numbers:
        if more > 0:
            own = {"on_hand": supply.on_hand + more, "total": None if supply.total is None else supply.total + more}
            keys = ", ".join(f"supply.{key} = {value}" for key, value in own.items() if value is not None)
            stocked = second.model_copy(update={"supply": supply.model_copy(update=own)})
            ways.append(Way(f"{more:,} pallets more in stock", f"{keys} here", first, stocked))
    return ways
