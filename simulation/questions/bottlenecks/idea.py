"""What is an idea of what might help? Its kind, what it changes, and why it cannot be tried where that is known."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.scenario import Change

#: What a time is multiplied by where it is a tenth shorter, and a speed where the way takes a tenth less time.
SHORTER, FASTER = "x0.9", f"x{1 / 0.9!r}"


class Kind(Enum):
    """What kind of thing is otherwise."""

    MORE = "more of it"
    QUICKER = "a tenth quicker"
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
