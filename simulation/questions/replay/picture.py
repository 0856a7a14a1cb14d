"""One hour of a run as a picture: the plan to scale, who does what, the supply, and the days with their nights and rain.

Only greys, hatching and shapes tell things apart, so that it survives a black-and-white printer.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

from simulation.present.pictures.figure import INK, LARGE, NIGHT, SMALL, cut
from simulation.present.pictures.figure import lines_within as broken
from simulation.questions.replay import words
from simulation.questions.replay.key import END, GRADED, LAID, RAIL, SHAPES, draw_key
from simulation.questions.replay.places import PALLET, SYMBOL, WIDTH, YARD, GroundOnPage
from simulation.questions.replay.study import Frame, Replay

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

#: Inches: the picture and its margin, and its parts from the top down; the plan's own height follows from the ground.
WIDE, _EDGE, _HEAD, _KEY, _DAYS = 10.0, 0.25, 1.12, 0.64, 0.8
_PLAN = WIDE - 2 * _EDGE
_LINE = 0.185
#: A film breaks the same few lines over and over, which takes a third of its time.
lines_within = lru_cache(maxsize=4096)(broken)
#: Lines of a column: room for these always, and for as many as any frame needs up to the most; what does not fit is counted.
_LEAST, _MOST = 12, 24


@dataclass(frozen=True)
class _Column:
    """Lines of words in columns, a bold one on top; the first word is cut to `first` inches, the last broken to `last`."""

    rows: Sequence[tuple[str, ...]]
    lefts: tuple[float, ...]
    first: float
    last: float


def _needed(columns: Sequence[_Column]) -> int:
    """Return the lines of the longest of some columns."""
    return max(sum(max(1, len(lines_within(cells[-1], SMALL, column.last))) for cells in column.rows) for column in columns)


class Picture:
    """A picture of a replay that can be turned to any of its frames.

    Attributes
    ----------
    figure : Figure
    """

    def __init__(self, replay: Replay) -> None:
        from matplotlib.backends.backend_agg import FigureCanvasAgg
        from matplotlib.figure import Figure

        self.replay, self.plan = replay, GroundOnPage(replay.ground, replay.scenario.measures)
        tall = self.plan.height / WIDTH * _PLAN
        self._lines = min(_MOST, max(_LEAST, *(_needed(self._columns(frame)) for frame in replay.frames)))
        self._words = 0.28 + _LINE * self._lines
        self.height = _HEAD + tall + _KEY + self._words + _DAYS
        self.figure: Figure = Figure(figsize=(WIDE, self.height))
        FigureCanvasAgg(self.figure)
        self._moving: list[Artist] = []
        self._kept: dict[tuple[bool, bool], Any] = {}
        self._ground = self._axes(_EDGE, _DAYS + self._words + _KEY, _PLAN, tall)
        self._ground.set_xlim(0.0, WIDTH)
        self._ground.set_ylim(self.plan.height, 0.0)
        self._days = self._axes(_EDGE + 0.1, 0.36, _PLAN - 0.2, 0.2)
        self._draw_head()
        self._draw_areas()
        key = self._axes(_EDGE, _DAYS + self._words + 0.08, _PLAN, 0.48)
        draw_key(key, replay.ground, replay.scenario.takes_up, replay.scenario.makes_ends)
        self._draw_days()

    def turn_to(self, frame: Frame) -> Figure:
        """Show a frame, and return the figure."""
        self._clear()
        self._draw_sky(frame)
        self._draw_moving(frame)
        return self.figure

    def _draw_moving(self, frame: Frame) -> None:
        """Draw everything of a frame but its sky."""
        self._draw_rows(frame)
        self._draw_symbols(frame)
        self._draw_clock(frame)
        for column in self._columns(frame):
            self._draw_column(column)
        now = frame.hour / 24.0
        self._moving += self._days.plot([now, now], [-0.25, 1.25], color=INK, linewidth=2.5, clip_on=False, zorder=9)

    def pixels(self, frame: Frame) -> NDArray[np.uint8]:
        """Return a frame as pixels with red, green, blue and opacity, at the figure's own resolution.

        What does not move is drawn once for each kind of sky and kept, since most of the time goes into its letters.
        """
        canvas: Any = self.figure.canvas
        sky = (frame.night_until is not None, frame.rain)
        self._clear()
        if sky not in self._kept:
            self._draw_sky(frame)
            canvas.draw()
            self._kept[sky] = canvas.copy_from_bbox(self.figure.bbox)
            self._clear()
        canvas.restore_region(self._kept[sky])
        self._draw_moving(frame)
        for artist in sorted(self._moving, key=lambda artist: artist.get_zorder()):
            artist.draw(canvas.get_renderer())
        return np.array(canvas.buffer_rgba())

    def _clear(self) -> None:
        for artist in self._moving:
            artist.remove()
        self._moving.clear()

    def _axes(self, left: float, bottom: float, wide: float, tall: float) -> Axes:
        axes = self.figure.add_axes((left / WIDE, bottom / self.height, wide / WIDE, tall / self.height))
        axes.set_axis_off()
        return axes

    def _text(self, x: float, y: float, text: str, **how: Any) -> Artist:
        """Write at inches from the left and from the bottom."""
        return self.figure.text(x / WIDE, y / self.height, text, **{"fontsize": SMALL, "verticalalignment": "top", **how})

    def _draw_head(self) -> None:
        title, *cut = lines_within(self.replay.scenario.title, LARGE, _PLAN - 0.3, bold=True)
        self._text(_EDGE, self.height - 0.1, title + (" …" if cut else ""), fontsize=LARGE, fontweight="bold")
        line, *_ = lines_within(words.about(self.replay), SMALL, _PLAN)
        self._text(_EDGE, self.height - 0.36, line)

    def _draw_areas(self) -> None:
        from matplotlib.patches import Polygon

        axes, plan = self._ground, self.plan
        for _, corners in plan.areas():
            axes.add_patch(Polygon(corners, facecolor="white", edgecolor=INK, linewidth=0.8, linestyle=(0, (2, 2)), zorder=2))
        for name, (x, y) in plan.labels():
            axes.text(x, y, name, fontsize=SMALL, va="center", zorder=3, clip_on=False)
        bar = plan.bar
        x, y = WIDTH - 6 - bar, plan.height - 6
        axes.plot([x, x, x + bar, x + bar], [y - 5, y, y, y - 5], color=INK, linewidth=1.2, clip_on=False)
        axes.text(x - 6, y + 2, plan.length, fontsize=SMALL, verticalalignment="bottom", horizontalalignment="right")

    def _draw_days(self) -> None:
        from matplotlib.patches import Rectangle

        axes, end = self._days, self.replay.end / 24.0
        axes.set_xlim(0.0, end)
        axes.set_ylim(0.0, 1.0)
        axes.add_patch(Rectangle((0.0, 0.0), end, 1.0, facecolor="white", edgecolor=INK, linewidth=0.8, clip_on=False))
        for start, stop in self.replay.nights:
            axes.add_patch(
                Rectangle((start / 24, 0.0), min(stop / 24, end) - start / 24, 1.0, facecolor="#c9c9c9", linewidth=0.0)
            )
        for start, stop in self.replay.wet:
            axes.add_patch(
                Rectangle(
                    (start / 24, 0.0), (stop - start) / 24, 1.0, facecolor="none", edgecolor=INK, hatch="/////", linewidth=0.0
                )
            )
        for _, hour in self.replay.milestones:
            if math.isfinite(hour):
                axes.plot([hour / 24], [1.12], marker="v", markersize=6, color=INK, clip_on=False)
        every = max(1, math.ceil(end / 20))
        for number in range(0, math.floor(end) + 1, every):
            axes.plot([number, number], [-0.3, 0.0], color=INK, linewidth=0.8, clip_on=False)
            axes.text(number, -0.4, f"{number}", fontsize=SMALL, verticalalignment="top", horizontalalignment="center")
        key = "days since the start; grey: nobody on shift; hatched: rain; ▼ milestone; bar: now"
        self._text(_EDGE + 0.1, _DAYS, key)

    def _draw_sky(self, frame: Frame) -> None:
        from matplotlib.patches import Rectangle

        if frame.rain or frame.night_until is not None:
            look: dict[str, Any] = {"facecolor": NIGHT if frame.night_until is not None else "white", "linewidth": 0.0}
            if frame.rain:
                look |= {"edgecolor": "#b5b5b5", "hatch": "/"}
            sky = Rectangle((0.0, 0.0), WIDTH, self.plan.height, zorder=0, **look)
            self._moving.append(self._ground.add_patch(sky))

    def _draw_rows(self, frame: Frame) -> None:
        from matplotlib.collections import LineCollection, PolyCollection

        plan, stand = self.plan, frame.stand
        edges = list(enumerate(self.replay.ground.edges))
        graded = [plan.slab(edge, 0, stand.graded[index]) for index, edge in edges if stand.graded[index]]
        laid = [plan.slab(edge, *span) for index, edge in edges for span in stand.rows_lying(index)]
        begun = [plan.slab(edge, *span) for index, edge in edges for span in stand.rows_begun(index)]
        strips = [plan.strip(edge, edge.strips[number]) for index, edge in edges for number in stand.strips[index]]
        strips += [plan.strip(edge, 0) for _, edge in edges if edge.area in stand.prepared]
        looks: tuple[tuple[Any, dict[str, Any]], ...] = (
            (graded, {"facecolor": GRADED, "linewidth": 0.0, "zorder": 2.2}),
            (laid, {"facecolor": LAID, "edgecolor": INK, "linewidth": 0.6, "zorder": 2.4}),
            (begun, {"facecolor": "white", "edgecolor": INK, "hatch": "//////", "linewidth": 0.6, "zorder": 2.5}),
        )
        for slabs, look in looks:
            self._moving.append(self._ground.add_collection(PolyCollection(slabs, **look), autolim=False))
        ends = LineCollection(plan.ends(stand), zorder=2.8, **END)
        self._moving.append(self._ground.add_collection(ends, autolim=False))
        for number, sections in enumerate(stand.railed):
            (x, y), (far_x, far_y) = plan.rail_set(number, sections)
            self._moving += self._ground.plot([x, far_x], [y, far_y], zorder=2.7, **RAIL)
        self._moving.append(
            self._ground.add_collection(LineCollection(strips, color=INK, linewidth=1.4, zorder=2.6), autolim=False)
        )

    def _draw_symbols(self, frame: Frame) -> None:
        from matplotlib.patches import Rectangle

        axes, points = self._ground, 72.0 * _PLAN / WIDTH
        pallets = self.plan.pallets(frame)
        self._moving += axes.plot(
            [x for x, _ in pallets], [y for _, y in pallets], linestyle="none", marker="s", markersize=PALLET * points,
            markerfacecolor="white", markeredgecolor=INK, markeredgewidth=0.9, zorder=5,
        )  # fmt: skip
        (x, y), (wide, tall) = self.plan.at(self.replay.ground.yard), YARD
        box = Rectangle((x - wide, y - tall), 2 * wide, 2 * tall, facecolor="white", edgecolor=INK, linewidth=1.4, zorder=4)
        self._moving.append(axes.add_patch(box))
        for level in (-tall / 3, tall / 3):  # a stack of pallets
            self._moving += axes.plot([x - wide, x + wide], [y + level, y + level], color=INK, linewidth=0.8, zorder=4)
        label, at = self.plan.yard_label(frame)
        self._moving.append(axes.text(*at, label, fontsize=SMALL, ha="center", va="center", zorder=4, clip_on=False))
        for symbol in self.plan.symbols(frame):
            self._moving += axes.plot(*symbol.at, markersize=SYMBOL * points, color=INK, zorder=7, **SHAPES[symbol.kind])
            ink = "white" if symbol.kind == "crew" else INK
            self._moving.append(
                axes.text(
                    *symbol.at,
                    symbol.letters,
                    fontsize=SMALL,
                    fontweight="bold",
                    color=ink,
                    zorder=8,
                    ha="center",
                    va="center_baseline",
                )
            )

    def _draw_clock(self, frame: Frame) -> None:
        top = self.height - 0.64
        self._moving += [
            self._text(_EDGE, top, words.clock_line(self.replay, frame.hour), fontsize=LARGE + 3, fontweight="bold"),
            self._text(_EDGE, top - 0.27, f"{words.since(frame.hour)} after the start"),
            self._text(
                WIDE - _EDGE,
                top,
                words.state_line(self.replay, frame),
                fontsize=LARGE,
                fontweight="bold",
                horizontalalignment="right",
            ),
            self._text(WIDE - _EDGE, top - 0.27, f"weather: {words.sky_line(frame)}", horizontalalignment="right"),
        ]

    def _columns(self, frame: Frame) -> tuple[_Column, ...]:
        """Return what stands below the plan: laying edges, who does what, and supply with the milestones."""
        edges = [(*words.edge_heads(self.replay), "pallets"), *words.edge_lines(self.replay, frame)]
        who = [("who", "does what"), *words.actor_lines(self.replay, frame)]
        supply = [("supply", ""), *words.supply_lines(frame)]
        explained = words.explain_supply(self.replay)
        texts = (*explained, *words.further_lines(self.replay, frame), *words.milestone_lines(self.replay, frame))
        lines = [(line,) for text in texts for line in lines_within(text, SMALL, 1.98)]
        return (
            _Column(edges, (_EDGE, _EDGE + 1.2, _EDGE + 2.35, _EDGE + 2.95), 1.15, 9.0),
            _Column(who, (3.85, 5.1), 1.2, 2.45),
            _Column([*supply, ("",), *lines], (7.75, 8.75), 1.0, 2.0),
        )

    def _draw_column(self, column: _Column) -> None:
        at, rows, lefts = 0, column.rows, column.lefts
        for number, cells in enumerate(rows):
            lines = lines_within(cells[-1], SMALL, column.last)
            more = number + 1 < len(rows)
            if at + len(lines) + more > self._lines and at + _needed([replace(column, rows=rows[number:])]) > self._lines:
                self._write(lefts[0], at, f"and {len(rows) - number} more")
                return
            for cell, x in zip(cells[:-1], lefts, strict=False):
                self._write(x, at, cut(cell, SMALL, column.first if x == lefts[0] else column.last), number == 0)
            for below, line in enumerate(lines):
                self._write(lefts[len(cells) - 1], at + below, line, number == 0)
            at += max(1, len(lines))

    def _write(self, x: float, line: int, text: str, bold: bool = False) -> None:
        y = _DAYS + self._words - 0.16 - _LINE * line
        weight = "bold" if bold else "normal"
        if text:
            self._moving.append(self._text(x, y, text, fontweight=weight, verticalalignment="baseline"))
