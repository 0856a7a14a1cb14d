"""How many pallets to order, of what, and what does the scenario plan? The same sum wherever pallets are told of."""

from __future__ import annotations

from simulation.field import TakeOff
from simulation.field.to_order import ToOrder
from simulation.present.pictures.figure import listed
from simulation.present.words import wording


def parts_of(order: ToOrder) -> list[tuple[str, int]]:
    """Return the parts of what is to be ordered, with their pallets: they add up to it."""
    spares = f"spare mats, {100 * order.share:g} % of the mats in whole pallets"
    used = [(f"for used mats that are bent or scrap, {100 * order.unfit:.1f} % of them", order.used)] if order.used else []
    return [("mats that the field needs", order.needed), (spares, order.spares), *used, *order.others]


def to_order_in_words(quantities: TakeOff) -> str:
    """Return what the field takes in all, and of what it is the sum."""
    order = quantities.to_order
    parts = [f"{order.needed:,} of mats that the field needs", f"{order.spares:,} of spare mats ({100 * order.share:g} %)"]
    if order.used:
        parts.append(f"{order.used:,} for used mats that are bent or scrap ({100 * order.unfit:.1f} %)")
    parts += [f"{count:,} of {what}" for what, count in order.others]
    return f"{wording.counted(order.total, 'pallet')} in all: {listed(parts)}."


def lopsided_in_words(quantities: TakeOff) -> list[str]:
    """Return that many pallets come for one kind of mat alone, and the mix that asks for fewer; nothing where they do not."""
    order = quantities.lopsided
    if order is None:
        return []
    mats, total = quantities.to_order.mats, quantities.to_order.total - order.spared
    return [
        f"{order.pallets:,} of the {mats:,} pallets of mats to order come for their {order.decides} mats alone: "
        f"{order.ordered:,} {order.left_over} mats are ordered, {order.more:,} more than the field takes; a mix of {order.full} "
        f"full and {order.half} half asks for {wording.counted(total, 'pallet')} in all (mat.pallet_full, mat.pallet_half)."
    ]


def planned_in_words(quantities: TakeOff) -> str:
    """Return what the scenario plans to come, and how that stands to what is to be ordered."""
    order = quantities.to_order
    whole = f"The scenario plans {wording.counted(order.planned, 'pallet')} of mats, {order.on_hand:,} on hand at the start and "
    line = f"{whole}{order.deliveries:,} in deliveries: {_against(order)}."
    if order.beside:
        line += f" The other {order.beside:,} come beside these."
    return line


def _against(order: ToOrder) -> str:
    if order.more == 0:
        return "the mats to order, spares included"
    if order.more > 0:
        return f"{order.more:,} more than the {order.mats:,} of mats to order"
    left = order.planned - order.needed
    spares = "no spare" if left == 0 else wording.counted(left, "spare pallet")
    return f"{-order.more:,} fewer than the {order.mats:,} of mats to order, which leaves {spares}"
