"""Where does each area lie on the ground, and how far is it from the yard to a row?

The first area runs along x from the origin; an area that joins another lies at a right angle to the edge it joins. y grows to the
left of the first area's low-to-high direction.
"""

from __future__ import annotations

from dataclasses import dataclass

from simulation.scenario.ground import Area
from simulation.scenario.scenario import Scenario

Point = tuple[float, float]


@dataclass(frozen=True)
class Placed:
    """An area on the ground.

    Attributes
    ----------
    origin : tuple of float
        Middle of its low end.
    along : tuple of float
        Unit vector of the travel axis, low to high.
    length, width : float
    """

    name: str
    origin: Point
    along: Point
    length: float
    width: float

    def point(self, station: float, offset: float = 0.0) -> Point:
        """Return the point at a station, `offset` to the right of the centre line looking from low to high."""
        (x, y), (dx, dy) = self.origin, self.along
        return x + station * dx + offset * dy, y + station * dy - offset * dx


def place_areas(scenario: Scenario) -> dict[str, Placed]:
    """Return where every area lies; those that join nothing lie side by side, 200 ft apart."""
    placed: dict[str, Placed] = {}
    free_edge: float | None = None
    waiting = list(scenario.area)
    while waiting:
        area = waiting.pop(0)
        if area.joins is None:
            middle = 0.0 if free_edge is None else free_edge + 200.0 + area.width / 2
            placed[area.name] = Placed(area.name, (0.0, middle), (1.0, 0.0), area.length, area.width)
            free_edge = middle + area.width / 2
        elif area.joins.area in placed:
            placed[area.name] = _joined(area, placed[area.joins.area])
        else:
            waiting.append(area)
    return placed


def _joined(area: Area, other: Placed) -> Placed:
    assert area.joins is not None
    joins, (dx, dy) = area.joins, other.along
    if joins.end is not None:
        meeting = other.point(other.length if joins.end == "high" else 0.0)
        outward = (dx, dy) if joins.end == "high" else (-dx, -dy)
    else:
        assert joins.station is not None
        half = other.width / 2
        meeting = other.point(joins.station, half if joins.side == "right" else -half)
        outward = (dy, -dx) if joins.side == "right" else (-dy, dx)
    mx, my = meeting
    ox, oy = outward
    if joins.at in (0.0, area.length):  # its end edge meets the other area
        along = outward if joins.at == 0.0 else (-ox, -oy)
        return Placed(area.name, (mx - joins.at * along[0], my - joins.at * along[1]), along, area.length, area.width)
    # Its long side meets the other area: it lies outward by half its width, its axis at a right angle to outward.
    along = (-oy, ox)
    centre = mx + ox * area.width / 2, my + oy * area.width / 2
    return Placed(
        area.name,
        (centre[0] - joins.at * along[0], centre[1] - joins.at * along[1]),
        along,
        area.length,
        area.width,
    )


def yard_point(scenario: Scenario, placed: dict[str, Placed]) -> Point:
    """Return where the yard lies; by default 250 ft beside the middle of the first area."""
    yard = scenario.supply.yard
    if yard is None:
        first = placed[scenario.area[0].name]
        return first.point(first.length / 2, 250.0)
    return placed[yard.area].point(yard.station, yard.offset)


def distance(a: Point, b: Point) -> float:
    """Return how far a vehicle drives between two points: along and across, since it keeps to lanes beside the areas."""
    return abs(a[0] - b[0]) + abs(a[1] - b[1])
