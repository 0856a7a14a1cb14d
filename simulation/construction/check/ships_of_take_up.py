"""Which ships that take pallets away have room that nothing will fill, or may leave pallets behind?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from simulation.field.coming_back import count_coming_back
from simulation.scenario import Mistake

if TYPE_CHECKING:
    from simulation.scenario import Scenario

#: Room on ships against the fewest pallets that come back, above which it is asked about: begun pallets fill a few more.
#: Planning value.
ROOM = 1.25


def ships_of_take_up(scenario: Scenario) -> Iterator[Mistake]:
    """Yield a line for more room on ships than pallets come back, and for each whose pallets stay where it never comes."""
    if not scenario.takes_up:
        return
    ships, supply = scenario.take_up.shipments, scenario.supply
    room, back = sum(ship.pallets for ship in ships), count_coming_back(scenario).pallets
    if room > ROOM * back:
        wrong = f"{room:,} pallets find room on the ships, and {back:,} or a few more come back"
        right = "write fewer; trucks and flights take none of what is kept for ships" if supply.trucks or supply.flights else ""
        yield Mistake("take_up.shipments", wrong, right or "write fewer; leave it if the room is meant")
    for number, ship in enumerate(ships, 1):
        if ship.again is None and ship.chance < 1.0 and not (supply.trucks or supply.flights):
            never = f"{100 * (1.0 - ship.chance):.0f} %"
            wrong = f"never comes with a chance of {never}, and nothing else then takes its {ship.pallets:,} pallets"
            right = "write again, how much later it may come, or leave it if it is meant"
            yield Mistake(f"take_up.shipments.{number}.chance", wrong, right)
