"""How many pallets to order, of what, and what does the scenario plan? The same sum wherever pallets are told of."""

from __future__ import annotations

from simulation.field import TakeOff
from simulation.field.to_order import ToOrder
from simulation.present.pictures.figure import listed
from simulation.present.words import wording


def parts_of(found: ToOrder) -> list[tuple[str, int]]:
    """Return the parts of what is to be ordered, with their pallets: they add up to it."""
    spares = f"spare mats, {100 * found.share:g} % of the mats in whole pallets"
    used = [(f"for used mats that are bent or scrap, {100 * found.unfit:.1f} % of them", found.used)] if found.used else []
    return [("mats that the field needs", found.needed), (spares, found.spares), *used, *found.others]


def to_order_in_words(quantities: TakeOff) -> str:
    """Return what the field takes in all, and of what it is the sum."""
    found = quantities.to_order
    parts = [f"{found.needed:,} of mats that the field needs", f"{found.spares:,} of spare mats ({100 * found.share:g} %)"]
    if found.used:
        parts.append(f"{found.used:,} for used mats that are bent or scrap ({100 * found.unfit:.1f} %)")
    parts += [f"{count:,} of {what}" for what, count in found.others]
    return f"{wording.counted(found.total, 'pallet')} in all: {listed(parts)}."


def planned_in_words(quantities: TakeOff) -> str:
    """Return what the scenario plans to come, and how that stands to what is to be ordered."""
    found = quantities.to_order
    whole = f"The scenario plans {wording.counted(found.planned, 'pallet')} of mats, {found.on_hand:,} on hand at the start and "
    line = f"{whole}{found.deliveries:,} in deliveries: {_against(found)}."
    if found.beside:
        kinds = listed([what for what, _ in found.others])
        line += f" The other {found.beside:,} to order ({kinds}) are pallets of their own and come beside these."
    return line


def _against(found: ToOrder) -> str:
    if found.more == 0:
        return "the mats to order, spares included"
    if found.more > 0:
        return f"{found.more:,} more than the {found.mats:,} of mats to order"
    left = found.planned - found.needed
    spares = "no spare" if left == 0 else wording.counted(left, "spare pallet")
    return f"{-found.more:,} fewer than the {found.mats:,} of mats to order, which leaves {spares}"
