"""What each thing would buy, and who limits when, as a picture: dots with their intervals, and a bar for each third of the time.

Dots that are measurable are filled, others open; the parts of the bars are told apart by hatching: nothing is said by
colour alone.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.present import wording
from simulation.present.figure import GREY, INK, LARGE, PLAIN, SMALL, lines_within
from simulation.present.time_scale import Scale, choose_scale
from simulation.questions.bottlenecks.sentences import WHEN, bottleneck_lines

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.bottlenecks.attribution import Holder
    from simulation.questions.bottlenecks.study import BottlenecksResult, BottlenecksRow

#: Inches: the picture's width, the margin of names, the title, the axis under each part, and a line's own height.
_WIDTH, _NAMES, _ABOVE, _AXIS, _EACH, _BAR = 8.4, 2.95, 1.35, 0.6, 0.25, 0.42
_RIGHT, _BELOW, _LEGEND = 0.35, 0.4, 0.55
#: Lines of the answer.
_SENTENCES = 6
#: (face, hatch) of the parts of a bar, in turn.
_PARTS = (
    ("#ffffff", ""),
    (GREY, ""),
    ("#ffffff", "/////"),
    ("#d6d6d6", ""),
    ("#ffffff", "xxxx"),
    ("#ffffff", "....."),
    ("#d6d6d6", "\\\\\\\\\\"),
    ("#ffffff", "|||||"),
)


def draw_bottlenecks(found: BottlenecksResult) -> Figure:
    """Return the picture: what each thing would buy above, who limits in each third below."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    dots = [one for one in found.tried if one.earlier_p80.value is not None]
    holders = found.leading.holders
    dots_height = _EACH * len(dots) + 0.2 if dots else 0.0
    bars_height = _BAR * len(WHEN) if holders else 0.0
    parts = [part for part in (dots_height, bars_height) if part]
    height = _ABOVE + sum(parts) + (_AXIS + _LEGEND) * len(parts) + _BELOW
    figure = Figure(figsize=(_WIDTH, height))
    FigureCanvasAgg(figure)
    top = height - _ABOVE - _LEGEND
    if dots:
        _draw_dots(_axes(figure, top - dots_height, dots_height), dots, choose_scale(found.outcome.p80.value))
        top -= dots_height + _AXIS + _LEGEND
    if holders:
        _draw_bars(_axes(figure, top - bars_height, bars_height), holders)
    _draw_words(figure, found, height, len(found.tried) - len(dots))
    return figure


def describe_bottlenecks(found: BottlenecksResult) -> str:
    """Return what the picture says in sentences, for readers who do not see it."""
    return " ".join(bottleneck_lines(found))


def _axes(figure: Figure, bottom: float, high: float) -> Axes:
    """Return axes of so many inches over the whole width, names to their left."""
    width, height = figure.get_size_inches()
    axes = figure.add_axes((_NAMES / width, bottom / height, (width - _NAMES - _RIGHT) / width, high / height))
    axes.tick_params(axis="y", length=0)
    axes.spines["left"].set_visible(False)
    axes.grid(axis="x", color=GREY, linewidth=0.3, zorder=0)
    axes.set_axisbelow(True)
    return axes


def _draw_dots(axes: Axes, dots: Sequence[BottlenecksRow], scale: Scale) -> None:
    axes.set_ylim(len(dots) - 0.4, -0.6)
    axes.set_yticks(range(len(dots)))
    axes.set_yticklabels([_cut(one.what_if.name) for one in dots], fontsize=SMALL)
    axes.axvline(0.0, color=INK, linewidth=1.0, zorder=3)
    for line, one in enumerate(dots):
        change = one.against.p80
        assert change.value is not None
        if change.low is not None and change.high is not None:
            ends = [change.low / scale.hours, change.high / scale.hours]
            axes.plot(ends, [line, line], color=INK, linewidth=1.2, zorder=4, marker="|", markersize=5)
        fill = INK if change.measurable else "white"
        place = [change.value / scale.hours]
        axes.plot(place, [line], marker="o", markersize=6, color=INK, markerfacecolor=fill, zorder=5, linewidth=0)
    axes.margins(x=0.04)
    axes.set_xlabel(f"change of the P80 of readiness, {scale.name} (left of 0: earlier than as it is)")
    handles = [
        axes.plot([], [], marker="o", color=INK, linewidth=0, label="measurable")[0],
        axes.plot([], [], marker="o", color=INK, markerfacecolor="white", linewidth=0, label="cannot be measurable")[0],
    ]
    _legend(axes, handles, 2)


def _cut(name: str) -> str:
    """Return a name that fits beside the axes."""
    first, *rest = lines_within(name, SMALL, _NAMES - 0.2)
    return first + (" …" if rest else "")


def _draw_bars(axes: Axes, holders: Sequence[Holder]) -> None:
    from matplotlib.patches import Patch

    axes.set_ylim(len(WHEN) - 0.5, -0.5)
    axes.set_yticks(range(len(WHEN)))
    axes.set_yticklabels([f"{third} third" for third in WHEN])
    longest = max(sum(one.thirds[third] for one in holders) for third in WHEN)
    axes.set_xlim(0.0, 1.02 * longest)
    for line, third in enumerate(WHEN):
        begins = 0.0
        for number, one in enumerate(holders):
            hours, (face, hatch) = one.thirds[third], _PARTS[number % len(_PARTS)]
            axes.barh(
                [line], [hours], left=begins, height=0.7, facecolor=face, hatch=hatch, edgecolor=INK, linewidth=0.8, zorder=2
            )
            if hours >= 0.07 * longest:
                box = {"facecolor": "white", "edgecolor": "none", "pad": 1.2}
                middle = begins + hours / 2
                axes.text(middle, line, f"{hours:.1f}", ha="center", va="center", fontsize=SMALL, bbox=box, zorder=4)
            begins += hours
    axes.set_xlabel("hours of the chain of causes by who holds it up; off shift and dark left out")
    patches = [
        Patch(facecolor=face, hatch=hatch, edgecolor=INK, linewidth=0.8, label=one.name)
        for one, (face, hatch) in zip(holders, _PARTS * (1 + len(holders) // len(_PARTS)), strict=False)
    ]
    _legend(axes, patches, 4)


def _legend(axes: Axes, handles: Sequence[Any], columns: int) -> None:
    axes.legend(
        handles=handles,
        loc="lower left",
        bbox_to_anchor=(0.0, 1.0),
        ncols=columns,
        frameon=False,
        fontsize=SMALL,
        borderaxespad=0.2,
        handlelength=1.6,
    )


def _draw_words(figure: Figure, found: BottlenecksResult, height: float, left_out: int) -> None:
    """Draw the title, the answer, and how far to trust it."""
    inches = _WIDTH - 0.4
    title, *cut = lines_within(found.outcome.scenario.title, LARGE, inches, bold=True)
    whole = title + (" …" if cut else "")
    figure.text(0.2 / _WIDTH, (height - 0.12) / height, whole, fontsize=LARGE, fontweight="bold", va="top")
    below: list[str] = []
    for sentence in bottleneck_lines(found)[:3]:  # whole sentences only, as many as there is room for
        lines = lines_within(sentence, PLAIN, inches)
        if below and len(below) + len(lines) > _SENTENCES:
            break
        below += lines
    figure.text(0.2 / _WIDTH, (height - 0.39) / height, "\n".join(below), fontsize=PLAIN, va="top")
    beyond = f"{wording.counted(left_out, 'change')} after the last day simulated: in the table only. " if left_out else ""
    trust = (
        f"{found.counted}, paired, seed {found.seed}. {beyond}"
        "Lines are 95 % intervals: sampling error only; they do not cover wrong inputs or a wrong model."
    )
    figure.text(0.2 / _WIDTH, 0.1 / height, "\n".join(lines_within(trust, SMALL, inches)), fontsize=SMALL, va="bottom")
