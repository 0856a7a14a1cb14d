"""How is it shown what takes an hour? A mark for each cause, told apart by its shape and never by colour."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from simulation.conditions.clock.calendar import DARK, FATIGUE, OFF_SHIFT
from simulation.conditions.clock.lost_hours import AT_WORK
from simulation.conditions.stops.weather_limits import COLD, HEAT, LIGHTNING, MUD, RAIN, WIND
from simulation.present.pictures.figure import GREY, INK

if TYPE_CHECKING:
    from matplotlib.axes import Axes

#: (column, row) of a cell's lower left corner, and how much of it is marked from there on; cells are 1 wide and 1 high.
Cell = tuple[float, float, float]

#: Grey of a cell, where it has one.
FILL = {OFF_SHIFT: "#e4e4e4", DARK: "#b4b4b4", RAIN: INK}
#: Strokes of a mark within a cell, each from (x, y) to (x, y).
STROKES = {
    WIND: (((0.15, 0.1), (0.85, 0.9)),),
    HEAT: (((0.15, 0.32), (0.85, 0.32)), ((0.15, 0.68), (0.85, 0.68))),
    COLD: (((0.3, 0.12), (0.3, 0.88)), ((0.7, 0.12), (0.7, 0.88))),
    LIGHTNING: (((0.15, 0.1), (0.85, 0.9)), ((0.15, 0.9), (0.85, 0.1))),
    FATIGUE: (((0.3, 0.5), (0.7, 0.5)),),
}
#: Hatching of a bar that stands for a cause, like its strokes.
HATCH = {WIND: "////", HEAT: "----", COLD: "||||", LIGHTNING: "xxxx", FATIGUE: "--", MUD: ".."}
#: Causes that are shown as a dot in the middle.
DOT = (MUD,)
#: Points across.
_DOT_SIZE = 3.0
#: What lies before the start, or after the last hour that is looked at.
OUTSIDE = "outside the period"
ORDER = (AT_WORK, OFF_SHIFT, DARK, FATIGUE, LIGHTNING, RAIN, WIND, MUD, HEAT, COLD)


def draw_cells(axes: Axes, cells: dict[str, list[Cell]]) -> None:
    """Draw the mark of each cause into its cells, as wide as the share that it took; a cause without one stays white.

    Parameters
    ----------
    axes : Axes
    cells : dict of str to list of Cell
    """
    from matplotlib.collections import LineCollection, PolyCollection

    for cause, places in cells.items():
        if cause in FILL:
            boxes = [[(x, y), (x + part, y), (x + part, y + 1), (x, y + 1)] for x, y, part in places]
            # An edge of the same grey: without one, hair lines of white stand between cells.
            axes.add_collection(
                PolyCollection(boxes, facecolor=FILL[cause], edgecolor=FILL[cause], linewidth=0.2, zorder=1), autolim=False
            )
        if cause == OUTSIDE:
            xs = [x + part for x, _, _ in places for part in (0.25, 0.75)]
            ys = [y + 0.5 for _, y, _ in places for _ in range(2)]
            axes.plot(xs, ys, ".", color=GREY, markersize=1.2, linewidth=0, zorder=2)
        if cause in STROKES:
            lines = [[(x + a * part, y + b) for a, b in stroke] for x, y, part in places for stroke in STROKES[cause]]
            axes.add_collection(LineCollection(lines, colors=INK, linewidths=0.8, zorder=2), autolim=False)
        if cause in DOT and places:
            xs, ys = [x + part / 2 for x, _, part in places], [y + 0.5 for _, y, _ in places]
            axes.scatter(xs, ys, [_DOT_SIZE**2 * part for _, _, part in places], color=INK, linewidths=0, zorder=2)


def in_order(causes: Iterable[str]) -> list[str]:
    """Return causes in the order in which they count."""
    return sorted(causes, key=ORDER.index)
