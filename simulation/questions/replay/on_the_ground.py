"""Where on the ground are the laying edges of a run, the yard, and a forklift on its way?

Points are feet in the plane of `simulation.field.layout`.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from simulation.construction import Plan
from simulation.construction.plan.steps import BACKFILL, DRILL, TASK
from simulation.field import Placed, Point, distance, make_rows, place_areas, yard_point
from simulation.scenario import Scenario

#: Kind of work beside laying -> what its steps are.
_PARTS = {BACKFILL: "ramp", DRILL: "stand", TASK: "piece"}


@dataclass(frozen=True)
class Edge:
    """Where a laying edge lies, and how far its rows reach.

    Attributes
    ----------
    name : str
        Of its area, and which side of it where there are two.
    area : int
    rows : int
    start : tuple of float
        Middle of the edge at which it begins.
    step : tuple of float
        From one row to the next.
    across : tuple of float
        From the middle line to the edge on its right, seen from the low end of the area.
    strips : dict of int to int
        Number of a key strip -> rows of this laying edge that lie before it.
    """

    name: str
    area: int
    rows: int
    start: Point
    step: Point
    across: Point
    strips: dict[int, int]

    def point(self, rows: float) -> Point:
        """Return the middle of the edge after so many rows."""
        return self.start[0] + rows * self.step[0], self.start[1] + rows * self.step[1]

    def corners(self, first: float, upto: float) -> tuple[Point, Point, Point, Point]:
        """Return the corners of the ground that rows from `first` up to `upto` cover, all the way round."""
        (ax, ay), (bx, by), (ox, oy) = self.point(first), self.point(upto), self.across
        return (ax + ox, ay + oy), (bx + ox, by + oy), (bx - ox, by - oy), (ax - ox, ay - oy)


@dataclass(frozen=True)
class RailLine:
    """Where the guide rail of an area lies.

    Attributes
    ----------
    area : str
    edge : int
        The laying edge ahead of which it is set.
    ends : tuple of tuple of float
        Where the rail begins, and where each of its sections ends.
    """

    area: str
    edge: int
    ends: tuple[Point, ...]


@dataclass(frozen=True)
class AfterRows:
    """Work that follows rows: what it is called, of what it is made, and where it is drawn.

    `counts` are the stands, ramps or pieces of a task that each of its steps does.
    """

    name: str
    part: str
    counts: tuple[int, ...]
    point: Point


@dataclass(frozen=True)
class Ground:
    """The field to scale.

    Attributes
    ----------
    areas : tuple of Placed
    edges : tuple of Edge
        The laying edges, in the order of the plan.
    yard : tuple of float
    along_rows : bool
        Whether forklifts drive along what is laid instead of on the ground beside.
    rails : tuple of RailLine
    after_rows : tuple of AfterRows
        In the order of the plan.
    """

    areas: tuple[Placed, ...]
    edges: tuple[Edge, ...]
    yard: Point
    along_rows: bool
    rails: tuple[RailLine, ...] = ()
    after_rows: tuple[AfterRows, ...] = ()

    def way(self, index: int, row: int) -> tuple[Point, ...]:
        """Return the corners of the way from the yard to where the mats of a row are staged, as `field.distance` measures it."""
        edge = self.edges[index]
        to = edge.point(row + 0.5)
        first = edge.point(0.5) if self.along_rows else to
        return self.yard, (first[0], self.yard[1]), first, *((to,) if first != to else ())

    def bounds(self) -> tuple[float, float, float, float]:
        """Return the least and the greatest x and y of the areas and the yard: x, x, y, y."""
        corners = [area.point(s, o) for area in self.areas for s in (0.0, area.length) for o in (-area.width / 2, area.width / 2)]
        xs, ys = zip(*corners, self.yard, strict=True)
        return min(xs), max(xs), min(ys), max(ys)


def lay_out_ground(scenario: Scenario, plan: Plan) -> Ground:
    """Return the field of a scenario to scale; `plan` is what `run.compile_plan` makes of it."""
    placed = place_areas(scenario)
    areas = tuple(placed[area.name] for area in scenario.area)
    depth = scenario.mat.row_depth
    edges: list[Edge] = []
    for index in plan.edges:
        area, side = areas[index.area], 1.0 if index.upward else -1.0
        (dx, dy), half = area.along, area.width / 2
        edges.append(
            Edge(
                name=edge_name(plan, len(edges)),
                area=index.area,
                rows=len(index.full),
                start=area.point((index.first if index.upward else index.last) * depth),
                step=(side * depth * dx, side * depth * dy),
                across=(half * dy, -half * dx),
                strips={number: row for row, number in index.strips.items()},
            )
        )
    yard = yard_point(scenario, placed)
    rails = tuple(_rail_line(scenario, plan, number, areas) for number in range(len(plan.rails)))
    after_rows = tuple(
        AfterRows(
            work.name,
            _PARTS[work.kind],
            work.counts if work.kind == TASK else (1,) * len(work.counts),
            areas[work.area].point(work.station) if work.area >= 0 else yard,
        )
        for work in plan.follows
    )
    return Ground(areas, tuple(edges), yard, scenario.forklifts.drive_on == "rows", rails, after_rows)


def _rail_line(scenario: Scenario, plan: Plan, number: int, areas: tuple[Placed, ...]) -> RailLine:
    """Return where a rail lies; its last section ends with the area."""
    rail = plan.rails[number]
    area, edge, rows = areas[rail.area], plan.edges[rail.edge], make_rows(scenario.area[rail.area], scenario.mat)
    assert rows.rail is not None
    aside, side = rows.rail * scenario.mat.half - area.width / 2, 1.0 if edge.upward else -1.0
    begin, end = (edge.first, edge.last) if edge.upward else (edge.last, edge.first)
    stations = (*(begin * rows.depth + side * feet for feet in (0.0, *rail.joints)), end * rows.depth)
    # Mats that creep lie a little beyond the area of the drawing.
    ends = tuple(area.point(min(max(station, 0.0), area.length), aside) for station in stations)
    return RailLine(plan.areas[rail.area].name, rail.edge, ends)


def edge_name(plan: Plan, index: int) -> str:
    """Return what a laying edge is called: its area, and which side of it where there are two."""
    edge = plan.edges[index]
    area = plan.areas[edge.area]
    if len(area.edges) == 1:
        return area.name
    return f"{area.name}, {'high' if edge.upward else 'low'} side"


def along(way: tuple[Point, ...], share: float) -> Point:
    """Return the point that lies the given share of a way from its beginning."""
    left = share * length(way)
    for here, there in pairwise(way):
        piece = distance(here, there)
        if left < piece:
            part = left / piece
            return here[0] + part * (there[0] - here[0]), here[1] + part * (there[1] - here[1])
        left -= piece
    return way[-1]


def first_feet(way: tuple[Point, ...], feet: float) -> tuple[Point, ...]:
    """Return the first feet of a way; all of it where it is no longer."""
    left, kept = max(0.0, feet), [way[0]]
    for here, there in pairwise(way):
        piece = distance(here, there)
        if left < piece:
            return (*kept, along((here, there), left / piece))
        left = max(0.0, left - piece)
        kept.append(there)
    return tuple(kept)


def length(way: tuple[Point, ...]) -> float:
    """Return how many feet a way along and across is long."""
    return sum(distance(here, there) for here, there in pairwise(way))
