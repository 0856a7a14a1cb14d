"""What of who leads the driving chain, where more of it buys nothing? Then the leader is not where to look."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.analysis.ideas import Kind

if TYPE_CHECKING:
    from simulation.analysis.bottlenecks import Bottlenecks, Tried
    from simulation.analysis.leading import Holder

#: Holder -> where the addresses begin of what would be more of it, or quicker.
_MORE_OF = {
    "crews": ("laying.", "crew"),
    "forklifts": ("forklifts.", "shifts.forklift"),
    "supply": ("supply.trucks", "supply.flights", "shifts.haul"),
    "timetable": ("supply.flights",),
    "daily limit": ("supply.per_day_limit",),
    "grading": ("grading.", "shifts.grading"),
    "weather": ("weather.",),
}


def leader_line(found: Bottlenecks, called: str) -> list[str]:
    """Return the sentence that more of who leads moves nothing, and where to look instead; none where it moves something.

    `called` is how a sentence names who leads.
    """
    if not found.leading.holders:
        return []
    first = found.leading.holders[0]
    more = [one for one in found.tried if _is_more_of(one, first)]
    if not more or any(one.earns or one.earns_mean for one in more):
        return []
    names = "; ".join(one.what_if.name for one in more)
    moves = "moves no build" if all(one.alike for one in more) else "moves nothing that these builds can tell"
    return [f"More of what leads the chain, {called} ({names}), {moves}{_look_at(found)}."]


def _is_more_of(one: Tried, holder: Holder) -> bool:
    """Return whether a change is more of, or quicker, what a holder does, and nothing else."""
    if holder.name not in _MORE_OF or (one.what_if.kind is Kind.WITHOUT and holder.name not in ("daily limit", "weather")):
        return False
    return all(change.address.startswith(_MORE_OF[holder.name]) for change in one.what_if.changes)


def _look_at(found: Bottlenecks) -> str:
    """Return what of all that was tried brings readiness forward most; nothing where nothing does."""
    best = found.best(*Kind) or found.best_mean(*Kind)
    return "" if best is None else f": look at {best.what_if.name}"
