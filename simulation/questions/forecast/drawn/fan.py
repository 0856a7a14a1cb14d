"""How does the field grow? The area laid against days: the band over all runs, and one run drawn over it with its milestones.

Quantiles are known at each twentieth of the field and joined by straight lines; the drawn run is a staircase of its own steps.
Milestones are numbered above the axes, where no number can meet a line, and named in the margin.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.present.pictures.day_axis import SHORTEST_NIGHT, draw_days, shade
from simulation.present.pictures.figure import GREY, INK, NIGHT, SMALL, axes_at, blank, cut, draw_words, lines_within, listed
from simulation.present.words import wording
from simulation.questions.forecast.progress_fan import ProgressFan, progress_fan
from simulation.questions.forecast.shown import shown_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.forecast.single_run.timeline import Course
    from simulation.questions.forecast.study import Forecast

#: Inches: the picture, and the place of the axes in it.
WIDTH, HEIGHT = 8.4, 6.25
_LEFT, _BOTTOM, _AXES_WIDTH, _AXES_HEIGHT = 0.8, 1.75, 5.2, 3.4
#: Inches of the margin's lines of words, how many of them there may be, and the height of one.
_MARGIN, _LINES, _LINE = 2.1, 14, 0.16
#: Points between the middles of two numbers above the axes, at the least, and from the axes up to them: room for a line to each.
_APART, _ABOVE = 13.0, 9.0


def draw_fan(forecast: Forecast, course: Course) -> Figure:
    """Return the picture; `course` is the run drawn over the band."""
    figure = blank(WIDTH, HEIGHT)
    axes = axes_at(figure, _LEFT, _BOTTOM, _AXES_WIDTH, _AXES_HEIGHT)
    fan = progress_fan(forecast.table)
    end = _in_view(forecast, fan, course)
    axes.set_xlim(0.0, end / 24.0)
    axes.set_ylim(0.0, 102.0)
    shaded = shade(axes, forecast.calendar.off_shift(0.0, end, SHORTEST_NIGHT), 0.0, end)
    _draw_band(axes, fan, end)
    laid = [*course.laid, (course.over, course.laid[-1][1])]
    days, percents = [at / 24.0 for at, _ in laid], [100.0 * share for _, share in laid]
    axes.step(days, percents, where="post", color=INK, linewidth=1.8, zorder=5, label=f"run {course.run_number}")
    named = _named(course, forecast.readiness.name)
    _draw_milestones(axes, course, named)
    axes.set_ylabel(f"area {forecast.laid_word}, % of {forecast.scenario.measures.area.rounded(forecast.yardsticks.square_feet)}")
    draw_days(axes, forecast.calendar, 0.0, end)
    _draw_margin(figure, course, named)
    _draw_legend(axes, shaded)
    note = (
        f"The band holds the middle 80 % of the runs{_unknown(fan)}. "
        "It is calculated at every 5 % of area and joined by straight lines, so it slopes across nights. It does not cover wrong "
        "inputs or a wrong model."
    )
    draw_words(figure, _LEFT, conclude_fan(forecast, fan), shown_of(forecast, _shown(forecast, course)), note)
    return figure


def conclude_fan(forecast: Forecast, fan: ProgressFan) -> str:
    """Return what the picture says first: when half of the runs have laid all, or how far they come."""
    if math.isfinite(fan.p50[-1]):
        return f"Half of the runs have {forecast.laid_word} the whole field in {wording.days(fan.p50[-1])} days"
    part = max((percent for percent, at in zip(fan.percents, fan.p50, strict=True) if math.isfinite(at)), default=0)
    less = "take less than the whole field up" if forecast.scenario.takes_up else "lay less than the whole field"
    return f"Half of the runs {less}: they come to {part} %"


def describe_fan(forecast: Forecast, course: Course) -> str:
    """Return the picture in a sentence, for readers who do not see it."""
    fan = progress_fan(forecast.table)
    half, whole = fan.percents.index(50), len(fan.percents) - 1
    parts = []
    for percent, edge in (("50", half), ("100", whole)):
        low, middle, high = fan.p10[edge], fan.p50[edge], fan.p90[edge]
        if math.isinf(middle):
            parts.append(f"{percent} % of the area is {forecast.laid_word} {wording.BEYOND} in the median run")
        else:
            after = f"after {wording.days(middle)} days in the median (P10 {wording.days(low)}, P90 {wording.days(high)})"
            parts.append(f"{percent} % of the area is {forecast.laid_word} {after}")
    reached = [(name, at) for name, at in course.milestones.items() if math.isfinite(at)]
    ready = course.milestones[forecast.readiness.name]
    drawn = f"the drawn run, number {course.run_number}, reaches {len(reached)} of {len(course.milestones)} milestones"
    if math.isfinite(ready):
        drawn += f" and is {forecast.ready_word} ({forecast.readiness.name}) after {wording.days(ready)} days"
    runs = wording.counted(forecast.run_count, "simulated run")
    area = forecast.scenario.measures.area.rounded(forecast.yardsticks.square_feet)
    return f"Area {forecast.laid_word}, of {area}, against days over {runs}: {listed(parts)}; {drawn}."


def _in_view(forecast: Forecast, fan: ProgressFan, course: Course) -> float:
    """Return the last hour in view: the band as far as it is known, and the drawn run's end unless it ran to the last day
    simulated.
    """
    times = [hour for hour in (*fan.p90, *fan.p50, *fan.p10) if math.isfinite(hour)]
    times += [hour for hour in course.milestones.values() if math.isfinite(hour)]
    times += [at for at, _ in course.laid[1:]]
    end = 1.05 * max(times, default=forecast.scenario.horizon)
    horizon = forecast.scenario.horizon
    return horizon if forecast.unfinished and end < horizon < 2.0 * end else end


def _draw_band(axes: Axes, fan: ProgressFan, end: float) -> None:
    low, high = (_border(each, fan.percents, 2.0 * end) for each in (fan.p10, fan.p90))
    days, percents = zip(*low, *reversed(high), strict=True)
    axes.fill(days, percents, facecolor="none", edgecolor=GREY, hatch="////", linewidth=0, zorder=2, label="P10 to P90")
    for border in (low, high):
        axes.plot([at for at, _ in border], [percent for _, percent in border], color=GREY, linewidth=0.6, zorder=2)
    known = [(hour / 24.0, percent) for hour, percent in zip(fan.p50, fan.percents, strict=True) if math.isfinite(hour)]
    axes.plot(
        [at for at, _ in known], [percent for _, percent in known], color=INK, linewidth=1.3, linestyle=(0, (5, 3)), zorder=4,
        label="P50",
    )  # fmt: skip


def _border(times: Sequence[float], percents: Sequence[int], far: float) -> list[tuple[float, float]]:
    """Return one edge of the band, days and percent; where too few runs came to a part, it goes level out of the picture."""
    known = [(at / 24.0, float(percent)) for at, percent in zip(times, percents, strict=True) if math.isfinite(at)]
    if len(known) < len(times):
        known.append((far / 24.0, known[-1][1] if known else 0.0))
    return known


def _named(course: Course, ready: str) -> list[tuple[str, float]]:
    """Return the milestones that have room in the margin, in the order in which they were reached: readiness always."""
    reached = sorted(((name, at) for name, at in course.milestones.items() if math.isfinite(at)), key=lambda entry: entry[1])
    room, kept = _LINES - 2, set()
    for name, at in sorted(reached, key=lambda entry: entry[0] != ready):
        lines = len(_entry(0, name, at).split("\n"))
        if lines > room:
            break
        room -= lines
        kept.add(name)
    return [(name, at) for name, at in reached if name in kept]


def _entry(number: int, name: str, at: float) -> str:
    return f"{cut(f'{number} {name}', SMALL, _MARGIN - 0.2, 2)}\n   {wording.days(at)} days"


def _draw_milestones(axes: Axes, course: Course, named: Sequence[tuple[str, float]]) -> None:
    """Mark milestones on the drawn run's line, those of the margin with numbers above the axes, moved aside where they meet."""
    numbered = dict(named)
    for name, at in course.milestones.items():
        if not math.isfinite(at):
            continue
        height = 100.0 * course.share(at)
        axes.plot([at / 24.0], [height], marker="o", markersize=4.5, color=INK, zorder=6, linestyle="")
        if name in numbered:
            axes.plot([at / 24.0] * 2, [height, 102.0], color=INK, linewidth=0.8, linestyle=(0, (1, 2)), zorder=3)
    right = axes.get_xlim()[1]
    points = 72.0 * _AXES_WIDTH
    places: list[float] = []
    for _, at in named:
        places.append(max(at / 24.0 / right * points, places[-1] + _APART if places else 0.0))
    limit = points
    for index in reversed(range(len(places))):
        places[index] = min(places[index], limit)
        limit = places[index] - _APART
    for number, ((_, at), across) in enumerate(zip(named, places, strict=True), 1):
        axes.annotate(
            str(number), (at / 24.0, 102.0), xytext=(across - at / 24.0 / right * points, _ABOVE), textcoords="offset points",
            ha="center", va="bottom", fontsize=SMALL, fontweight="bold", annotation_clip=False,
            arrowprops={"arrowstyle": "-", "linewidth": 0.8, "color": INK, "relpos": (0.5, 0.0), "shrinkA": 0, "shrinkB": 0},
        )  # fmt: skip


def _draw_margin(figure: Figure, course: Course, named: Sequence[tuple[str, float]]) -> None:
    left, top = (_LEFT + _AXES_WIDTH + 0.12) / WIDTH, (_BOTTOM + _AXES_HEIGHT) / HEIGHT
    beyond = sum(math.isinf(at) for at in course.milestones.values())
    more = len(course.milestones) - beyond - len(named)
    blocks = [_entry(number, name, at) for number, (name, at) in enumerate(named, 1)]
    rest = [f"{more} more, not numbered"] if more else []
    rest += [f"{beyond} not reached"] if beyond else []
    lines = [
        f"milestones of run {course.run_number}",
        *"\n".join(blocks).split("\n"),
        *lines_within("; ".join(rest), SMALL, _MARGIN - 0.2),
    ]
    for index, line in enumerate(line for line in lines if line):
        figure.text(
            left, top - index * _LINE / HEIGHT, line, fontsize=SMALL, va="top", fontweight="bold" if index == 0 else "normal"
        )


def _draw_legend(axes: Axes, shaded: bool) -> None:
    from matplotlib.patches import Patch

    handles, labels = axes.get_legend_handles_labels()
    if shaded:
        handles.append(Patch(facecolor=NIGHT, edgecolor=GREY, linewidth=0.5))
        labels.append("nobody lays")
    axes.legend(handles, labels, loc="lower left", bbox_to_anchor=(1.0, 0.0), handlelength=2.6, labelspacing=0.4)


def _shown(forecast: Forecast, course: Course) -> str:
    runs = wording.counted(forecast.run_count, "run")
    words = f"area {forecast.laid_word} by day in {runs}, and in run {course.run_number}, "
    known = math.isfinite(course.milestones[forecast.readiness.name])
    words += f"the nearest to P50 of {forecast.readiness.name}" if known else f"one of those not {forecast.ready_word}"
    if forecast.unfinished:
        within = f"within the {wording.days(forecast.scenario.horizon)} days simulated"
        words += f"; {forecast.unfinished:,} not {forecast.ready_word} {within}"
    return words


def _unknown(fan: ProgressFan) -> str:
    """Return from which part of the area on the P90 is not known."""
    beyond = [percent for percent, at in zip(fan.percents, fan.p90, strict=True) if math.isinf(at)]
    return f"; from {beyond[0]} % on, its later end lies after the last day simulated" if beyond else ""
