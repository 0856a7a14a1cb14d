"""Who is at work where a field is taken up: those of a crew who lift, those who handle mats, and what lies between them."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.construction.plan.plan import CrewPlan
    from simulation.construction.site.edges.laying_edge import Event


@dataclass(eq=False)
class Party:
    """Those of a crew who lift, or who handle what they lift.

    Attributes
    ----------
    number : int
        Its number as an actor.
    plan : CrewPlan
    merged, stays : list
        Nobody lays together, or by turns, where a field is taken up.
    """

    number: int
    plan: CrewPlan
    merged: list[tuple[int, int, float, float]] = field(default_factory=list)
    stays: list[tuple[float, int, float]] = field(default_factory=list)


@dataclass(eq=False)
class Point:
    """Where a crew is at work: rows that lie loose, pallets begun by state and size, pallets that stand beside it."""

    rows: deque[tuple[int, int, int, float]] = field(default_factory=deque)
    loose: int = 0
    begun: dict[tuple[int, bool], dict[int, int]] = field(default_factory=dict)
    standing: int = 0
    done: bool = False
    lifters_wait: Event | None = None
    handlers_wait: Event | None = None
    room_wait: Event | None = None
