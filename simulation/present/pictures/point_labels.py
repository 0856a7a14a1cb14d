"""Writes short labels beside the marks of a picture so that none lies on another label, on a mark or over the edge."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from simulation.present.pictures.figure import INK, SMALL

if TYPE_CHECKING:
    from matplotlib.axes import Axes

#: Points: half of a mark, and how far from its middle a label is tried in turn.
_MARK, _REACHES = 4.0, (9.0, 12.0, 16.0, 22.0, 30.0, 40.0, 55.0)
#: A label farther away than this has a line to its mark.
_NEAR = 12.5
#: Directions in which a label is tried in turn, degrees: right first.
_ANGLES = (0, 45, 315, 90, 270, 135, 225, 180)

Box = tuple[float, float, float, float]


def label_points(axes: Axes, labels: Sequence[tuple[float, float, str]], others: Sequence[tuple[float, float]] = ()) -> None:
    """Write a label beside each point, once where points all but on each other have the same; the axes' limits must be final.

    Parameters
    ----------
    axes : Axes
    labels : sequence of (x, y, text)
    others : sequence of (x, y)
        Marks without a label, which no label covers either.
    """
    figure = axes.get_figure(root=True)
    assert figure is not None
    to_points = 72.0 / figure.dpi
    middles = [tuple(to_points * axes.transData.transform(point)) for point in [(x, y) for x, y, _ in labels] + list(others)]
    taken = [_box(x, y, _MARK, _MARK) for x, y in middles]
    edge = axes.get_window_extent()
    inside = (to_points * edge.x0, to_points * edge.y0, to_points * edge.x1, to_points * edge.y1)
    written: list[tuple[str, float, float]] = []
    for (x, y, text), (across, up) in zip(labels, middles, strict=False):
        if any(text == other and math.hypot(across - left, up - low) < _NEAR for other, left, low in written):
            continue
        written.append((text, across, up))
        wide, high = 0.33 * SMALL * len(text) + 1.0, 0.65 * SMALL
        reach, aside, above = _find_room(across, up, (wide, high), taken, inside)
        taken.append(_box(across + aside, up + above, wide, high))
        line = {"arrowstyle": "-", "color": INK, "linewidth": 0.5, "shrinkA": 0.0, "shrinkB": _MARK}
        axes.annotate(
            text,
            (x, y),
            xytext=(aside, above),
            textcoords="offset points",
            ha="center",
            va="center",
            fontsize=SMALL,
            bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.3},
            arrowprops=line if reach > _NEAR else None,
            zorder=6,
        )


def _find_room(x: float, y: float, half: tuple[float, float], taken: Sequence[Box], inside: Box) -> tuple[float, float, float]:
    """Return how far from a point its label lies, aside and above; right beside it where there is no room at all."""
    wide, high = half
    for reach in _REACHES:
        for angle in _ANGLES:
            aside = (reach + wide - high) * math.cos(math.radians(angle))
            above = reach * math.sin(math.radians(angle))
            box = _box(x + aside, y + above, wide, high)
            within = inside[0] <= box[0] and inside[1] <= box[1] and box[2] <= inside[2] and box[3] <= inside[3]
            if within and not any(boxes_overlap(box, other) for other in taken):
                return reach, aside, above
    return _REACHES[0], _REACHES[0], 0.0


def _box(x: float, y: float, wide: float, high: float) -> Box:
    return x - wide, y - high, x + wide, y + high


def boxes_overlap(box: Box, other: Box) -> bool:
    """Return whether two boxes have more than an edge in common."""
    return box[0] < other[2] and other[0] < box[2] and box[1] < other[3] and other[1] < box[3]
