"""Say so where easing the main cause gains nothing, and where to look instead."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.present.words.trial_words import deny_effect
from simulation.questions.bottlenecks.idea import CAN_BE, Kind

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from simulation.questions.bottlenecks.attribution import Holder
    from simulation.questions.bottlenecks.study import BottlenecksResult, BottlenecksRow

#: Holder -> where the addresses begin of what would be more of it, or quicker.
_MORE_OF = {
    "crews": ("laying.", "crew"),
    "crews lifting": ("repair.", "crew"),
    "crews handling mats": ("take_up.", "crew"),
    "trucks": ("supply.trucks", "shifts.haul"),
    "forklifts": ("forklifts.", "shifts.forklift"),
    "supply": ("supply.trucks", "supply.flights", "supply.shipments.*.discharge", "shifts.haul"),
    "waiting for a shipment": ("supply.shipments", "take_up.shipments"),
    "ships": ("take_up.shipments.*.discharge",),
    "waiting for the next flight": ("supply.flights",),
    "port's daily limit": ("supply.per_day_limit",),
    "grading": ("grading.", "shifts.grading"),
    "weather": ("weather.",),
    "tasks": ("task.", "gang."),
    "temporary ends": ("temporary_end.",),
    "closed for flying": ("flying.",),
}
#: Holders that a change may leave out.
_LEFT_OUT = ("port's daily limit", "weather", "waiting for a shipment", "closed for flying")


def leader_lines(result: BottlenecksResult, called: Callable[[Holder], str]) -> list[str]:
    """Return the sentences that easing the main or the second cause moves nothing, and where to look instead of the main one.

    There are none where it moves something, or where nothing of the kind was tried. `called` says how a sentence names a holder.
    """
    lines = []
    first, *others = result.leading.holders[:2] or (None,)
    if first is not None and (eased := _eased_in_vain(result, first)):
        lines.append(f"Easing the main cause ({called(first)}: {eased}{_look_at(result)}.")
    for second in others:
        named = second.leads is not None and second.leads.count  # only then is it said who comes second
        if named and (eased := _eased_in_vain(result, second)):
            lines.append(f"Easing the second cause ({called(second)}: {eased}.")
    return lines


def in_vain(result: BottlenecksResult, holders: Sequence[Holder]) -> bool:
    """Return whether something was tried of each of some holders, and none of it moves anything that is measurable."""
    return all(_eased_in_vain(result, holder) for holder in holders)


def _eased_in_vain(result: BottlenecksResult, holder: Holder) -> str:
    """Return what was tried of a holder, and that it moves nothing; empty where it moves something or nothing was tried."""
    rows = [row for row in result.rows if _eases(row, holder)]
    if not rows or any(row.earns or row.earns_mean for row in rows):
        return ""
    names = "; ".join(row.trial.name for row in rows)
    return f"{names}) {'changes no run' if all(row.identical for row in rows) else f'makes {deny_effect(rows)}'}"


def _eases(row: BottlenecksRow, holder: Holder) -> bool:
    """Return whether a change is more of, or quicker, what a holder does, and nothing else."""
    kinds = {Kind.MORE, Kind.QUICKER, *([Kind.WITHOUT] if holder.name in _LEFT_OUT else [])}
    if holder.name not in _MORE_OF or row.trial.kind not in kinds:
        return False
    return all(change.address.startswith(_MORE_OF[holder.name]) for change in row.trial.changes)


def _look_at(result: BottlenecksResult) -> str:
    """Return what brings readiness forward most, first of what can be brought, hastened or done otherwise; nothing where none."""
    best = result.best(*CAN_BE) or result.best_mean(*CAN_BE) or result.best(*Kind) or result.best_mean(*Kind)
    return "" if best is None else f": look at {best.trial.name}"
