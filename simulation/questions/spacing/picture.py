"""Draw what each layout costs: days to lay and take up against hours closed for repairs, the handbook's spacing marked."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from simulation.present.pictures.figure import GREY, INK, axes_at, blank, draw_words
from simulation.present.pictures.point_labels import label_points
from simulation.present.words import wording
from simulation.questions.spacing.layouts import HANDBOOK
from simulation.questions.spacing.sentences import spacing_headline
from simulation.questions.spacing.study import mean_days

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from simulation.questions.spacing.study import SpacingResult

#: Inches: the picture, and the axes in it.
_WIDTH, _HEIGHT, _LEFT, _BELOW, _WIDE, _HIGH = 8.4, 4.8, 0.9, 1.2, 7.0, 2.7


def picture_title(result: SpacingResult) -> str:
    """Return what the picture shows."""
    length = result.scenario.measures.length
    if result.handbook in result.as_good:
        return f"The handbook's {length.text(HANDBOOK)} is as good as any layout tried"
    return f"Key strips {result.best.layout.words(length)} leave the fewest days without a field"


def draw_spacing(result: SpacingResult) -> Figure:
    """Return the picture."""
    figure = blank(_WIDTH, _HEIGHT)
    axes = axes_at(figure, _LEFT, _BELOW, _WIDE, _HIGH)
    rows = [row for row in result.rows if np.isfinite(mean_days(row.without))]
    work = [mean_days(row.lay + row.take_up) for row in rows]
    closed = [float(row.closed.mean()) for row in rows]
    labels = []
    uniform = [index for index, row in enumerate(rows) if row.layout.uniform]
    axes.plot([work[index] for index in uniform], [closed[index] for index in uniform], color=GREY, linewidth=1.0)
    for row, x, y in zip(rows, work, closed, strict=True):
        handbook = row is result.handbook
        marker = "s" if handbook else "D" if row.layout.written else "o" if row.layout.uniform else "^"
        axes.plot([x], [y], marker=marker, markersize=9 if handbook else 6, color=INK,
                  markerfacecolor=INK if row in result.as_good else "white")  # fmt: skip
        name = row.layout.name(result.scenario.measures.length)
        labels.append((x, y, f"{name}, handbook" if handbook else name))
    axes.margins(0.12)
    axes.set_ylim(0.0, 1.4 * max(closed, default=0.0) or 1.0)  # from zero: else a minute of closing looks like a cliff
    label_points(axes, labels)
    axes.set_xlabel("days to lay and to take up, mean")
    axes.set_ylabel("hours closed in the stay, mean")
    axes.grid(color=GREY, linewidth=0.3)
    axes.set_axisbelow(True)
    note = (
        f"Means of {wording.counted(result.runs, 'run')} of each layout under the same luck. Filled: the fewest days without a "
        "field, laying, repairs and taking up together, or no measurable difference from it. Triangles: another distance where "
        "aircraft touch down than elsewhere. Diamond: the plan's own. Down and to the left is better."
    )
    draw_words(figure, _LEFT, picture_title(result), f"{result.scenario.title}, {result.area}.", note)
    return figure


def describe_spacing(result: SpacingResult) -> str:
    """Return what the picture shows in sentences, for readers who do not see it."""
    length = result.scenario.measures.length
    each = "; ".join(
        f"{row.layout.name(length)}: {mean_days(row.lay + row.take_up):.2f} days, {row.closed.mean():,.1f} hours"
        for row in result.rows
    )
    return f"Days to lay and take up, and hours closed in the stay, by layout: {each}. {spacing_headline(result)}"
