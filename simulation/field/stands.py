"""How many tie-down points do the stands of an apron take, and how long is drilled for them?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.scenario.tables.ground import Area


@dataclass(frozen=True)
class StandsTakeOff:
    """The stands of an area: tie-down points, holes, and the mean hours of one drill at work on all of them."""

    stands: int
    tie_downs: int
    holes: int
    hours: float


def take_off_stands(area: Area) -> StandsTakeOff | None:
    """Return the stands of an area, None where it has none."""
    if area.stands is None:
        return None
    points = area.stands.count * area.stands.tie_downs
    holes = points * area.stands.holes
    return StandsTakeOff(area.stands.count, points, holes, holes * area.stands.drill.mean)
