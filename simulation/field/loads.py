"""How many loads bring the pallets, and what limits a load: payload, floor positions, or what is written?"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.scenario.tables.scenario import Scenario
    from simulation.scenario.tables.supply import Flights, Trucks


@dataclass(frozen=True)
class Load:
    """The loads of one fleet or timetable, if it brought everything alone but what comes by shipment.

    Attributes
    ----------
    carrier : str
    pallets : int
        Of one load.
    limits : dict of str to int
        Pallets that each limit lets on: as written, payload, floor positions.
    governed_by : str
        The limit that lets on the fewest.
    loads : int
    lifts : int
        With which a forklift unloads one load.
    """

    carrier: str
    pallets: int
    limits: dict[str, int]
    governed_by: str
    loads: int
    lifts: int


@dataclass(frozen=True)
class Loads:
    """What is brought and by what.

    Attributes
    ----------
    pallets : int
        To be brought: what comes and is not on hand, and the pallets of accessories.
    shipped : int
        Of these, those that come, or go, by shipment.
    gross : float
        Pounds of a pallet of mats.
    per_lift : int
        Pallets that a forklift lifts at once.
    at_its_limit : bool
        Whether these are all that it can lift.
    by : tuple of Load
    """

    pallets: int
    shipped: int
    gross: float
    per_lift: int
    at_its_limit: bool
    by: tuple[Load, ...]


def count_loads(scenario: Scenario, pallets: int) -> Loads:
    """Return the loads that bring so many pallets, or take them away, all taken to be as heavy as one of mats."""
    gross, capacity = scenario.mat.gross_pallet, scenario.forklifts.capacity
    per_lift = math.floor(capacity / gross + 1e-9)
    fleets: list[tuple[str, Trucks | Flights]]
    fleets = [(f"truck {number}", fleet) for number, fleet in enumerate(scenario.supply.trucks, 1)]
    fleets += [(f"flight {number}", flight) for number, flight in enumerate(scenario.supply.flights, 1)]
    shipments = scenario.take_up.shipments if scenario.takes_up else scenario.supply.shipments
    shipped = min(pallets, sum(shipment.pallets for shipment in shipments))
    by = tuple(_load(name, fleet, pallets - shipped, gross, per_lift) for name, fleet in fleets)
    return Loads(pallets, shipped, gross, per_lift, per_lift > 0 and capacity - per_lift * gross < 0.05 * gross, by)


def _load(name: str, carrier: Trucks | Flights, pallets: int, gross: float, per_lift: int) -> Load:
    limits = {"as written": carrier.pallets, **limits_of(carrier, gross)}
    # Where a limit of the carrier is as tight as what is written, it is the one to be told of.
    governed_by = min(reversed(limits), key=lambda limit: limits[limit])
    most = limits[governed_by]
    at_once = max(1, min(per_lift, carrier.pallets_per_position))
    return Load(name, most, limits, governed_by, math.ceil(pallets / most) if most else 0, math.ceil(most / at_once))


def limits_of(carrier: Trucks | Flights, gross: float) -> dict[str, int]:
    """Return how many pallets of so many pounds the carrier's own limits let on."""
    limits: dict[str, int] = {}
    if carrier.payload is not None:
        limits["payload"] = math.floor(carrier.payload / gross + 1e-9)
    if carrier.positions is not None:
        limits["floor positions"] = carrier.positions * carrier.pallets_per_position
    return limits
