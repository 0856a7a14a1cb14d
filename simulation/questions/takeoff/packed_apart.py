"""How many of the pallets that come hold half mats alone, where full and half mats are packed apart?"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Any

from simulation.construction.plan.packing import pack
from simulation.construction.plan.supply import supply_plan

if TYPE_CHECKING:
    from simulation.scenario import Scenario


@dataclass(frozen=True)
class PackedPallets:
    """Pallets that are to come: of full mats, in whose odd place a half one may lie, of half mats alone, and of both."""

    full: int
    half: int
    both: int
    half_first: bool


def count_packed(scenario: Scenario) -> PackedPallets | None:
    """Return what the pallets hold that are to come; None where every pallet holds the same.

    What trucks and flights bring is packed as one delivery, and so is each shipment.
    """
    supply = supply_plan(scenario)
    if supply.half_first is None:
        return None
    deliveries = [supply.total - supply.on_hand - sum(supply.kept), *supply.kept]
    pallets = [pallet for count in deliveries for pallet in pack(count, supply.full, supply.half, supply.half_first)]
    half = sum(not full for full, _ in pallets)
    whole = (2 * supply.full + supply.half) // 2
    full = sum(held == whole for held, _ in pallets)
    return PackedPallets(full, half, len(pallets) - full - half, supply.half_first)


def packed_words(packed: PackedPallets) -> str:
    """Return what the pallets hold in a sentence."""
    both = f", {packed.both:,} both" if packed.both else ""
    return (
        f"Full and half mats are packed apart, half mats {'first' if packed.half_first else 'last'} (supply.half_mats): of the "
        f"{packed.full + packed.half + packed.both:,} pallets to come {packed.full:,} hold full mats, {packed.half:,} half mats "
        f"alone{both}."
    )


def packed_record(scenario: Scenario) -> dict[str, Any] | None:
    """Return the same, ready for `json.dumps`; None where every pallet holds the same."""
    packed = count_packed(scenario)
    return None if packed is None else asdict(packed)
