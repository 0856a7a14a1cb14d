"""Do the mats come in time, in the drawn run? Full and half mats that had come, those laid, and what the field needs, by day."""

from __future__ import annotations

from bisect import bisect_right
from typing import TYPE_CHECKING

from simulation.present.pictures.day_axis import draw_days
from simulation.present.pictures.figure import GREY, INK, SMALL, axes_at, blank, draw_words, listed
from simulation.present.words import wording
from simulation.questions.forecast.shown import shown_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.forecast.single_run.mats import MatsCourse
    from simulation.questions.forecast.single_run.timeline import Course
    from simulation.questions.forecast.study import Forecast

#: Inches: the picture's width, the place of the panels, above and below them, between two, and a panel's height.
_WIDTH, _LEFT, _AXES_WIDTH, _ABOVE, _BELOW, _BETWEEN, _PANEL = 8.4, 0.9, 5.3, 0.75, 1.85, 0.42, 1.75


def draw_mats(forecast: Forecast, course: Course) -> Figure:
    """Return the picture: a panel for full mats and one for half mats."""
    shown = shown_mats(course)
    height = _ABOVE + len(shown) * (_PANEL + _BETWEEN) + _BELOW
    figure = blank(_WIDTH, height)
    end, top = 1.02 * course.over, height - _ABOVE
    for mats in shown:
        top -= _BETWEEN + _PANEL
        axes = axes_at(figure, _LEFT, top, _AXES_WIDTH, _PANEL)
        axes.set_xlim(0.0, end / 24.0)
        _draw_mats(axes, mats, course.over)
        axes.set_title(_head(mats), fontsize=SMALL, fontweight="bold", loc="left", pad=4)
        axes.set_ylabel("mats")
        if mats is shown[0]:
            _draw_legend(axes)
        if mats is shown[-1]:
            draw_days(axes, forecast.calendar, 0.0, end)
        else:
            axes.tick_params(labelbottom=False)
    note = (
        "One run of many, not the forecast. The height of the hatched band is what is on hand: in the yard, on forklifts and at "
        "the edges. Crews may wait although mats are on hand, until a forklift brings them. Above the dotted line are spares."
    )
    below = f"mats that have come to the site and mats laid or found damaged, by day in run {course.run_number}"
    draw_words(figure, _LEFT, conclude_mats(course), shown_of(forecast, below), note)
    return figure


def shown_mats(course: Course) -> tuple[MatsCourse, ...]:
    """Return the kinds of mats that the field takes."""
    return tuple(mats for mats in course.mats if mats.need) or course.mats[:1]


def conclude_mats(course: Course) -> str:
    """Return what the picture says first: when the fewest mats of each kind were on hand, and how many."""
    parts = [f"{mats.fewest[1]:,} {mats.kind}" for mats in shown_mats(course)]
    return f"Fewest on hand while rows are laid: {listed(parts)} mats"


def describe_mats(forecast: Forecast, course: Course) -> str:
    """Return the picture in a sentence, for readers who do not see it."""
    parts = []
    for mats in shown_mats(course):
        at, on_hand = mats.fewest
        came = f"{mats.come[-1][1]:,} {mats.kind} mats come, {mats.used[-1][1]:,} are laid or damaged, {mats.need:,} are needed"
        parts.append(f"{came}, fewest on hand {on_hand:,} after {wording.days(at)} days")
    return f"Mats by day in run {course.run_number} of {wording.counted(forecast.run_count, 'run')}: {'; '.join(parts)}."


def _head(mats: MatsCourse) -> str:
    at, on_hand = mats.fewest
    return f"{mats.kind} mats: {mats.need:,} needed; fewest on hand {on_hand:,} after {wording.days(at)} days"


def _draw_mats(axes: Axes, mats: MatsCourse, over: float) -> None:
    import numpy as np

    come, used = ([*points, (over, points[-1][1])] for points in (mats.come, mats.used))
    times = np.unique([at for at, _ in (*come, *used)])
    upper, lower = ([_at(points, hour) for hour in times] for points in (come, used))
    days = times / 24.0
    axes.fill_between(days, lower, upper, step="post", facecolor="none", edgecolor=GREY, hatch="////", linewidth=0, zorder=2)
    axes.step(days, upper, where="post", color=INK, linewidth=1.8, zorder=4)
    axes.step(days, lower, where="post", color=INK, linewidth=1.4, linestyle=(0, (5, 3)), zorder=4)
    axes.axhline(mats.need, color=INK, linewidth=1.0, linestyle=(0, (1, 2)), zorder=3)
    axes.set_ylim(0.0, 1.08 * max(1, mats.need, mats.come[-1][1]))
    axes.yaxis.set_major_formatter(lambda value, _: f"{value:,.0f}")


def _at(points: list[tuple[float, int]], hour: float) -> int:
    return points[max(0, bisect_right(points, hour, key=lambda point: point[0]) - 1)][1]


def _draw_legend(axes: Axes) -> None:
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    handles: list[Line2D | Patch] = [
        Line2D([], [], color=INK, linewidth=1.8, label="come to the site"),
        Line2D([], [], color=INK, linewidth=1.4, linestyle=(0, (5, 3)), label="laid or damaged"),
        Patch(facecolor="none", edgecolor=GREY, hatch="////", linewidth=0.5, label="on hand"),
        Line2D([], [], color=INK, linewidth=1.0, linestyle=(0, (1, 2)), label="the field needs"),
    ]
    axes.legend(handles=handles, loc="upper left", bbox_to_anchor=(1.01, 1.0), borderaxespad=0.0)
