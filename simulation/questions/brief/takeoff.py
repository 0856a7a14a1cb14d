"""Takes what a brief says of the ground from the take-off's own answer, with the order in a few lines for paper."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.present.answer import Figure, Page, Part, Terms
from simulation.questions.takeoff.answer import takeoff_answer
from simulation.questions.takeoff.order_tables import describe_yard

if TYPE_CHECKING:
    from simulation.field import TakeOff
    from simulation.scenario import Scenario

#: Parts of the take-off's answer that paper has room for, by what their titles begin with.
_ON_PAPER = ("To be looked after", "Quantities")


def takeoff_page(scenario: Scenario, quantities: TakeOff, plan: Figure | None = None) -> Page:
    """Return the page; paper has the plan only where a page would otherwise end empty."""
    every = takeoff_answer(scenario, quantities).parts
    parts = [part for title in _ON_PAPER for part in every if part.title.startswith(title)]
    first = len(parts)
    parts += [replace(part, on_paper=False) for part in every if part not in parts]
    parts.insert(first, Part("Everything that is ordered", (_order(quantities),)))
    if plan is not None:
        parts.insert(first + 1, Part("The field to scale", (replace(plan, on_paper=False, if_room=True),)))
    return Page("takeoff", "Take-off", tuple(parts))


def _order(quantities: TakeOff) -> Terms:
    """Return what stands on the pallets of each kind."""
    order = quantities.ordered
    rows = [
        (
            f"{group.what} ({wording.counted(group.pallets, 'pallet')})",
            "; ".join(f"{line.item}: {wording.number(line.order)}" for line in order.lines if line.on == group.what),
        )
        for group in order.pallets
    ]
    whole = f"{wording.counted(order.total_pallets, 'pallet')}, {quantities.told.mass.rounded(order.mass)} gross"
    return Terms((*rows, ("to order, with spares", f"{whole}, {describe_yard(quantities)}")))
