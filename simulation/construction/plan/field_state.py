"""How does the field stand at a moment after the start? What lies where, who stands where, and what is under way.

A run that begins there goes on from it: the hours before are as they were lived, and are drawn by nobody. All moments are hours
since the start.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from simulation.construction.plan.packing import Mix, count_mats

#: What a truck is at, in the order of its trip.
AT_PORT, LOADING, HELD, COMING, UNLOADING, RETURNING = range(6)
#: The same in words, as a log says it.
TRUCK_AT: Final = ("at the port", "loading", "held", "coming", "unloading", "returning")


@dataclass(frozen=True)
class EdgeState:
    """What stands at one laying edge.

    Attributes
    ----------
    laid : int
        Rows, in laying order; a row that is begun counts as not begun.
    graded : float or None
        Rows whose ground is ready, the part of the next that is done counted; None where nobody says.
    staged : int
        Pallets set down and not opened.
    open_full, open_half : int
        Mats of opened pallets that are not laid.
    sections : int
        Of a guide rail that are set.
    strip_set : bool
        Whether the key strip before the next row is set already.
    prepared : bool
        Whether its area's connectors and starter key strip are set.
    end_stands : bool
        Whether a temporary end stands there; one that is being made does not yet, one that is being taken up still does.
    staged_hold : tuple of (int, int)
        Full and half mats of each of the pallets set down, where not every pallet holds the same.
    """

    laid: int = 0
    graded: float | None = None
    staged: int = 0
    open_full: int = 0
    open_half: int = 0
    sections: int = 0
    strip_set: bool = False
    prepared: bool = False
    end_stands: bool = False
    staged_hold: tuple[Mix, ...] = ()


@dataclass(frozen=True)
class TruckState:
    """What one truck is at, since when, and with how many pallets on it; of one in the yard also what each of them holds."""

    stage: int = AT_PORT
    since: float = 0.0
    pallets: int = 0
    hold: tuple[Mix, ...] = ()


@dataclass(frozen=True)
class PackedApart:
    """Which mats have come, where full and half mats are packed apart.

    Attributes
    ----------
    yard : tuple of (int, int)
        Full and half mats of each pallet in the yard.
    loads : tuple of tuple of (int, int)
        The same of each load that is not unloaded, in the order of ``FieldState.loads``.
    by_port : (int, int)
        Full and half mats that trucks and flights have brought, those that wait on them included.
    by_shipments : tuple of (int, int)
        The same of each shipment.
    came : (int, int)
        All that have come, with those that were there at the start and what was ordered again.
    """

    yard: tuple[Mix, ...]
    loads: tuple[tuple[Mix, ...], ...]
    by_port: Mix
    by_shipments: tuple[Mix, ...]
    came: Mix


@dataclass(frozen=True)
class FieldState:
    """The field at a moment.

    Attributes
    ----------
    at : float
        The moment.
    edges : tuple of EdgeState
        In the order of ``Plan.edges``.
    crews : tuple of int
        Laying edge where each crew was the last to lay; −1 where it was at none.
    rows_by_crew : tuple of int
        Rows that each has laid, for what it learns.
    yard : int
        Pallets in the yard.
    came : int
        Pallets that have come to the yard, those there at the start and those still on their trucks included.
    came_today : int
        Those of them that came since midnight.
    rejected : (int, int)
        Full and half mats found damaged.
    trucks : tuple of tuple of TruckState
        Of each fleet. Empty where nobody says: then they stand at the port.
    loads : tuple of int
        Pallets of each load in the yard that is not unloaded, but for those of trucks.
    forklifts : tuple of (float or None)
        Since when each has been under repair; None where it is in order.
    orders : tuple of (int, float)
        Pallets that were ordered again, and when.
    reached : tuple of (float or None)
        When each milestone was reached.
    swept_since : tuple of (float or None)
        Since when the final sweep, inspection and marking of each has been under way.
    followed : tuple of int
        Steps done of each work that follows rows.
    shipments : tuple of (int or None)
        Pallets that each has brought to the yard, those that wait there included; None where it is known never to come.
    due : tuple of (int, float)
        Shipments that have not come, of which the log says when they will, and the moment of each.
    put_off : tuple of float
        By how many hours each shipment was put off in the scenario that the log tells of.
    wet : bool or None
        Whether it rains at the moment; None where nobody says.
    apart : PackedApart or None
        Which mats have come; None where every pallet holds the same.
    lived : tuple of (float, float)
        Rising moments, and the share of the field that lay at each.
    """

    at: float
    edges: tuple[EdgeState, ...]
    crews: tuple[int, ...]
    rows_by_crew: tuple[int, ...]
    yard: int
    came: int
    came_today: int = 0
    rejected: tuple[int, int] = (0, 0)
    trucks: tuple[tuple[TruckState, ...], ...] = ()
    loads: tuple[int, ...] = ()
    forklifts: tuple[float | None, ...] = ()
    orders: tuple[tuple[int, float], ...] = ()
    reached: tuple[float | None, ...] = ()
    swept_since: tuple[float | None, ...] = ()
    followed: tuple[int, ...] = ()
    shipments: tuple[int | None, ...] = ()
    due: tuple[tuple[int, float], ...] = ()
    put_off: tuple[float, ...] = field(default=(), compare=False)
    wet: bool | None = None
    apart: PackedApart | None = None
    lived: tuple[tuple[float, float], ...] = field(default=(), compare=False)

    @property
    def ordered(self) -> int:
        """Pallets ordered again, come or not."""
        return sum(pallets for pallets, _ in self.orders)

    @property
    def on_trucks(self) -> int:
        """Pallets that have left the port's stock and are not in the yard, nor waiting there: loading, held, or on the road."""
        return sum(truck.pallets for fleet in self.trucks for truck in fleet if LOADING <= truck.stage <= COMING)

    @property
    def unloaded(self) -> int:
        """Pallets that have come and stand on no truck any more, those there at the start included."""
        return self.came - self.waiting

    @property
    def waiting(self) -> int:
        """Pallets in the yard that stand on what brought them."""
        return sum(self.loads) + sum(truck.pallets for fleet in self.trucks for truck in fleet if truck.stage == UNLOADING)

    @property
    def mats_waiting(self) -> Mix:
        """Full and half mats in the yard that stand on what brought them, where they are packed apart."""
        on_trucks = count_mats(pallet for fleet in self.trucks for truck in fleet for pallet in truck.hold)
        on_loads = count_mats(pallet for load in (self.apart.loads if self.apart else ()) for pallet in load)
        return on_trucks[0] + on_loads[0], on_trucks[1] + on_loads[1]

    def shipped(self, number: int) -> int | None:
        """Return how many pallets a shipment has brought; None where it is known never to come."""
        return self.shipments[number] if number < len(self.shipments) else 0

    def is_done(self, follows: int, steps: int) -> bool:
        """Return whether work beside laying that has so many steps was done by then."""
        return follows < len(self.followed) and self.followed[follows] >= steps

    def truck(self, fleet: int, number: int) -> TruckState:
        """Return what one truck is at."""
        return self.trucks[fleet][number] if fleet < len(self.trucks) and number < len(self.trucks[fleet]) else TruckState()

    def down_since(self, forklift: int) -> float | None:
        """Return since when a forklift has been under repair; None where it is in order, or was not there."""
        return self.forklifts[forklift] if forklift < len(self.forklifts) else None
