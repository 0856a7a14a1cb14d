"""Draw what each change gains, as dots with their intervals, and who limits when, as a bar for each third of the time.

Dots of measurable effects that a tenth of an hour shows are filled, others open; the parts of the bars differ by hatching:
colour alone says nothing.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Literal

from simulation.present.pictures.figure import GREY, INK, PLAIN, SMALL, TITLE, lines_within
from simulation.present.words import wording
from simulation.present.words.change_format import HOURS
from simulation.present.words.trial_words import count_runs
from simulation.questions.bottlenecks.sentences import WHEN, bottleneck_lines, warning_lines

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.bottlenecks.attribution import Holder
    from simulation.questions.bottlenecks.study import BottlenecksResult, BottlenecksRow

#: Inches: the picture's width, the margin of names, the title, the axis under each part, and a line's own height.
_WIDTH, _NAMES, _ABOVE, _AXIS, _EACH, _BAR = 8.4, 2.95, 1.35, 0.6, 0.25, 0.42
_RIGHT, _BELOW, _LEGEND = 0.35, 0.4, 0.55
#: Columns of the legend of causes, which may reach over the margin of names.
_COLUMNS = 3
#: Lines of the answer, and inches of each.
_SENTENCES, _LINE = 7, 0.17
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
    ("#d6d6d6", "ooo"),
    (GREY, "-----"),
    ("#ffffff", "+++"),
    ("#d6d6d6", "xxx"),
)


def draw_bottlenecks(result: BottlenecksResult) -> Figure:
    """Return the picture: what each change gains above, who limits in each third below."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    dots = [row for row in result.rows if row.against.around_p80.value is not None]
    holders = result.leading.holders
    dots_height = _EACH * len(dots) + 0.2 if dots else 0.0
    bars_height = _BAR * len(WHEN) if holders else 0.0
    legend = max(_LEGEND, 0.18 * math.ceil(len(holders) / _COLUMNS) + 0.1)
    height = (
        _ABOVE + _BELOW + (dots_height + _AXIS + _LEGEND if dots else 0.0) + (bars_height + _AXIS + legend if holders else 0.0)
    )
    figure = Figure(figsize=(_WIDTH, height))
    FigureCanvasAgg(figure)
    top = height - _ABOVE
    if dots:
        top -= _LEGEND
        _draw_dots(_axes(figure, top - dots_height, dots_height), dots)
        top -= dots_height + _AXIS
    if holders:
        _draw_bars(_axes(figure, top - legend - bars_height, bars_height), holders)
    _draw_words(figure, result, height, len(result.rows) - len(dots))
    return figure


def describe_bottlenecks(result: BottlenecksResult) -> str:
    """Return what the picture says in sentences, for readers who do not see it."""
    return " ".join([*bottleneck_lines(result), *warning_lines(result)])


def _axes(figure: Figure, bottom: float, high: float) -> Axes:
    """Return axes of so many inches over the whole width, names to their left."""
    width, height = figure.get_size_inches()
    axes = figure.add_axes((_NAMES / width, bottom / height, (width - _NAMES - _RIGHT) / width, high / height))
    axes.tick_params(axis="y", length=0)
    axes.spines["left"].set_visible(False)
    axes.grid(axis="x", color=GREY, linewidth=0.3, zorder=0)
    axes.set_axisbelow(True)
    return axes


def _draw_dots(axes: Axes, dots: Sequence[BottlenecksRow]) -> None:
    axes.set_ylim(len(dots) - 0.4, -0.6)
    axes.set_yticks(range(len(dots)))
    axes.set_yticklabels([_cut(row.trial.name) for row in dots], fontsize=SMALL)
    axes.axvline(0.0, color=INK, linewidth=1.0, zorder=3)
    for line, row in enumerate(dots):
        change = row.against.around_p80
        assert change.value is not None
        if change.low is not None and change.high is not None:
            axes.plot([change.low, change.high], [line, line], color=INK, linewidth=1.2, zorder=4, marker="|", markersize=5)
        fill = INK if change.measurable and HOURS.moves(change.value) else "white"  # no filled dot on zero
        axes.plot(
            [change.value],
            [line],
            marker="o",
            markersize=6,
            color=INK,
            markerfacecolor=fill,
            zorder=5,
            linewidth=0,
        )
    axes.margins(x=0.04)
    axes.set_xlabel("change of the dates from P70 to P90, hours on shift (left of 0: earlier)")
    handles = [
        axes.plot([], [], marker="o", color=INK, linewidth=0, label="measurable effect")[0],
        axes.plot(
            [], [], marker="o", color=INK, markerfacecolor="white", linewidth=0, label="no measurable effect, or under 0.05 hours"
        )[0],
    ]
    _legend(axes, handles, 2, "lower left")


def _cut(name: str) -> str:
    """Return a name that fits beside the axes."""
    first, *rest = lines_within(name, SMALL, _NAMES - 0.2)
    return first + (" …" if rest else "")


def _draw_bars(axes: Axes, holders: Sequence[Holder]) -> None:
    from matplotlib.patches import Patch

    axes.set_ylim(len(WHEN) - 0.5, -0.5)
    axes.set_yticks(range(len(WHEN)))
    axes.set_yticklabels(list(WHEN.values()))
    longest = max(sum(holder.thirds[third] for holder in holders) for third in WHEN)
    axes.set_xlim(0.0, 1.02 * longest)
    for line, third in enumerate(WHEN):
        begins = 0.0
        for number, holder in enumerate(holders):
            hours, (face, hatch) = holder.thirds[third], _PARTS[number % len(_PARTS)]
            axes.barh(
                [line], [hours], left=begins, height=0.7, facecolor=face, hatch=hatch, edgecolor=INK, linewidth=0.8, zorder=2
            )
            if hours >= 0.07 * longest:
                box = {"facecolor": "white", "edgecolor": "none", "pad": 1.2}
                middle = begins + hours / 2
                axes.text(middle, line, f"{hours:.1f}", ha="center", va="center", fontsize=SMALL, bbox=box, zorder=4)
            begins += hours
    axes.set_xlabel("average working hours in each third; off shift and dark left out")
    patches = [
        Patch(facecolor=face, hatch=hatch, edgecolor=INK, linewidth=0.8, label=holder.name)
        for holder, (face, hatch) in zip(holders, _PARTS * (1 + len(holders) // len(_PARTS)), strict=False)
    ]
    _legend(axes, patches, _COLUMNS, "lower right")


def _legend(axes: Axes, handles: Sequence[Any], columns: int, corner: Literal["lower left", "lower right"]) -> None:
    axes.legend(
        handles=handles,
        loc=corner,
        bbox_to_anchor=(float(corner == "lower right"), 1.0),
        ncols=columns,
        frameon=False,
        fontsize=SMALL,
        borderaxespad=0.2,
        handlelength=1.6,
    )


def _draw_words(figure: Figure, result: BottlenecksResult, height: float, left_out: int) -> None:
    """Draw the conclusion as title, the sentences that follow it, and how far to trust it."""
    inches = _WIDTH - 0.7
    headline, *others = bottleneck_lines(result)
    title = lines_within(headline, PLAIN, inches, bold=True)
    figure.text(0.2 / _WIDTH, (height - 0.12) / height, "\n".join(title), fontsize=PLAIN, fontweight="bold", va="top", gid=TITLE)
    below: list[str] = []
    for sentence in others[:3]:  # whole sentences only, as many as there is room for
        lines = lines_within(sentence, PLAIN, inches)
        if len(title) + len(below) + len(lines) > _SENTENCES:
            break
        below += lines
    top = 0.12 + _LINE * len(title) + 0.06
    figure.text(0.2 / _WIDTH, (height - top) / height, "\n".join(below), fontsize=PLAIN, va="top")
    beyond = f"{wording.counted(left_out, 'change')} after the last day simulated: in the table only. " if left_out else ""
    name, *cut = lines_within(result.outcome.scenario.title, SMALL, inches - 3.7)
    trust = (
        f"{name}{' …' if cut else ''}: {count_runs(result).removesuffix(', paired')}, paired, seed {result.seed}. {beyond}"
        "Lines are 95 % intervals: sampling error only; they do not cover wrong inputs or a wrong model."
    )
    figure.text(0.2 / _WIDTH, 0.1 / height, "\n".join(lines_within(trust, SMALL, inches)), fontsize=SMALL, va="bottom")
