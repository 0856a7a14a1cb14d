"""Where does each area lie on the ground, and how far is it from the yard to a row?

The first area runs along x from the origin; an area that joins another lies at a right angle to the edge it joins. y grows to the
left of the first area's low-to-high direction.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.scenario.tables.ground import Area
    from simulation.scenario.tables.scenario import Scenario

Point = tuple[float, float]
#: Feet between areas of which the scenario does not say how they lie to each other.
FREE = 200.0


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

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """The outline: low end right and left, high end left and right."""
        half, far = self.width / 2, self.length
        return self.point(0.0, half), self.point(0.0, -half), self.point(far, -half), self.point(far, half)


def bounds_of(areas: Iterable[Placed]) -> tuple[float, float, float, float]:
    """Return the least and the greatest x, then the least and the greatest y of any ground that the areas cover."""
    xs, ys = zip(*(corner for area in areas for corner in area.corners), strict=True)
    return min(xs), max(xs), min(ys), max(ys)


def place_areas(scenario: Scenario) -> dict[str, Placed]:
    """Return where every area lies; those tied to none, with what is tied to them, stand 200 ft apart."""
    placed: dict[str, Placed] = {}
    free_edge: float | None = None
    for area in scenario.area:
        if area.joins is None and area.beside is None:
            group = _group(area, scenario)
            low, high = bounds_of(group.values())[2:]
            moved = 0.0 if free_edge is None else free_edge + FREE - low
            free_edge = high + moved
            placed |= {
                name: replace(member, origin=(member.origin[0], member.origin[1] + moved)) for name, member in group.items()
            }
    return placed


def _group(root: Area, scenario: Scenario) -> dict[str, Placed]:
    """Return an area in the middle of the plane, and all that are tied to it by junctions or lie beside them."""
    placed = {root.name: Placed(root.name, (0.0, 0.0), (1.0, 0.0), root.length, root.width)}
    waiting = [area for area in scenario.area if area.joins or area.beside]
    while waiting:
        ready = [area for area in waiting if (area.joins or area.beside).area in placed]  # type: ignore[union-attr]
        if not ready:
            break
        for area in ready:
            placed[area.name] = _joined(area, placed[area.joins.area]) if area.joins else _parallel(area, placed)
        waiting = [area for area in waiting if area.name not in placed]
    return placed


def _parallel(area: Area, placed: dict[str, Placed]) -> Placed:
    assert area.beside is not None
    other = placed[area.beside.area]
    aside = other.width / 2 + area.beside.apart + area.width / 2
    origin = other.point(area.beside.shift, aside if area.beside.side == "right" else -aside)
    return Placed(area.name, origin, other.along, area.length, area.width)


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
