"""What of who leads the chain of causes, where more of it buys nothing? Then the leader is not where to look."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.questions.bottlenecks.ideas import CAN_BE, Kind

if TYPE_CHECKING:
    from collections.abc import Callable

    from simulation.questions.bottlenecks.attribution import Holder
    from simulation.questions.bottlenecks.study import BottlenecksResult, BottlenecksRow

#: Holder -> where the addresses begin of what would be more of it, or quicker.
_MORE_OF = {
    "crews": ("laying.", "crew"),
    "forklifts": ("forklifts.", "shifts.forklift"),
    "supply": ("supply.trucks", "supply.flights", "shifts.haul"),
    "waiting for the next flight": ("supply.flights",),
    "port's daily limit": ("supply.per_day_limit",),
    "grading": ("grading.", "shifts.grading"),
    "weather": ("weather.",),
}


def leader_lines(found: BottlenecksResult, called: Callable[[Holder], str]) -> list[str]:
    """Return the sentences that more of who leads, or comes second, moves nothing, and where to look instead of the leader.

    There are none where it moves something, or where more of it was not tried. `called` says how a sentence names a holder.
    """
    lines = []
    first, *others = found.leading.holders[:2] or (None,)
    if first is not None and (nothing := _moves_nothing(found, first)):
        lines.append(f"More of what leads the chain, {called(first)} {nothing}{_look_at(found)}.")
    for second in others:
        named = second.leads is not None and second.leads.count  # only then is it told who comes second
        if named and (nothing := _moves_nothing(found, second)):
            lines.append(f"More of what comes second, {called(second)} {nothing}.")
    return lines


def _moves_nothing(found: BottlenecksResult, holder: Holder) -> str:
    """Return what was tried of a holder, and that it moves nothing; empty where it moves something or nothing was tried."""
    more = [one for one in found.tried if _is_more_of(one, holder)]
    if not more or any(one.earns or one.earns_mean for one in more):
        return ""
    names = "; ".join(one.what_if.name for one in more)
    return f"({names}), moves {'no run' if all(one.alike for one in more) else 'nothing that these runs can tell'}"


def _is_more_of(one: BottlenecksRow, holder: Holder) -> bool:
    """Return whether a change is more of, or quicker, what a holder does, and nothing else."""
    kinds = {Kind.MORE, Kind.QUICKER, *([Kind.WITHOUT] if holder.name in ("port's daily limit", "weather") else [])}
    if holder.name not in _MORE_OF or one.what_if.kind not in kinds:
        return False
    return all(change.address.startswith(_MORE_OF[holder.name]) for change in one.what_if.changes)


def _look_at(found: BottlenecksResult) -> str:
    """Return what brings readiness forward most, first of what can be brought, hastened or done otherwise; nothing where none."""
    best = found.best(*CAN_BE) or found.best_mean(*CAN_BE) or found.best(*Kind) or found.best_mean(*Kind)
    return "" if best is None else f": look at {best.what_if.name}"
