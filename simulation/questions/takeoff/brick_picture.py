"""The brick pattern of a stretch, mat by mat and to scale: end joints, key strips, guide rail with its joints and clearances.

Rows lie where the mean creep and the widths of key strips bring them, so that the clearances drawn are those of the take-off.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.field import AreaRows, make_rows, rail_joints, strips_from_start
from simulation.field.keystrips import lengths_of, pieces_across
from simulation.present.pictures.figure import GREY, INK, LARGE, PLAIN, SMALL, TITLE, axes_at, blank, cut, lines_within
from simulation.present.pictures.length_scale import mark_lengths
from simulation.scenario.reading.snapping import TOLERANCE
from simulation.scenario.types.mistakes import did_you_mean, refusal
from simulation.scenario.types.quantities.unit_names import unit_factor

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.scenario import Scenario
    from simulation.scenario.tables.ground import Area
    from simulation.scenario.types.quantities.measures import Measures, Unit

#: Inches: width of the picture, margins around the mats, greatest height of the mats; least depth of a row that can be seen.
WIDTH, LEFT, RIGHT, TOP, FOOT, HIGHEST, THINNEST = 10.0, 0.75, 0.95, 1.35, 1.5, 8.0, 0.05
#: An end of a stretch, with its unit or without.
_END = re.compile(r"\s*([0-9]+\.?[0-9]*|\.[0-9]+)\s*([^\W\d]*)\s*")
#: The grey of half mats.
_HALF = "#d5d5d5"
#: Inches that a number at the foot takes with the space to the next.
_ROOM = 0.6
#: Inches between the numbers of clearances, so that none touches the next.
_APART = 0.55


@dataclass(frozen=True)
class Detail:
    """A stretch of an area, in feet from its low end."""

    area: str
    start: float
    to: float


def read_detail(text: str, scenario: Scenario) -> Detail:
    """Return the stretch that is written as ``AREA:FROM-TO``.

    Raises
    ------
    ScenarioError
        If there is no such area, or no such stretch of it, or a row of it would be too thin to be seen.
    """
    name, _, span = text.rpartition(":")
    areas = {area.name: area for area in scenario.area}
    unit = scenario.measures.length
    ends = _ends(span, unit)
    if not name or ends is None:
        example = (
            f'write AREA:FROM-TO in {unit.name}, such as "strip:0-60", or with a unit, such as "strip:0-60 ft" or "strip:0-18 m"'
        )
        raise refusal("--detail", f"{text} is no stretch of an area", example)
    if name not in areas:
        raise refusal("--detail", f'there is no area "{name}"', did_you_mean(name, areas))
    area, (start, to) = areas[name], ends
    if abs(to - area.length) <= TOLERANCE:  # the far end, written as it was rounded
        to = area.length
    if not 0 <= start < to <= area.length:
        right = f"write FROM and TO, rising, from 0 to {unit.text(area.length)}"
        raise refusal("--detail", f"{unit.short(start)} to {unit.text(to)} is no stretch of {name}", right)
    depth = scenario.mat.row_depth
    most = (WIDTH - LEFT - RIGHT) / THINNEST * depth
    if HIGHEST / area.width * depth < THINNEST:
        raise refusal("--detail", f"{name} is {unit.text(area.width)} wide, too wide to be drawn mat by mat", "draw another area")
    if to - start > most:
        raise refusal(
            "--detail", f"{unit.text(to - start)} are too many rows to be told apart", f"write at most {unit.rounded(most)}"
        )
    return Detail(name, start, to)


def _ends(span: str, unit: Unit) -> tuple[float, float] | None:
    """Return both ends in feet: each in its own unit, or in that of the other, or in the reader's."""
    parts = [_END.fullmatch(end) for end in span.split("-")]
    if len(parts) != 2 or parts[0] is None or parts[1] is None:
        return None
    last = parts[1][2] or unit.name
    factors = [unit_factor("length", unit) for unit in (parts[0][2] or last, last)]
    if factors[0] is None or factors[1] is None:
        return None
    return float(parts[0][1]) * factors[0], float(parts[1][1]) * factors[1]


class _Laid:
    """Where rows, key strips and rail joints of an area lie, in feet from its low end."""

    def __init__(self, scenario: Scenario, area: Area) -> None:
        self.area, self.rows = area, make_rows(area, scenario.mat)
        self._creep = area.rail.creep.mean if area.guide_rail else 0.0
        self.strip = scenario.key_strips.width
        self._strips = strips_from_start(area, self.rows)
        self._turned = area.start == "one-end" and area.start_from == "high"

    def station(self, from_start: float) -> float:
        """Return where a distance from where laying begins lies, from the low end."""
        return self.area.length - from_start if self._turned else from_start

    def row(self, row: int) -> tuple[float, float]:
        """Return where a row begins and ends, the lower station first."""
        number = self.rows.count - 1 - row if self._turned else row
        low = number * (self.rows.depth + self._creep) + self.strip * sum(strip <= number for strip in self._strips)
        ends = self.station(low), self.station(low + self.rows.depth + self._creep)
        return min(ends), max(ends)

    def key_strips(self) -> list[float]:
        """Return the middles of the key strips."""
        return [(self.row(row - 1)[1] + self.row(row)[0]) / 2 for row in self.rows.key_strips]

    def rail_joints(self) -> list[float]:
        """Return the joints of the rail."""
        if not self.area.guide_rail:
            return []
        far = max(self.row(0)[1], self.row(self.rows.count - 1)[1], self.area.length)
        return [self.station(at) for at in rail_joints(self.area.rail, far, self.area.rail.seal)]


def draw_brick(scenario: Scenario, detail: Detail) -> Figure:
    """Return the brick pattern of a stretch."""
    area = next(area for area in scenario.area if area.name == detail.area)
    laid = _Laid(scenario, area)
    scale = min((WIDTH - LEFT - RIGHT) / (detail.to - detail.start), HIGHEST / area.width)
    wide, tall = (detail.to - detail.start) * scale, area.width * scale
    figure = blank(WIDTH, TOP + tall + FOOT)
    axes = axes_at(figure, LEFT, FOOT, wide, tall)
    axes.set_xlim(detail.start, detail.to)
    axes.set_ylim(area.width, 0.0)
    measures = scenario.measures
    axes.set_xlabel(f"{measures.length.name} from the low end of {area.name}", loc="left")
    axes.set_ylabel(f"{measures.length.name} from the left edge")
    mark_lengths(axes.xaxis, measures, detail.start, detail.to, min(9, max(1, int(wide / _ROOM))))
    for side in axes.spines.values():
        side.set_visible(False)
    _draw_mats(axes, scenario, laid, detail)
    _draw_strips(axes, scenario, laid, detail)
    rail = laid.rows.rail
    edges = [0.0, area.width] if rail is None else [0.0, rail * scenario.mat.half, area.width]
    axes.set_yticks(edges, [measures.length.short(edge) for edge in edges])
    if rail is not None:
        _draw_rail(axes, laid, rail * scenario.mat.half, detail, scale, measures)
    _draw_legend(figure, area, laid.rows, detail)
    _draw_words(figure, scenario, area, detail)
    return figure


def _rows_in(laid: _Laid, detail: Detail) -> list[int]:
    spans = [(row, *laid.row(row)) for row in range(laid.rows.count)]
    return [row for row, low, high in spans if high > detail.start and low < detail.to]


def _draw_mats(axes: Axes, scenario: Scenario, laid: _Laid, detail: Detail) -> None:
    from matplotlib.patches import Rectangle

    half = scenario.mat.half
    for row in _rows_in(laid, detail):
        low, high = laid.row(row)
        pattern, at = laid.rows.pattern(row), 0.0
        hatch = "////" if row in laid.rows.ramps else None
        for piece in pattern.pieces:
            kind, face = ("full mat", "white") if piece == 2 else ("half mat", _HALF)
            axes.add_patch(
                Rectangle(
                    (low, at), high - low, piece * half, facecolor=face, edgecolor=GREY, linewidth=0.5, hatch=hatch, gid=kind
                )
            )
            at += piece * half
        for joint in pattern.joints:
            axes.plot((low, high), (joint * half, joint * half), color=INK, linewidth=2.0, solid_capstyle="butt", gid="end joint")


def _draw_strips(axes: Axes, scenario: Scenario, laid: _Laid, detail: Detail) -> None:
    mat, rail, width = scenario.mat, laid.rows.rail, laid.area.width
    lanes = (width,) if rail is None else (rail * mat.half, width - rail * mat.half)
    lengths = lengths_of(scenario.key_strips.lengths, mat.full)
    places = [(at, "key strip", 2.5) for at in laid.key_strips()]
    if laid.rows.starter is not None:
        places.append((laid.row(laid.rows.starter)[0], "starter key strip", 4.5))
    for at, kind, thick in places:
        if not detail.start <= at <= detail.to:
            continue
        axes.plot((at, at), (0.0, width), color=INK, linewidth=thick, solid_capstyle="butt", gid=kind)
        x, joints = 0.0, []
        for lane in lanes:
            for piece in pieces_across(lane, lengths, mat.half):
                x += piece
                joints.append(x)
        axes.plot(
            [at] * (len(joints) - 1), joints[:-1], linestyle="none", marker="_", markersize=9, markeredgewidth=1.6,
            color=INK, gid=f"joints of {kind}",
        )  # fmt: skip


def _draw_rail(axes: Axes, laid: _Laid, offset: float, detail: Detail, scale: float, measures: Measures) -> None:
    ends = (detail.start, detail.to)
    axes.plot(ends, (offset, offset), color="white", linewidth=5.0, solid_capstyle="butt")
    axes.plot(ends, (offset, offset), color=INK, linewidth=3.0, solid_capstyle="butt", gid="rail")
    edges = sorted({end for row in _rows_in(laid, detail) for end in laid.row(row)})
    joints = [at for at in laid.rail_joints() if detail.start <= at <= detail.to]
    shown, last = [], -1e9
    for at in sorted(joints):
        axes.plot(
            [at], [offset], marker="D", markersize=7, markerfacecolor="white", markeredgecolor=INK, markeredgewidth=1.4,
            clip_on=False, zorder=3, gid="rail joint",
        )  # fmt: skip
        if (at - last) * scale >= _APART:
            shown.append(at)
            last = at
    for at in shown:
        near = min((abs(at - edge) for edge in edges), default=0.0)
        axes.plot((at, at), (offset, -0.06 / scale), color=INK, linewidth=0.8, linestyle=":", clip_on=False)
        text = measures.gap.number(near, 0 if measures.metric else 1)
        axes.text(at, -0.1 / scale, text, fontsize=SMALL, ha="center", va="bottom", gid="clearance")
    if shown:
        note = f"{measures.gap.name} from a joint of the rail to the nearest joint between rows:"
        axes.text(detail.start, -0.32 / scale, note, fontsize=SMALL, ha="left", va="bottom", style="italic")
    width = laid.area.width
    for middle, size, side in ((offset / 2, offset, "left"), ((offset + width) / 2, width - offset, "right")):
        text = f"{side} lane\n{measures.length.text(size)}"
        axes.text(1.0 + 0.08 / ((detail.to - detail.start) * scale), middle, text, fontsize=SMALL, va="center",
                  transform=axes.get_yaxis_transform(), gid=f"{side} lane")  # fmt: skip


def _draw_legend(figure: Figure, area: Area, rows: AreaRows, detail: Detail) -> None:
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    handles: list[Line2D | Patch] = [
        Patch(facecolor="white", edgecolor=GREY, label="full mat"),
        Patch(facecolor=_HALF, edgecolor=GREY, label="half mat"),
        Line2D([], [], color=INK, linewidth=2.0, label="end joint, one locking bar"),
        Line2D([], [], color=INK, linewidth=2.5, label="key strip; ticks: its own joints"),
    ]
    if rows.starter is not None:
        handles.append(Line2D([], [], color=INK, linewidth=4.5, label="starter key strip"))
    if any(detail.start < (row + 1) * rows.depth and row * rows.depth < detail.to for row in rows.ramps):
        handles.append(Patch(facecolor="white", edgecolor=GREY, hatch="////", label="row inside an end ramp"))
    if area.guide_rail:
        handles.append(
            Line2D(
                [],
                [],
                color=INK,
                linewidth=3.0,
                marker="D",
                markersize=7.0,
                markerfacecolor="white",
                label="guide rail and its joints",
            )
        )
    figure.legend(handles=handles, loc="lower left", bbox_to_anchor=(0.02, 0.0), ncols=4, frameon=False, fontsize=SMALL)


def _draw_words(figure: Figure, scenario: Scenario, area: Area, detail: Detail) -> None:
    high, inches = figure.get_figheight(), WIDTH - 0.6
    unit = scenario.measures.length
    title = f"{scenario.title}: {area.name}, {unit.short(detail.start)} to {unit.text(detail.to)}"
    figure.text(
        0.03, 1 - 0.15 / high, cut(title, LARGE, inches, bold=True), fontsize=LARGE, fontweight="bold", va="top", gid=TITLE
    )
    text = (
        "Rows run from top to bottom, the travel axis from left to right; to scale, joints and rail drawn thicker than they are."
    )
    if area.guide_rail:
        text = text.replace("; to scale", ", with mean creep and the widths of key strips; to scale")
    figure.text(0.03, 1 - 0.42 / high, "\n".join(lines_within(text, PLAIN, inches)[:2]), fontsize=PLAIN, va="top")
