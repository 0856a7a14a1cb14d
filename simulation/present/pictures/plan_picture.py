"""The field to scale, as a picture: areas with key strips, rail, ramps and junctions, the yard, north, and a scale bar.

Everything is drawn where `field.layout` places it. What tells things apart is line and hatch, never colour.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple
from unicodedata import bidirectional

from simulation.field import Placed, Point, TakeOff, bounds_of, find_junctions, make_rows, place_areas, take_off, yard_point
from simulation.field.junctions import most_gap
from simulation.present.pictures.figure import GREY, INK, LARGE, PLAIN, SMALL, STYLE, TITLE, axes_at, blank, cut, lines_within
from simulation.present.pictures.length_scale import bar_within
from simulation.present.pictures.plan_tasks import draw_tasks, say_tasks, task_mark
from simulation.present.words import wording

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.scenario import Scenario
    from simulation.scenario.tables.ground import Area
    from simulation.scenario.types.quantities.measures import Measures

#: Inches: width of the picture, margins around the ground, and the greatest height of the ground.
WIDTH, SIDE, TOP, FOOT, HIGHEST = 10.0, 0.5, 0.95, 1.35, 6.0
#: Inches that a scale bar may take at the most.
_BAR = 2.0
#: Inches of room for labels around the ground, and of space that a label keeps to what stands beside it.
_AROUND, _CLEAR = 0.45, 0.12
#: Where names have no room beside their areas: columns of the list of names, and inches of a line of it.
_COLUMNS, _LINE = 2, 0.19
Box = tuple[float, float, float, float]


class _Name(NamedTuple):
    """What is written beside an area or the yard, where, and whether nothing else stands there."""

    of: str
    text: str
    box: Box
    free: bool

    def draw(self, axes: Axes) -> None:
        left, right, low, high = self.box
        axes.text(
            (left + right) / 2, (low + high) / 2, self.text, fontsize=SMALL, ha="center", va="center", gid=f"name {self.of}"
        )


def draw_plan(scenario: Scenario) -> Figure:
    """Return the plan of a field."""
    from matplotlib.patches import Polygon, Rectangle

    placed, quantities = place_areas(scenario), take_off(scenario)
    yard = _yard(yard_point(scenario, placed), quantities.ordered.yard)
    left, right, low, high = (
        most(edge, other) for most, edge, other in zip((min, max, min, max), bounds_of(placed.values()), yard, strict=True)
    )
    scale = min((WIDTH - 2 * SIDE - 2 * _AROUND) / (right - left), HIGHEST / (high - low))
    tall = (high - low) * scale + 2 * _AROUND
    middle, wide = (left + right) / 2, (WIDTH - 2 * SIDE) / scale
    view = (middle - wide / 2, middle + wide / 2, low - _AROUND / scale, high + _AROUND / scale)
    names = _place_names(scenario, placed, yard, scale, view)
    key = [] if all(name.free for name in names) else _key_lines(scenario)
    room = _LINE * -(-len(key) // _COLUMNS)
    figure = blank(WIDTH, TOP + tall + room + FOOT)
    axes = axes_at(figure, SIDE, FOOT + room, WIDTH - 2 * SIDE, tall)
    axes.set_xlim(*view[:2])
    axes.set_ylim(*view[2:])
    axes.set_axis_off()
    for area in scenario.area:
        laid = placed[area.name]
        axes.add_patch(
            Polygon(laid.corners, closed=True, facecolor="white", edgecolor=INK, linewidth=1.2, gid=f"area {area.name}")
        )
        _draw_inside(axes, scenario, area, laid)
    _draw_junctions(axes, scenario, placed)
    draw_tasks(axes, scenario, placed)
    axes.add_patch(
        Rectangle((yard[0], yard[2]), yard[1] - yard[0], yard[3] - yard[2], fill=False, edgecolor=INK, linestyle="--", gid="yard")
    )
    _draw_names(axes, names, placed, numbered=bool(key))
    _draw_key(figure, key)
    _draw_bar(figure, scale, scenario.measures)
    _draw_north(figure, 90.0 if scenario.site is None else scenario.site.bearing)
    _draw_legend(figure, axes, scenario.measures)
    _draw_words(figure, scenario, quantities)
    return figure


def _yard(middle: Point, square_feet: float) -> Box:
    """Return the square of ground that the yard takes with all pallets in it."""
    half = math.sqrt(square_feet) / 2
    return middle[0] - half, middle[0] + half, middle[1] - half, middle[1] + half


def _draw_inside(axes: Axes, scenario: Scenario, area: Area, laid: Placed) -> None:
    from matplotlib.patches import Polygon

    rows, half = make_rows(area, scenario.mat), laid.width / 2
    long = area.ramp.rows * rows.depth
    for low, high in ((0.0, long), (laid.length - long, laid.length)) if area.end_ramps else ():
        corners = [laid.point(low, half), laid.point(low, -half), laid.point(high, -half), laid.point(high, half)]
        axes.add_patch(
            Polygon(corners, closed=True, facecolor="white", edgecolor=INK, hatch="/////", linewidth=0.8, gid=f"ramp {area.name}")
        )
    for row in rows.key_strips:
        _line(axes, laid.point(row * rows.depth, half), laid.point(row * rows.depth, -half), f"key strip {area.name}", GREY, 0.8)
    if rows.starter is not None:
        at = rows.starter * rows.depth
        _line(axes, laid.point(at, half), laid.point(at, -half), f"starter {area.name}", INK, 2.2)
    if rows.rail is not None:
        aside = rows.rail * scenario.mat.half - half
        _line(axes, laid.point(0.0, aside), laid.point(laid.length, aside), f"rail {area.name}", INK, 1.0, "-.")


def _line(axes: Axes, a: Point, b: Point, gid: str, ink: str, width: float, style: str = "-") -> None:
    axes.plot((a[0], b[0]), (a[1], b[1]), color=ink, linewidth=width, linestyle=style, solid_capstyle="butt", gid=gid)


def _draw_junctions(axes: Axes, scenario: Scenario, placed: dict[str, Placed]) -> None:
    for junction in find_junctions(scenario):
        ends = _touching(placed[junction.area], placed[junction.other])
        if junction.connectors:
            _line(axes, *ends, f"junction {junction.area}", INK, 3.5)
        else:
            _line(axes, *ends, f"gap {junction.area}", INK, 3.5, ":")


def _touching(first: Placed, other: Placed) -> tuple[Point, Point]:
    """Return the ends of the line along which two areas face each other, in the middle of any gap between them."""
    left, right, low, high = bounds_of([first])
    its_left, its_right, its_low, its_high = bounds_of([other])
    xs, ys = (max(left, its_left), min(right, its_right)), (max(low, its_low), min(high, its_high))
    if xs[1] - xs[0] > ys[1] - ys[0]:
        y = sum(ys) / 2
        return (xs[0], y), (xs[1], y)
    x = sum(xs) / 2
    return (x, ys[0]), (x, ys[1])


def _place_names(scenario: Scenario, placed: dict[str, Placed], yard: Box, scale: float, view: Box) -> list[_Name]:
    """Return every name with its size where nothing else stands beside its area, or the name alone; that of the yard last."""
    taken = [_box_of(placed[area.name]) for area in scenario.area]
    taken.append(yard)
    named = [(area.name, whole, taken[n]) for n, (area, whole) in enumerate(zip(scenario.area, _sizes(scenario), strict=True))]
    tall, away = 1.35 * SMALL / 72 / scale, 0.06 / scale
    labels = []
    for name, whole, box in [*named, ("yard", "yard", yard)]:
        places = [(text, _places(box, (text_inches(text, SMALL)[0] + _CLEAR) / scale, tall, away)) for text in (whole, name)]
        free = ((text, box) for text, several in places for box in several if _free(box, taken, view))
        text, free_box = next(free, (name, None))
        labels.append(_Name(name, text, places[1][1][0] if free_box is None else free_box, free_box is not None))
        taken.append(labels[-1].box)
    return labels


def _sizes(scenario: Scenario) -> list[str]:
    return [f"{_closed(area.name)}, {scenario.measures.size(area.length, area.width)}" for area in scenario.area]


def _closed(name: str) -> str:
    """Return a name that does not turn round the numbers beside it: one written from right to left stands between marks."""
    return f"\u200e{name}\u200e" if any(bidirectional(letter) in ("R", "AL") for letter in name) else name


def _key_lines(scenario: Scenario) -> list[str]:
    return [f"{number} {text}" for number, text in enumerate(_sizes(scenario), 1)]


def _draw_names(axes: Axes, names: list[_Name], placed: dict[str, Placed], numbered: bool) -> None:
    """Write the names beside their areas, or numbers in them."""
    for number, name in enumerate(names, 1):
        if not numbered or name.of not in placed:
            name.draw(axes)
            continue
        left, right, low, high = _box_of(placed[name.of])
        behind = {"facecolor": "white", "edgecolor": "none", "pad": 1.0}
        middle = ((left + right) / 2, (low + high) / 2)
        axes.text(*middle, f"{number}", fontsize=SMALL, ha="center", va="center", bbox=behind, gid=f"name {name.of}")


def _draw_key(figure: Figure, lines: list[str]) -> None:
    """Write the names of numbered areas below the ground, column by column."""
    wide, tall = (WIDTH - 2 * SIDE) / _COLUMNS, -(-len(lines) // _COLUMNS)
    for index, line in enumerate(lines):
        x, y = SIDE + wide * (index // tall), FOOT - 0.1 + _LINE * (tall - 1 - index % tall)
        figure.text(x / WIDTH, y / figure.get_figheight(), cut(line, SMALL, wide - 0.15), fontsize=SMALL, va="bottom")


def text_inches(text: str, size: float) -> tuple[float, float]:
    """Return how wide and how high a line of text is, in inches."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import text_to_path

    wide, high, _ = text_to_path.get_text_width_height_descent(
        text, FontProperties(family=STYLE["font.family"], size=size), ismath=False
    )
    return wide / 72.0, high / 72.0


def _box_of(laid: Placed) -> Box:
    return bounds_of([laid])


def _places(box: Box, wide: float, tall: float, away: float) -> list[Box]:
    """Return where a name may stand beside what it names, the best first."""
    left, right, low, high = box
    middle, level = (left + right) / 2, (low + high) / 2
    columns = [left + wide / 2, middle, right - wide / 2, *(left + (right - left) * share for share in (0.25, 0.75))]
    centres = [(x, y) for y in (low - away - tall / 2, high + away + tall / 2) for x in columns]
    centres += [(right + away + wide / 2, level), (left - away - wide / 2, level)]
    centres += [(x, y) for y in (low - away - 1.5 * tall, high + away + 1.5 * tall) for x in columns]
    return [(x - wide / 2, x + wide / 2, y - tall / 2, y + tall / 2) for x, y in centres]


def _free(box: Box, taken: list[Box], view: Box) -> bool:
    inside = view[0] <= box[0] and box[1] <= view[1] and view[2] <= box[2] and box[3] <= view[3]
    return inside and not any(meet(box, other) for other in taken)


def meet(first: Box, other: Box) -> bool:
    """Return whether two boxes, each left, right, low and high, have ground in common."""
    return first[0] < other[1] and other[0] < first[1] and first[2] < other[3] and other[2] < first[3]


def _draw_bar(figure: Figure, scale: float, measures: Measures) -> None:
    bar, length = bar_within(_BAR / scale, measures)
    high = figure.get_figheight()
    box = axes_at(figure, SIDE, 0.78, bar * scale, 0.09)
    box.set_axis_off()
    box.set_xlim(0, bar)
    box.set_ylim(0, 1)
    for part in range(4):
        box.axvspan(
            part * bar / 4, (part + 1) * bar / 4, facecolor=INK if part % 2 == 0 else "white", edgecolor=INK, linewidth=0.8
        )
    box.set_gid("scale bar")
    for at, text in ((0.0, "0"), (bar * scale, length)):
        figure.text((SIDE + at) / WIDTH, 1.0 / high, text, fontsize=SMALL, ha="center" if at else "left", va="center")


def _draw_north(figure: Figure, bearing: float) -> None:
    high = figure.get_figheight()
    box = axes_at(figure, WIDTH - SIDE - 0.5, high - 0.75, 0.5, 0.6)
    box.set_axis_off()
    box.set_xlim(-0.25, 0.25)
    box.set_ylim(-0.3, 0.3)
    # The plan's x runs along the bearing, clockwise from north; so north lies as far the other way round from x.
    dx, dy = math.cos(math.radians(bearing)), math.sin(math.radians(bearing))
    box.annotate(
        "", (0.12 * dx, 0.12 * dy), (-0.2 * dx, -0.2 * dy), arrowprops={"arrowstyle": "-|>", "color": INK, "linewidth": 1.4}
    )
    box.text(0.22 * dx, 0.22 * dy, "N", fontsize=SMALL, ha="center", va="center", fontweight="bold", gid="north")


def _draw_legend(figure: Figure, axes: Axes, measures: Measures) -> None:
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    drawn = {str(child.get_gid()).split(" ")[0] for child in axes.get_children() if child.get_gid()}
    everything = {
        "key": Line2D([], [], color=GREY, linewidth=0.8, label="key strip"),
        "starter": Line2D([], [], color=INK, linewidth=2.2, label="starter key strip"),
        "rail": Line2D([], [], color=INK, linewidth=1.0, linestyle="-.", label="guide rail"),
        "ramp": Patch(facecolor="white", edgecolor=INK, hatch="/////", label="end ramp"),
        "junction": Line2D([], [], color=INK, linewidth=3.5, label="junction"),
        "gap": Line2D([], [], color=INK, linewidth=3.5, linestyle=":", label=f"gap above {most_gap(measures)}"),
        "task": task_mark(),
        "yard": Patch(fill=False, edgecolor=INK, linestyle="--", label="yard: ground under all pallets and aisles"),
    }
    if handles := [handle for kind, handle in everything.items() if kind in drawn]:
        where = (SIDE / WIDTH - 0.008, 0.0)
        figure.legend(handles=handles, loc="lower left", bbox_to_anchor=where, ncols=4, frameon=False, fontsize=SMALL)


def _draw_words(figure: Figure, scenario: Scenario, quantities: TakeOff) -> None:
    high, inches = figure.get_figheight(), WIDTH - 2 * SIDE - 0.7
    figure.text(
        SIDE / WIDTH, 1 - 0.15 / high, cut(f"{scenario.title}: plan to scale", LARGE, inches, bold=True),
        fontsize=LARGE, fontweight="bold", va="top", gid=TITLE,
    )  # fmt: skip
    size = f"{scenario.measures.area.rounded(quantities.total('square_feet'))}, {wording.number(quantities.total('rows'))} rows"
    order = f"{wording.number(quantities.ordered.total_pallets)} pallets to order"
    text = f"{size}, to be taken up" if scenario.takes_up else f"{size}, {order}"  # who takes a field up orders nothing
    if quantities.warnings:
        text += f"; {wording.counted(len(quantities.warnings), 'thing')} to be looked after"
    figure.text(SIDE / WIDTH, 1 - 0.42 / high, "\n".join(lines_within(text, PLAIN, inches)[:2]), fontsize=PLAIN, va="top")


def describe_plan(scenario: Scenario) -> str:
    """Return what the plan shows, in a sentence."""
    areas = ", ".join(f"{area.name} {scenario.measures.size(area.length, area.width)}" for area in scenario.area)
    closed = wording.counted(sum(junction.connectors > 0 for junction in find_junctions(scenario)), "junction")
    return f"Plan of the field to scale: {areas}; {closed} closed by connectors{say_tasks(scenario)}."
