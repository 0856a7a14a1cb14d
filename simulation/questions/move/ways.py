"""Which other ways of moving a field are tried: people moved from the one site to the other, and more pallets in stock?"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.field import take_off
from simulation.questions.move.second_site import stock_of

if TYPE_CHECKING:
    from simulation.scenario import Scenario

#: People of each crew of the first site that are tried at the second instead; below zero the other way. Planning value.
MOVED = (4, 8, -4, -8)
#: Shares of what the second field takes that are tried as stock beside what comes. Planning value.
STOCKS = (0.1, 0.25, 0.5, 1.0)


@dataclass(frozen=True)
class Way:
    """One way of moving a field: what it is called, the keys that make it of the files, and both scenarios."""

    name: str
    keys: str
    first: Scenario
    second: Scenario

    @property
    def shift(self) -> float:
        """Hours from the start at the second site to that at the first."""
        return (self.first.starts - self.second.starts).total_seconds() / 3600.0


def list_ways(first: Scenario, second: Scenario) -> tuple[tuple[Way, ...], tuple[Way, ...]]:
    """Return the splits of people and the stocks that are tried beside the move as written."""
    return tuple(_splits(first, second)), tuple(_stocks(first, second))


def _splits(first: Scenario, second: Scenario) -> list[Way]:
    """Return the move with people taken from each crew of the first site and added to the crews of the second, and back.

    Where crews come from the first site when it is done, nothing is tried: they are at both already, one after the other.
    """
    if second.leg.crews:
        return []
    ways = []
    for each in MOVED:
        there = _with_people(first, -each * len(first.crew))
        here = _with_people(second, each * len(first.crew))
        if _large_enough(there) and _large_enough(here):
            count = abs(each) * len(first.crew)
            name = f"{count} people {'fewer' if each > 0 else 'more'} at the first site"
            ways.append(Way(name, f"{_people(there)} there, {_people(here)} here", there, here))
    return ways


def _with_people(scenario: Scenario, more: int) -> Scenario:
    """Return a site with so many people more in its crews, or fewer, spread evenly: the first crews are one more of them."""
    each, left = divmod(abs(more), len(scenario.crew))
    sign = 1 if more >= 0 else -1
    people = [crew.people + sign * (each + (index < left)) for index, crew in enumerate(scenario.crew)]
    crews = (crew.model_copy(update={"people": count}) for crew, count in zip(scenario.crew, people, strict=True))
    return scenario.model_copy(update={"crew": tuple(crews)})


def _large_enough(scenario: Scenario) -> bool:
    """Return whether every crew can carry a mat: of one that takes up, those who lift."""
    least = scenario.laying.overhead + scenario.laying.team_size + 1
    beside = scenario.take_up.handlers_of if scenario.takes_up else (lambda _: 0)
    return all(crew.people - beside(crew.people) >= least for crew in scenario.crew)


def _people(scenario: Scenario) -> str:
    """Return the keys that give crews their people."""
    counts = {crew.people for crew in scenario.crew}
    if len(counts) == 1:
        return f"crew.*.people = {counts.pop()}"
    return ", ".join(f"crew.{crew.name}.people = {crew.people}" for crew in scenario.crew)


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
