"""Draw what each layout costs: days without a field against the handbook's, with intervals; below, what they are made of."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from simulation.present.pictures.figure import GREY, INK, axes_at, blank, draw_words
from simulation.present.pictures.point_labels import label_points
from simulation.present.words import wording
from simulation.questions.spacing.layouts import HANDBOOK
from simulation.questions.spacing.sentences import change_cell, spacing_headline
from simulation.questions.spacing.study import mean_days
from simulation.stats.quantiles import CONFIDENCE

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.spacing.study import SpacingResult, SpacingRow

#: Inches: the picture's width, and the axes in it: left edge, width, height of the lower ones, a line of the upper ones.
_WIDTH, _LEFT, _WIDE, _HIGH, _EACH = 8.4, 0.9, 7.0, 2.5, 0.25
#: Inches: names beside the upper axes, what stands above them, between the two, and below.
_NAMES, _ABOVE, _BETWEEN, _BELOW = 1.3, 0.75, 0.85, 1.35
#: Days that the lower axis spans at the least: less is no difference to anybody.
_SPAN = 0.1


def picture_title(result: SpacingResult) -> str:
    """Return what the picture shows."""
    length = result.scenario.measures.length
    if result.handbook in result.as_good:
        return f"The handbook's {length.text(HANDBOOK)} is as good as any layout tried"
    return f"Key strips {result.best.layout.words(length)} leave the fewest days without a field"


def draw_spacing(result: SpacingResult) -> Figure:
    """Return the picture."""
    rows = [row for row in result.rows if np.isfinite(mean_days(row.without))]
    lines = _EACH * len(rows) + 0.2
    figure = blank(_WIDTH, _BELOW + _HIGH + _BETWEEN + lines + _ABOVE)
    if rows:
        upper = axes_at(figure, _LEFT + _NAMES, _BELOW + _HIGH + _BETWEEN, _WIDE - _NAMES, lines)
        _draw_changes(upper, result, rows)
    _draw_parts(axes_at(figure, _LEFT, _BELOW, _WIDE, _HIGH), result, rows)
    note = (
        f"Means of {wording.counted(result.runs, 'run')} of each layout under the same luck. Lines: intervals of the change, "
        f"which hold together at {100 * CONFIDENCE:.0f} %; sampling error only. Filled: the fewest days without a field, "
        "laying, repairs and taking up together, or no measurable difference from it. Square: the handbook's."
        f"{_other_marks(rows)} Lower picture: down and to the left is better."
    )
    draw_words(figure, _LEFT, picture_title(result), f"{result.scenario.title}, {result.area}.", note)
    return figure


def _draw_changes(axes: Axes, result: SpacingResult, rows: list[SpacingRow]) -> None:
    """Draw what each layout changes against the handbook's, with its interval."""
    length = result.scenario.measures.length
    axes.set_ylim(len(rows) - 0.4, -0.6)
    axes.set_yticks(range(len(rows)), [row.layout.name(length) for row in rows])
    axes.tick_params(axis="y", length=0)
    axes.axvline(0.0, color=INK, linewidth=1.0)
    for line, row in enumerate(rows):
        change = result.against(result.handbook, row)
        if row is not result.handbook and change.low is not None and change.high is not None:
            ends = [change.low / 24.0, change.high / 24.0]
            axes.plot(ends, [line, line], color=INK, linewidth=1.2, marker="|", markersize=5)
        _mark(axes, result, row, (change.value or 0.0) / 24.0, line)
    low, high = axes.get_xlim()
    wider = max(0.0, _SPAN - (high - low)) / 2
    axes.set_xlim(low - wider, high + wider)
    axes.set_xlabel(f"change of days without a field against the handbook's {length.text(HANDBOOK)} (left of 0: fewer)")
    axes.grid(axis="x", color=GREY, linewidth=0.3)
    axes.set_axisbelow(True)


def _draw_parts(axes: Axes, result: SpacingResult, rows: list[SpacingRow]) -> None:
    """Draw of what the days without a field are made: laying and taking up, and hours closed."""
    length = result.scenario.measures.length
    work = [mean_days(row.lay + row.take_up) for row in rows]
    closed = [float(row.closed.mean()) for row in rows]
    labels = []
    uniform = [index for index, row in enumerate(rows) if row.layout.uniform]
    axes.plot([work[index] for index in uniform], [closed[index] for index in uniform], color=GREY, linewidth=1.0)
    for row, x, y in zip(rows, work, closed, strict=True):
        _mark(axes, result, row, x, y)
        name = row.layout.name(length)
        labels.append((x, y, f"{name}, handbook" if row is result.handbook else name))
    axes.margins(0.12)
    low, high = axes.get_xlim()
    wider = max(0.0, _SPAN - (high - low)) / 2  # else a minute of work looks like days
    axes.set_xlim(low - wider, high + wider)
    axes.set_ylim(0.0, 1.4 * max(closed, default=0.0) or 1.0)  # from zero: else a minute of closing looks like a cliff
    axes.ticklabel_format(axis="x", useOffset=False)
    label_points(axes, labels)
    axes.set_xlabel("days to lay and to take up, mean")
    axes.set_ylabel("hours closed in the stay, mean")
    axes.grid(color=GREY, linewidth=0.3)
    axes.set_axisbelow(True)


def _mark(axes: Axes, result: SpacingResult, row: SpacingRow, x: float, y: float) -> None:
    handbook = row is result.handbook
    marker = "s" if handbook else "D" if row.layout.written else "o" if row.layout.uniform else "^"
    axes.plot([x], [y], marker=marker, markersize=9 if handbook else 6, color=INK,
              markerfacecolor=INK if row in result.as_good else "white", zorder=5)  # fmt: skip


def _other_marks(rows: list[SpacingRow]) -> str:
    """Return what the other marks mean that are drawn."""
    zoned = " Triangles: another distance where aircraft touch down than elsewhere."
    own = " Diamond: the plan's own."
    return (zoned if any(row.layout.close is not None for row in rows) else "") + (
        own if any(row.layout.written for row in rows) else ""
    )


def describe_spacing(result: SpacingResult) -> str:
    """Return what the picture shows in sentences, for readers who do not see it."""
    length = result.scenario.measures.length
    each = "; ".join(
        f"{row.layout.name(length)}: {mean_days(row.lay + row.take_up):.2f} days, {row.closed.mean():,.1f} hours"
        for row in result.rows
    )
    changes = "; ".join(
        f"{row.layout.name(length)}: {change_cell(result.against(result.handbook, row))}"
        for row in result.rows
        if row is not result.handbook
    )
    return (
        f"Change of days without a field against the handbook's: {changes}. Days to lay and take up, and hours closed in the "
        f"stay, by layout: {each}. {spacing_headline(result)}"
    )
