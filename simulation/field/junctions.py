"""Where do areas touch: how many connectors close a junction, what gap is left at a taxiway's far end, and do areas overlap?

An area that joins another is laid from it, so it lies close there. Its far end may come to a second area, and then only whole
rows fit between the two: a gap is left, or the two lie at a distance that leaves none.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

from simulation.field.layout import Placed, bounds_of, place_areas
from simulation.scenario.types.mistakes import Mistake, block_name

if TYPE_CHECKING:
    from simulation.scenario.tables.scenario import Scenario
    from simulation.scenario.types.quantities.measures import Measures

#: A gap that may be left at the end of a taxiway, in feet: 2 in (NAVEDTRA 14251 ch. 11).
MOST_GAP = 2.0 / 12.0
#: Areas may overlap by this much and still be meant to touch: a metric length, rounded to the centimetre, at either.
_TOUCH = 0.05
_ROUNDING = 1e-9


@dataclass(frozen=True)
class Junction:
    """A place where an end or a side of an area comes to another area. Lengths in feet.

    Attributes
    ----------
    area, other : str
    far : bool
        Whether it is the far end of an area that was laid from elsewhere.
    contact : float
        Length along which the two face each other.
    connectors : int
        None where the gap is too wide to be closed.
    gap : float
        Left between the two; only a far end has one.
    move : float
        How much farther apart (negative: nearer) the two areas at the ends of this one should lie to leave no gap.
    warning : str
        Empty where nothing is to be done.
    """

    area: str
    other: str
    far: bool
    contact: float
    connectors: int
    gap: float
    move: float
    warning: str


def find_junctions(scenario: Scenario) -> list[Junction]:
    """Return every junction, in the order of the areas that join."""
    placed = place_areas(scenario)
    connector = scenario.accessories.connector or scenario.mat.full
    junctions: list[Junction] = []
    measures = scenario.measures
    for area in scenario.area:
        if area.joins is None:
            continue
        own, other = placed[area.name], placed[area.joins.area]
        contact = max(_beyond(own, other))
        mine = own.width if area.joins.at in (0.0, area.length) else own.length
        short = min(mine, other.length if area.joins.end is None else other.width) - contact
        words = (
            f"{measures.length.text(short)} of {area.name} reach past {other.name} at their junction and meet nothing"
            if short > _TOUCH
            else ""
        )
        junctions.append(Junction(area.name, other.name, False, contact, _pieces(contact, connector), 0.0, 0.0, words))
        if area.meets is not None:
            junctions.append(_far_end(own, placed[area.meets], other.name, connector, scenario.mat.row_depth, measures))
    return junctions


def most_gap(measures: Measures) -> str:
    """Return the gap that the handbook allows, in other units with its own beside them."""
    own = "2 in"
    return f"{measures.gap.rounded(MOST_GAP)} ({own})" if measures.metric else own


def _beyond(first: Placed, other: Placed) -> tuple[float, float]:
    """Return how far two areas overlap along x and along y; negative is the distance between them."""
    left, right, low, high = bounds_of([first])
    its_left, its_right, its_low, its_high = bounds_of([other])
    return min(right, its_right) - max(left, its_left), min(high, its_high) - max(low, its_low)


def _pieces(contact: float, connector: float) -> int:
    return math.ceil(max(contact - _TOUCH, 0.0) / connector)


def _far_end(own: Placed, other: Placed, near: str, connector: float, depth: float, measures: Measures) -> Junction:
    along_x = abs(own.along[0]) > 0.5
    over = _beyond(own, other)
    gap, contact = (-over[0], over[1]) if along_x else (-over[1], over[0])
    if contact <= 0:
        words = f"the far end of {own.name} comes past {other.name} without meeting it; move its junction, or leave meets out"
        return Junction(own.name, other.name, True, 0.0, 0, gap, 0.0, words)
    gap = 0.0 if abs(gap) < _ROUNDING or -_TOUCH < gap < 0 else gap
    rows, between = own.length / depth, own.length + gap
    move = min(math.floor(between / depth) - between / depth, math.ceil(between / depth) - between / depth, key=abs) * depth
    closed = gap <= MOST_GAP + 1e-9
    warning = ""
    if not closed:
        more = math.floor(gap / depth + 1e-9)
        extra = f"lay {more} more rows, or " if more else ""
        fits = measures.length.text(math.floor(between / depth + 1e-9) * depth)
        above = measures.length.text(math.ceil(between / depth - 1e-9) * depth)
        at = fits if fits == above else f"{fits} or {above}"
        warning = (
            f"a gap of {measures.gap.text(gap)} is left between {own.name} and {other.name} after {rows:.0f} rows, more than "
            f"{most_gap(measures)} (NAVEDTRA 14251 ch. 11): {extra}set {near} and {other.name} {at} apart instead of "
            f"{measures.length.text(between)} before the second of them is laid; once both lie, only a filler made to measure "
            "closes it"
        )
    return Junction(own.name, other.name, True, contact, _pieces(contact, connector) if closed else 0, gap, move, warning)


def overlaps(scenario: Scenario) -> list[Mistake]:
    """Return a mistake for every two areas that lie on the same ground."""
    placed = place_areas(scenario)
    mistakes: list[Mistake] = []
    measures = scenario.measures
    for (_, first), (index, other) in combinations(enumerate(scenario.area), 2):
        x, y = _beyond(placed[first.name], placed[other.name])
        if min(x, y) > _TOUCH:
            mistakes.append(
                Mistake(
                    f"area.{block_name(index, other.name)}",
                    f"lies on the same ground as {first.name}, {measures.size(x, y)} of it",
                    "move a junction, make one of them smaller, or say with beside where it lies",
                )
            )
    return mistakes
