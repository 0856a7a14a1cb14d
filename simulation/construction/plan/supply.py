"""From a scenario to the plan of its supply: pallets on hand and to come, what brings them, and parts on pallets of their own."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from simulation.construction.plan.plan_parts import FleetPlan, FlightPlan, OwnPalletsPlan, ShipmentPlan, SupplyPlan, UsedPlan
from simulation.field import take_off
from simulation.scenario.tables.supply import ON_EVERY_PALLET

if TYPE_CHECKING:
    from simulation.scenario import Scenario
    from simulation.scenario.tables.ground import Mat
    from simulation.scenario.tables.supply import OwnPallets, Shipment


def supply_plan(scenario: Scenario) -> SupplyPlan:
    """Return the plan of a scenario's supply."""
    supply, starts = scenario.supply, scenario.starts
    apart = supply.half_mats != ON_EVERY_PALLET and may_be_packed_apart(scenario.mat)
    return SupplyPlan(
        full=scenario.mat.pallet_full,
        half=scenario.mat.pallet_half,
        on_hand=supply.on_hand,
        total=take_off(scenario).comes,
        spares=supply.spares,
        movable=supply.pools == "field",
        per_day_limit=supply.per_day_limit,
        loading_places=supply.loading_places,
        flights_first=supply.first_through == "flights",
        midnight=24.0 - (starts.hour + starts.minute / 60 + starts.second / 3600),
        resupply=supply.resupply,
        fleets=tuple(
            FleetPlan(f"supply.trucks.{number}", fleet.count, fleet.pallets, fleet.since)
            for number, fleet in enumerate(supply.trucks, start=1)
        ),
        flights=tuple(FlightPlan(flight.pallets, flight.first, flight.every) for flight in supply.flights),
        key_strips=_own_pallets(supply.key_strips),
        rail=_own_pallets(supply.rail),
        shipments=shipment_plans("supply.shipments", supply.shipments),
        half_first=supply.half_mats == "first" if apart else None,
    )


def may_be_packed_apart(mat: Mat) -> bool:
    """Return whether a pallet holds both kinds of mat, and half mats that would leave room for a full one."""
    return mat.pallet_full > 0 and mat.pallet_half > 1


def shipment_plans(key: str, shipments: Sequence[Shipment]) -> tuple[ShipmentPlan, ...]:
    """Return the plans of shipments that stand at a key."""
    return tuple(
        ShipmentPlan(f"{key}.{number}", shipment.pallets, shipment.put_off, shipment.chance, shipment.again, shipment.lot)
        for number, shipment in enumerate(shipments, start=1)
    )


def used_plan(scenario: Scenario) -> UsedPlan | None:
    """Return the plan of the state of a scenario's mats; None where all are new."""
    return None if scenario.used_mats is None else UsedPlan(*scenario.used_mats.set_aside)


def _own_pallets(parts: OwnPallets | None) -> OwnPalletsPlan | None:
    return None if parts is None else OwnPalletsPlan(parts.on_hand, parts.since, parts.load)
