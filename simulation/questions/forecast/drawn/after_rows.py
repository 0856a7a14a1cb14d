"""What happens between the last row and an open field? A line for each piece of work, whose it is, and how long it takes."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.present.pictures.day_axis import draw_days, shade
from simulation.present.pictures.figure import GREY, INK, NIGHT, SMALL, axes_at, blank, cut, draw_words, listed
from simulation.present.words import wording
from simulation.questions.forecast.shown import shown_of
from simulation.stats.quantiles import order_statistic

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.forecast.single_run.after_rows import AfterRows
    from simulation.questions.forecast.single_run.timeline import Course
    from simulation.questions.forecast.study import Forecast

#: Inches: the picture's width, the names, the hours on the right, above, below, and a line.
_WIDTH, _NAMES, _RIGHT, _ABOVE, _BELOW, _LINE = 8.4, 2.7, 1.75, 1.15, 1.5, 0.42
#: Lines at the most; the longest pieces of work are shown. Planning value.
_MOST = 12
#: Hours before the last row that are in view at the most, and share of the view left free after the end.
_BEFORE, _AFTER = 24.0, 0.04
_HATCHES = {"drilling tie-downs": "////", "backfilling ramps": "...."}


def hours_after_rows(forecast: Forecast) -> list[float]:
    """Return the hours from the last row to readiness of every run that was ready."""
    ready, laid = (forecast.table[name].tolist() for name in (f"milestone.{forecast.readiness.name}", "progress.100"))
    return [hours for end, last in zip(ready, laid, strict=True) if math.isfinite(hours := end - last)]


def draw_after_rows(forecast: Forecast, course: Course) -> Figure:
    """Return the picture; where nothing follows the last row there is no line, and it says so."""
    shown = _shown_rows(course)
    high = _LINE * max(1, len(shown))
    height = _ABOVE + high + _BELOW
    figure = blank(_WIDTH, height)
    axes = axes_at(figure, _NAMES, _BELOW, _WIDTH - _NAMES - _RIGHT, high)
    start, end = _in_view(course, shown)
    axes.set_xlim(start / 24.0, end / 24.0)
    axes.set_ylim(max(1, len(shown)) - 0.5, -0.5)
    axes.set_yticks(range(len(shown)), [cut(f"{row.name}: {row.what}", SMALL, _NAMES - 0.25, 2) for row in shown])
    axes.tick_params(axis="y", length=0)
    shaded = shade(
        axes, [(max(low, start), min(stop, end)) for low, stop in course.off if stop > start and low < end], start, end
    )
    for line, row in enumerate(shown):
        _draw_row(axes, line, row)
    last_row = course.laid[-1][0]
    axes.plot([last_row / 24.0] * 2, [max(1, len(shown)) - 0.5, -0.5], color=INK, linewidth=1.4, linestyle=(0, (4, 3)), zorder=4)
    draw_days(axes, forecast.calendar, start, end)
    _draw_legend(axes, shaded)
    note = (
        f"The drawn run is one of many. Over all runs that were ready, {_over_all(forecast)}. Bars show when it is worked at; "
        "the hours on the right are hours of work."
    )
    below = f"work after the last row in run {course.run_number}, and whose it is"
    draw_words(figure, 0.2, conclude_after_rows(forecast), shown_of(forecast, below), note)
    return figure


def conclude_after_rows(forecast: Forecast) -> str:
    """Return what the picture says first: how long it takes from the last row to an open field."""
    hours = hours_after_rows(forecast)
    if not hours:
        return "No run was ready, so nothing is known of the time after the rows"
    return f"Half of the runs are ready within {order_statistic(hours, 0.5):,.0f} hours after the last row"


def describe_after_rows(forecast: Forecast, course: Course) -> str:
    """Return the picture in a sentence, for readers who do not see it."""
    parts = [f"{row.name} ({row.what}), {row.hours:,.1f} hours of the {row.whose}" for row in _shown_rows(course)]
    said = listed(parts) if parts else "nothing"
    return (
        f"After the last row, at {wording.days(course.laid[-1][0])} days in run {course.run_number}, there is left: {said}; over "
        f"all runs that were ready, {_over_all(forecast)}."
    )


def _over_all(forecast: Forecast) -> str:
    hours = hours_after_rows(forecast)
    if not hours:
        return "nothing is known of it, because there is none"
    low, middle, high = (order_statistic(hours, share) for share in (0.1, 0.5, 0.9))
    return f"it takes {middle:,.1f} hours or less in half of them, nights included (P10 {low:,.1f}, P90 {high:,.1f})"


def _shown_rows(course: Course) -> tuple[AfterRows, ...]:
    longest = sorted(course.after_rows, key=lambda row: -row.hours)[:_MOST]
    return tuple(row for row in course.after_rows if row in longest)


def _in_view(course: Course, shown: tuple[AfterRows, ...]) -> tuple[float, float]:
    last_row = course.laid[-1][0]
    first = min((row.spans[0][0] for row in shown if row.spans), default=last_row)
    start = max(0.0, min(last_row - 2.0, max(first, last_row - _BEFORE)))
    end = max((row.spans[-1][1] for row in shown if row.spans), default=course.over)
    end = max(end, last_row + 2.0)
    return start, end + _AFTER * (end - start)


def _draw_row(axes: Axes, line: int, row: AfterRows) -> None:
    if row.spans:
        axes.plot([row.spans[0][0] / 24.0, row.spans[-1][1] / 24.0], [line, line], color=GREY, linewidth=0.9, zorder=2)
    hatch = _HATCHES.get(row.name, "")
    for low, high in row.spans:
        axes.barh(
            [line], [(high - low) / 24.0], left=low / 24.0, height=0.5, facecolor="white" if hatch else "#9a9a9a", hatch=hatch,
            edgecolor=INK, linewidth=0.8, zorder=3,
        )  # fmt: skip
    whose = cut(f"{row.hours:,.1f} h, {row.whose}", SMALL, _RIGHT - 0.2, 2)
    axes.annotate(
        whose, (1.0, line), xycoords=("axes fraction", "data"), xytext=(6, 0),
        textcoords="offset points", va="center", fontsize=SMALL, annotation_clip=False,
    )  # fmt: skip


def _draw_legend(axes: Axes, shaded: bool) -> None:
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    handles: list[Line2D | Patch] = [Line2D([], [], color=INK, linewidth=1.4, linestyle=(0, (4, 3)), label="last row laid")]
    if shaded:
        handles.append(Patch(facecolor=NIGHT, edgecolor=GREY, linewidth=0.5, label="off shift or dark"))
    axes.legend(handles=handles, loc="lower left", bbox_to_anchor=(0.0, 1.0), ncols=2, borderaxespad=0.3)
