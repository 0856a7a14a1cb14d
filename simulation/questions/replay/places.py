"""Where on the page does each thing of a replay stand? The ground to scale, and symbols that do not cover each other.

Picture and page draw from the same numbers: units of a thousandth of the plan's width, y downwards.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from simulation.construction.plan.steps import BACKFILL, DRILL, KINDS, TASK
from simulation.field import Point
from simulation.present.pictures.length_scale import bar_within
from simulation.present.pictures.point_labels import boxes_overlap
from simulation.questions.replay.activities import Doing
from simulation.questions.replay.on_the_ground import Edge, Ground
from simulation.questions.replay.stand import Stand
from simulation.questions.replay.study import Frame
from simulation.scenario.types.quantities.measures import Measures

#: Page units: the margin around the ground, and the size of a symbol.
MARGIN, SYMBOL, PALLET = 26.0, 16.0, 6.0
#: Half the width and the height of the yard's symbol.
YARD = (13.0, 9.0)
#: Page units that a letter of a label takes, at the most on average, and a line of it.
_LETTER, _LABEL = 8.0, 16.0
_PACE = SYMBOL / 2 + 1.0
#: Places around one that is taken, on a grid, the nearest first.
_GRID = sorted(
    ((dx * _PACE, dy * _PACE) for dx in range(-14, 15) for dy in range(-14, 15)), key=lambda to: (to[0] ** 2 + to[1] ** 2, to)
)
Corners = tuple[Point, ...]


@dataclass(frozen=True)
class Sheet:
    """What a plan is drawn on: its width and greatest height in page units, and whether the ground is turned a quarter right."""

    width: float
    highest: float
    turned: bool = False


#: The width of a plan that lies along a picture or a wide screen.
WIDTH = 1000.0
#: Lying; and upright for a screen as narrow as a telephone's, where a unit is about a pixel, so that its letters can be read.
LYING, UPRIGHT = Sheet(WIDTH, 400.0), Sheet(360.0, 620.0, turned=True)


@dataclass(frozen=True)
class Symbol:
    """One actor on the plan: what is written in it, and the middle of it."""

    kind: str
    letters: str
    at: Point


class GroundOnPage:
    """The ground on the page.

    Parameters
    ----------
    ground : Ground
    measures : Measures
        How the scale bar's length is worded.
    sheet : Sheet
        What it is drawn on.

    Attributes
    ----------
    scale : float
        Page units of one foot.
    height : float
    bar : float
        Page units of the scale bar.
    length : str
        How long that is.
    """

    def __init__(self, ground: Ground, measures: Measures, sheet: Sheet = LYING) -> None:
        self.ground, self.sheet, self.width = ground, sheet, sheet.width
        left, right, low, high = ground.bounds()
        if sheet.turned:
            left, right, low, high = low, high, -right, -left
        wide, tall = max(right - left, 1.0), max(high - low, 1.0)
        self.scale = min((self.width - 2 * MARGIN) / wide, (sheet.highest - 2 * MARGIN) / tall)
        self.height = tall * self.scale + 2 * MARGIN
        self._left, self._high = left - (self.width / self.scale - wide) / 2, high + MARGIN / self.scale
        feet, self.length = bar_within(self.width / 5 / self.scale, measures)
        self.bar = feet * self.scale
        self._labels = self._place_labels()

    def at(self, point: Point) -> Point:
        """Return where a point of the ground stands on the page."""
        x, y = self._turn(point)
        return (x - self._left) * self.scale, (self._high - y) * self.scale

    def _turn(self, point: Point) -> Point:
        """Return a point or a step of the ground as it is turned for the sheet."""
        return (point[1], -point[0]) if self.sheet.turned else point

    def areas(self) -> list[tuple[str, Corners]]:
        """Return every area with its corners."""
        return [
            (
                area.name,
                tuple(
                    self.at(area.point(station, offset * area.width / 2))
                    for station, offset in ((0.0, 1), (area.length, 1), (area.length, -1), (0.0, -1))
                ),
            )
            for area in self.ground.areas
        ]

    def labels(self) -> list[tuple[str, Point]]:
        """Return the name of every area and the left end of it, halfway up; beside the area, where nothing else stands."""
        return self._labels

    def _place_labels(self) -> list[tuple[str, Point]]:
        boxes = [_box(corners) for _, corners in self.areas()]
        x, y = self.at(self.ground.yard)
        reach = 24 * _LETTER / 2
        boxes.append((x - YARD[0], y - YARD[1], x + YARD[0], y + YARD[1]))
        boxes.append((x - reach, y + YARD[1], x + reach, y + YARD[1] + _LABEL))
        boxes.append((self.width - 12 - self.bar - _LETTER * len(self.length), self.height - 8 - _LABEL, self.width, self.height))
        labels: list[tuple[str, Point]] = []
        for (name, _), (left, top, right, low) in zip(self.areas(), boxes, strict=False):
            wide = _LETTER * len(name)
            places = [(left, low + 2 + _LABEL / 2), (left, top - 2 - _LABEL / 2), (right - wide, low + 2 + _LABEL / 2)]
            places += [
                (right + 5, (top + low) / 2),
                (left - 5 - wide, (top + low) / 2),
                ((left + right - wide) / 2, (top + low) / 2),
                (right - wide, top - 2 - _LABEL / 2),
                (right - wide, low + 2 + 1.5 * _LABEL),
                (right - wide, top - 2 - 1.5 * _LABEL),
            ]

            def free(point: Point, wide: float = wide) -> bool:
                mine = (point[0], point[1] - _LABEL / 2, point[0] + wide, point[1] + _LABEL / 2)
                return point[0] >= 0 and mine[2] <= self.width and not any(boxes_overlap(mine, box) for box in boxes)

            # Where nothing is free the label stands below its area, and never past the edge of the sheet.
            below = (max(0.0, min(places[0][0], self.width - wide)), places[0][1])
            point = next((point for point in places if free(point)), below)
            boxes.append((point[0], point[1] - _LABEL / 2, point[0] + wide, point[1] + _LABEL / 2))
            labels.append((name, point))
        return labels

    def slab(self, edge: Edge, first: float, upto: float) -> Corners:
        """Return the corners of rows from `first` up to `upto` of a laying edge."""
        return tuple(self.at(corner) for corner in edge.corners(first, upto))

    def strip(self, edge: Edge, rows: int) -> Corners:
        """Return the ends of the line before a row of a laying edge."""
        (ax, ay), _, _, (bx, by) = edge.corners(rows, rows)
        return self.at((ax, ay)), self.at((bx, by))

    def ends(self, stand: Stand) -> list[Corners]:
        """Return the line of each temporary end that stands, at the last row of its laying edge."""
        edges = self.ground.edges
        return [self.strip(edges[index], stand.laid[index]) for index in sorted(stand.ends)]

    def rail_set(self, number: int, sections: int) -> Corners:
        """Return the two ends of what is set of a guide rail."""
        ends = self.ground.rails[number].ends
        return self.at(ends[0]), self.at(ends[sections])

    def pallets(self, frame: Frame) -> list[Point]:
        """Return the middles of staged pallets, two abreast ahead of their laying edges; they are symbols, not to scale."""
        points: list[Point] = []
        for index, edge in enumerate(self.ground.edges):
            stand = frame.stand
            x, y = self.at(edge.point(stand.at_work(index)))
            sx, sy = self._turn(edge.step)
            sy = -sy
            size = max((sx * sx + sy * sy) ** 0.5, 1e-9)
            ux, uy = sx / size, sy / size
            for number in range(stand.staged[index]):
                ahead = (number // 2 + 1) * (PALLET + 2.0) + SYMBOL / 2
                aside = (number % 2 - 0.5) * (PALLET + 2.0)
                points.append((x + ahead * ux - aside * uy, y + ahead * uy + aside * ux))
        return points

    def yard_label(self, frame: Frame) -> tuple[str, Point]:
        """Return what is written under the yard, its pallets and the loads that wait, and the middle of it."""
        x, y = self.at(self.ground.yard)
        label = yard_words(frame)
        half = _LETTER / 2 * len(label)
        return label, (max(half, min(x, self.width - half)), y + YARD[1] + 1.0 + _LABEL / 2)

    def symbols(self, frame: Frame) -> list[Symbol]:
        """Return crews, gangs, forklifts and work after the rows on the plan, moved aside where they would cover each other."""
        half = SYMBOL / 2
        yard = self.at(self.ground.yard)
        label, under = self.yard_label(frame)
        taken = [(yard, YARD), (under, (_LETTER / 2 * len(label), _LABEL / 2))]
        taken += [(pallet, (PALLET / 2, PALLET / 2)) for pallet in self.pallets(frame)]
        taken += [((x + _LETTER / 2 * len(name), y), (_LETTER / 2 * len(name), _LABEL / 2)) for name, (x, y) in self._labels]
        symbols: list[Symbol] = []
        letters = crew_letters(frame.doings)
        for doing in sorted(frame.doings, key=lambda doing: _ORDER.index(doing.kind)):
            if doing.point is None or doing.kind == "truck":
                continue
            at = self._free(self.at(doing.point), taken)
            taken.append((at, (half, half)))
            symbols.append(Symbol(doing.kind, _letters(doing, letters), at))
        return symbols

    def _free(self, at: Point, taken: list[tuple[Point, Point]]) -> Point:
        """Return the place nearest to `at` on a grid around it where no symbol stands yet."""
        half = SYMBOL / 2
        for dx, dy in _GRID:
            x, y = at[0] + dx, at[1] + dy
            inside = half <= x <= self.width - half and half <= y <= self.height - half
            if inside and all(abs(x - a) >= half + wide or abs(y - b) >= half + tall for (a, b), (wide, tall) in taken):
                return x, y
        return at


def yard_words(frame: Frame) -> str:
    """Return what is written under the yard: its pallets, and the loads that wait."""
    waiting = f", {frame.stand.loads} waiting" if frame.stand.loads else ""
    return f"yard: {frame.stand.yard}{waiting}"


def _box(corners: Corners) -> tuple[float, float, float, float]:
    xs, ys = zip(*corners, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


_ORDER = ("crew", "rail gang", "grading", "following", "forklift", "truck")
#: What stands in the symbols of those who have no name of their own.
GANG_LETTERS = {"grading": "G", "rail gang": "R", KINDS[BACKFILL].name: "F", KINDS[DRILL].name: "T", KINDS[TASK].name: "K"}


def crew_letters(doings: Iterable[Doing]) -> dict[str, str]:
    """Return what each crew's symbol says: its first letter, or a number where that would not tell it from crews and gangs."""
    present = list(doings)
    names = [doing.name for doing in present if doing.kind == "crew"]
    first = [name.strip()[:1].upper() for name in names]
    gangs = {letter for doing in present for letter in _gang_letters(doing.kind)}
    if len(set(first)) == len(first) and not {"", *gangs} & set(first):
        return dict(zip(names, first, strict=True))
    return {name: str(number) for number, name in enumerate(names, 1)}


def _gang_letters(kind: str) -> tuple[str, ...]:
    """Return the letters with which a gang of a kind may be marked."""
    if kind == "following":
        return tuple(GANG_LETTERS[KINDS[work].name] for work in (BACKFILL, DRILL, TASK))
    return (GANG_LETTERS[kind],) if kind in GANG_LETTERS else ()


def _letters(doing: Doing, crews: dict[str, str]) -> str:
    if doing.kind == "crew":
        return crews[doing.name]
    return doing.name if doing.kind == "forklift" else gang_letter(doing)


def gang_letter(doing: Doing) -> str:
    """Return the letter of a gang's symbol: of work after the rows that of what is done, of another gang its own."""
    return GANG_LETTERS[doing.what if doing.kind == "following" else doing.kind]
