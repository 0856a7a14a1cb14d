"""What carries more than it can? Loads against payload and floor positions, and a forklift against a pallet."""

from __future__ import annotations

from collections.abc import Iterator

from simulation.scenario.tables.scenario import Scenario
from simulation.scenario.tables.supply import Flights, Trucks
from simulation.scenario.types.mistakes import Mistake
from simulation.scenario.types.unreadable import apply_rule


def overloaded(scenario: Scenario) -> Iterator[Mistake]:
    """Tell of loads and pallets that are more than what is to carry them takes."""
    yield from apply_rule(_lift, scenario)
    for kind, carriers in (("trucks", scenario.supply.trucks), ("flights", scenario.supply.flights)):
        for number, carrier in enumerate(carriers, 1):
            yield from apply_rule(_payload, f"supply.{kind}.{number}", carrier, scenario)
            yield from apply_rule(_positions, f"supply.{kind}.{number}", carrier)


def _lift(scenario: Scenario) -> Iterator[Mistake]:
    capacity, gross = scenario.forklifts.capacity, scenario.mat.gross_pallet
    if capacity < gross:
        unit = scenario.measures.mass
        wrong = f"{unit.text(capacity)} do not lift a pallet of {unit.text(gross)}"
        yield Mistake("forklifts.capacity", wrong, f"write at least {unit.quoted(gross)}, or put fewer mats on a pallet")


def _payload(here: str, carrier: Trucks | Flights, scenario: Scenario) -> Iterator[Mistake]:
    gross = scenario.mat.gross_pallet
    if carrier.payload is not None and carrier.pallets * gross > carrier.payload + 1e-6:
        most = int(carrier.payload / gross + 1e-9)
        unit = scenario.measures.mass
        wrong = f"{carrier.pallets} pallets of {unit.text(gross)} are more than the payload of {unit.text(carrier.payload)}"
        right = f"write at most {most}" if most else "not one can be carried; check the payload"
        yield Mistake(f"{here}.pallets", wrong, right)


def _positions(here: str, carrier: Trucks | Flights) -> Iterator[Mistake]:
    if carrier.positions is not None:
        most = carrier.positions * carrier.pallets_per_position
        if carrier.pallets > most:
            places = f"{carrier.positions} floor positions, {carrier.pallets_per_position} on each"
            yield Mistake(f"{here}.pallets", f"{carrier.pallets} pallets do not stand on {places}", f"write at most {most}")
