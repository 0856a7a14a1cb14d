"""Where does the work stand, and when? Stations along each area against days, for one run.

A solid line is the edge of what is laid, a broken one the ground graded ahead, a mark a key strip; behind them are the hours
in which nobody could lay. The largest areas have a panel each, as high as they are long within limits; smaller ones are counted.
"""

from __future__ import annotations

import math
from itertools import chain
from typing import TYPE_CHECKING

from simulation.present.pictures.day_axis import MOST_NIGHTS, SHORTEST_NIGHT, draw_days, shade
from simulation.present.pictures.figure import GREY, INK, NIGHT, SMALL, axes_at, blank, cut, draw_words, listed
from simulation.present.pictures.length_scale import mark_lengths
from simulation.present.words import wording
from simulation.questions.forecast.shown import shown_of
from simulation.study.calendar import span_text

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.forecast.single_run.timeline import AreaCourse, Course
    from simulation.questions.forecast.study import Forecast
    from simulation.scenario.types.quantities.measures import Measures
    from simulation.study.calendar import Calendar

#: Areas that have a panel, at the most. Planning value.
MOST_AREAS = 4
#: Inches: the picture's width, the place of the panels, what stands above and below them and between two.
WIDTH, _LEFT, _AXES_WIDTH, _ABOVE, _BELOW, _BETWEEN = 8.4, 0.8, 5.6, 0.72, 1.6, 0.36
#: Inches: the height of a panel, at the least and at the most, and of all together if they are equally long.
_LOW, _HIGH, _TOGETHER = 0.9, 2.4, 6.2

#: Behind the hours in which an area is closed for flying.
_CLOSED = "#b0b0b0"


def shown_areas(course: Course) -> tuple[AreaCourse, ...]:
    """Return the areas that have a panel, the largest few, in the order of the scenario."""
    by_size = sorted(course.areas, key=lambda area: -area.length * area.width)[:MOST_AREAS]
    return tuple(area for area in course.areas if area in by_size)[:MOST_AREAS]


def draw_stations(forecast: Forecast, course: Course) -> Figure:
    """Return the picture of one run."""
    areas, measures = shown_areas(course), forecast.scenario.measures
    longest = max(area.length for area in areas)
    highest = min(_HIGH, _TOGETHER / len(areas))
    heights = [max(_LOW, highest * area.length / longest) for area in areas]
    height = _ABOVE + sum(heights) + _BETWEEN * len(areas) + _BELOW
    figure = blank(WIDTH, height)
    end, top = 1.02 * course.over, height - _ABOVE
    shaded = False
    for area, high in zip(areas, heights, strict=True):
        top -= _BETWEEN + high
        axes = axes_at(figure, _LEFT, top, _AXES_WIDTH, high)
        axes.set_xlim(0.0, end / 24.0)
        axes.set_ylim(-0.03 * area.length, 1.03 * area.length)
        shaded = shade(axes, course.off, 0.0, end)
        for start, stop in course.rain:
            axes.axvspan(start / 24.0, stop / 24.0, facecolor="none", edgecolor=GREY, hatch="....", linewidth=0, zorder=0.5)
        for start, stop in area.closed:
            axes.axvspan(start / 24.0, stop / 24.0, facecolor=_CLOSED, linewidth=0, zorder=0.4)
        _draw_area(axes, area, course.over)
        mark_lengths(axes.yaxis, measures, 0.0, area.length, 6 if high > 1.5 else 3)
        axes.set_ylabel(f"station, {measures.length.name}")
        axes.set_title(_head(area, measures), fontsize=SMALL, fontweight="bold", loc="left", pad=4)
        if area is areas[0]:
            _draw_legend(axes, course, shaded)
        if area is areas[-1]:
            draw_days(axes, forecast.calendar, 0.0, end)
        else:
            axes.tick_params(labelbottom=False)
    note = "One run of many, with its own weather and breakdowns: not the forecast. " + _note(forecast, course, shaded)
    draw_words(figure, _LEFT, conclude_stations(forecast, course), shown_of(forecast, _shown(forecast, course)), note)
    return figure


def conclude_stations(forecast: Forecast, course: Course) -> str:
    """Return what the picture says first: when the drawn run's last row lies, and when it is ready."""
    ready = course.milestones[forecast.readiness.name]
    laid, share = course.laid[-1]
    if math.isinf(ready):
        return f"Run {course.run_number} lays {wording.percent(share)} of the field and is not ready"
    return f"Run {course.run_number} lays its last row after {wording.days(laid)} days and is ready after {wording.days(ready)}"


def describe_stations(forecast: Forecast, course: Course) -> str:
    """Return the picture in a sentence, for readers who do not see it."""
    parts, unit = [], forecast.scenario.measures.length
    for area in shown_areas(course):
        laid = [point for edge in area.edges for point in edge.laid]
        if not laid:
            parts.append(f"{area.name}, not begun")
            continue
        first, last = (wording.days(pick(at for at, _ in laid)) for pick in (min, max))
        edges = wording.counted(len(area.edges), "edge")
        laid_of = f"{unit.number(_sum_laid(area))} of {unit.rounded(area.length)} laid"
        part = f"{area.name}, {laid_of} on {edges} from {first} to {last} days"
        parts.append(part)
    ready = course.milestones[forecast.readiness.name]
    end = f"ready after {wording.days(ready)} days" if math.isfinite(ready) else "not ready by the last day simulated"
    rain = math.fsum(stop - start for start, stop in course.rain)
    left = len(course.areas) - len(parts)
    more = f"; {wording.counted(left, 'smaller area')} not shown" if left else ""
    return (
        f"Stations laid against days in run {course.run_number}, {end}: {'; '.join(parts)}{more}; "
        f"it rained {rain:,.1f} hours in {wording.counted(len(course.rain), 'spell')}."
    )


def _sum_laid(area: AreaCourse) -> float:
    """Return how many feet of an area lie at the end."""
    return math.fsum(abs(edge.laid[-1][1] - edge.laid[0][1]) for edge in area.edges if edge.laid)


def _draw_area(axes: Axes, area: AreaCourse, over: float) -> None:
    for edge in area.edges:
        front = [*edge.graded, (over, edge.graded[-1][1])]
        axes.step(
            [at / 24.0 for at, _ in front], [station for _, station in front], where="post", color=GREY, linewidth=1.4,
            linestyle=(0, (4, 2)), zorder=3,
        )  # fmt: skip
        axes.plot([at / 24.0 for at, _ in edge.laid], [station for _, station in edge.laid], color=INK, linewidth=1.8, zorder=4)
        axes.plot(
            [at / 24.0 for at, _ in edge.strips], [station for _, station in edge.strips], marker="o", markersize=4,
            markerfacecolor="white", markeredgecolor=INK, markeredgewidth=0.9, linestyle="", zorder=5,
        )  # fmt: skip
    axes.plot(
        [at / 24.0 for at, _ in area.starter], [station for _, station in area.starter], marker="s", markersize=6, color=INK,
        linestyle="", zorder=6,
    )  # fmt: skip


def _draw_legend(axes: Axes, course: Course, shaded: bool) -> None:
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    strip = {"marker": "o", "markersize": 4, "markerfacecolor": "white", "markeredgecolor": INK, "linestyle": ""}
    handles: list[Line2D | Patch] = [
        Line2D([], [], color=INK, linewidth=1.8, label="end of laid mats"),
        Line2D([], [], color=GREY, linewidth=1.4, linestyle=(0, (4, 2)), label="ground graded"),
        Line2D([], [], label="key strip set", **strip),  # type: ignore[arg-type]
    ]
    if any(area.starter for area in course.areas):
        handles.append(Line2D([], [], color=INK, marker="s", markersize=6, linestyle="", label="starter key strip"))
    if shaded:
        handles.append(Patch(facecolor=NIGHT, edgecolor=GREY, linewidth=0.5, label="off shift or dark"))
    if any(area.closed for area in course.areas):
        handles.append(Patch(facecolor=_CLOSED, edgecolor=GREY, linewidth=0.5, label="closed for flying"))
    if course.rain:
        stops = "rain: laying stops" if course.rain_stops else "rain"
        handles.append(Patch(facecolor="none", edgecolor=GREY, hatch="....", linewidth=0.5, label=stops))
    axes.legend(handles=handles, loc="upper left", bbox_to_anchor=(1.01, 1.0), handlelength=2.2, borderaxespad=0.0)


def _head(area: AreaCourse, measures: Measures) -> str:
    crews = f", laid by {', '.join(area.crews)}" if area.crews else ", not begun"
    return cut(
        f"{area.name}: {measures.length.number(area.length)} × {measures.length.rounded(area.width)}{crews}",
        SMALL,
        _AXES_WIDTH,
        bold=True,
    )


def _shown(forecast: Forecast, course: Course) -> str:
    ready = course.milestones[forecast.readiness.name]
    end = f"ready after {wording.days(ready)} days" if math.isfinite(ready) else "not ready by the last day simulated"
    words = f"how far the mats reach by day in run {course.run_number}, {end}"
    left = len(course.areas) - len(shown_areas(course))
    return words + (f"; the {MOST_AREAS} largest areas, {wording.counted(left, 'smaller one')} not shown" if left else "")


def _note(forecast: Forecast, course: Course, shaded: bool) -> str:
    """Return what is shaded, who works at night, and what was set."""
    nights = ""
    if forecast.calendar.keepers:
        shifts = f"Crews on shift: {_hours_of_crews(forecast.calendar)}"
        nights = f"{shifts}; shaded where none of them is. " if shaded else f"{shifts}. "
    if course.off and not shaded:
        long = 1.02 * course.over > 24.0 * MOST_NIGHTS
        pauses = f"No pause of the crews is as long as {SHORTEST_NIGHT:.0f} hours: none is shaded. "
        nights += f"Nights are not shaded beyond {MOST_NIGHTS:.0f} days. " if long else pauses
    strips = list(chain.from_iterable(edge.strips for area in course.areas for edge in area.edges))
    starters = sum(len(area.starter) for area in course.areas)
    besides = f" and {wording.counted(starters, 'starter key strip')}" if starters else ""
    return nights + (f"It set {wording.counted(len(strips), 'key strip')}{besides}." if strips else "It set no key strip.")


def _hours_of_crews(calendar: Calendar) -> str:
    """Return from when to when crews of the same hours are on shift, meals and breaks within."""
    return ", ".join(
        f"{listed(keeper.crews)} {span_text((keeper.spans[0][0], keeper.spans[-1][1]))}" for keeper in calendar.keepers
    )
