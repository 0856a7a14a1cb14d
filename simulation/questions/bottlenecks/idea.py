"""What is an idea of what might help? Its kind, what it changes, and why it cannot be tried where that is known."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

from simulation.scenario.types.uncertainty.distributions import Constant

if TYPE_CHECKING:
    from collections.abc import Sequence

    from simulation.scenario import Change
    from simulation.scenario.tables.supply import Shipment

#: What a time is multiplied by where it is a tenth shorter, and a speed where the way takes a tenth less time.
SHORTER, FASTER = "x0.9", f"x{1 / 0.9!r}"
#: Hours by which a shipment is tried earlier; a tenth of its time may end off shift, where it moves nothing. Planning value.
EARLIER = 24.0


class Kind(Enum):
    """What kind of thing is otherwise."""

    MORE = "more of it"
    QUICKER = "quicker or earlier"
    OTHERWISE = "done otherwise"
    WITHOUT = "without the trouble"
    NIGHT = "day and night"


#: What a planner can do something about with the hours as they are. Day and night asks for as many people again.
CAN_BE = (Kind.MORE, Kind.QUICKER, Kind.OTHERWISE)


@dataclass(frozen=True)
class Idea:
    """One thing that might be tried.

    Attributes
    ----------
    name : str
    kind : Kind
    changes : tuple of Change
    why_not : str
        Why it cannot be tried in the scenario; empty where nothing is known against it.
    """

    name: str
    kind: Kind
    changes: tuple[Change, ...]
    why_not: str = ""


def make_idea(name: str, kind: Kind, *changes: tuple[str, str], why_not: str = "") -> Idea:
    """Return an idea that makes some changes, each an address and a value."""
    from simulation.scenario import Change

    return Idea(name, kind, tuple(Change(*change) for change in changes), why_not)


def come_earlier(table: str, called: str, shipments: Sequence[Shipment]) -> Idea:
    """Return the idea that what is `called` a shipment, or each of several in a table, comes one day earlier.

    Each has its own day less by a factor, so that an uncertain day keeps its spread; it is then one day earlier on average. Only
    what comes within the first day stays.
    """
    moved = {number: each.comes for number, each in enumerate(shipments, 1) if each.comes.mean > EARLIER}
    changes = [
        (f"{table}.shipments.{number}.comes", f"x{(comes.mean - EARLIER) / comes.mean:.12f}") for number, comes in moved.items()
    ]
    name = f"{called} {shipments[0].name or 1}" if len(shipments) == 1 else f"every {called}"
    certain = all(isinstance(comes.level, Constant) and not comes.scatter for comes in moved.values())
    why_not = "" if changes else "it comes within the first day" if len(shipments) == 1 else "all come within the first day"
    return make_idea(f"{name} one day earlier{'' if certain else ' on average'}", Kind.QUICKER, *changes, why_not=why_not)
