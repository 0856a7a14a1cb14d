"""How busy are crews and forklifts, day by day? The share of the workable hours spent at work: median and band over runs.

Below stands how many runs were still at work on the day: late days speak of slow runs only.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.present.pictures.day_axis import draw_days
from simulation.present.pictures.figure import GREY, INK, SMALL, axes_at, blank, draw_words, listed
from simulation.present.words import wording
from simulation.questions.forecast.days.use_by_day import ACTORS, ENOUGH, UseByDay, use_by_day
from simulation.questions.forecast.shown import shown_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.forecast.study import Forecast

#: Inches: the picture's width, the place of the panels, what stands above and below them and between two, and their heights.
WIDTH, _LEFT, _AXES_WIDTH, _ABOVE, _BELOW, _BETWEEN = 8.4, 0.8, 5.4, 0.75, 1.95, 0.42
_PANEL, _STRIP = 1.45, 0.6


def draw_use(forecast: Forecast) -> Figure:
    """Return the picture: crews, forklifts, and the runs still at work."""
    use = use_by_day(forecast.table, forecast.calendar)
    height = _ABOVE + len(ACTORS) * (_PANEL + _BETWEEN) + _STRIP + _BETWEEN + _BELOW
    figure = blank(WIDTH, height)
    end = use.days[-1].end if use.days else forecast.scenario.horizon
    top = height - _ABOVE
    for actor in ACTORS:
        top -= _BETWEEN + _PANEL
        axes = axes_at(figure, _LEFT, top, _AXES_WIDTH, _PANEL)
        _frame(axes, end, actor)
        _draw_actor(axes, use, actor)
        axes.set_ylabel("at work, %")
        axes.tick_params(labelbottom=False)
        if actor == ACTORS[0]:
            _draw_legend(axes)
    axes = axes_at(figure, _LEFT, top - _BETWEEN - _STRIP, _AXES_WIDTH, _STRIP)
    _frame(axes, end, "runs at work on the day")
    for day in use.days:
        wide = (day.end - day.start) / 24.0
        axes.bar([day.start / 24.0], [100.0 * day.runs], wide, align="edge", color="#c4c4c4", edgecolor=INK, linewidth=0.6)
    axes.set_ylabel("runs, %")
    draw_days(axes, forecast.calendar, 0.0, end)
    note = (
        f"{wording.WORKABLE} Each day's band is over the runs in which they were on shift that day, up to readiness."
        f"{_blank(use)}{_left_out(use)}"
    )
    draw_words(figure, _LEFT, conclude_use(forecast), shown_of(forecast, _shown(forecast)), note)
    return figure


def conclude_use(forecast: Forecast) -> str:
    """Return what the picture says first: how busy crews and forklifts are over all days."""
    groups = {
        "crews": [row for row in forecast.use if row.actor.startswith("crew ")],
        "forklifts": [row for row in forecast.use if row.actor == "forklifts"],
    }
    parts: list[str] = []
    for who, rows in groups.items():
        workable = math.fsum(row.on_shift for row in rows)
        if workable:
            parts.append(f"{who}{' work' if not parts else ''} {100.0 * math.fsum(row.working for row in rows) / workable:.0f} %")
    return f"{listed(parts).capitalize()} of their workable hours" if parts else "Nobody was on shift"


def describe_use(forecast: Forecast) -> str:
    """Return the picture in a sentence, for readers who do not see it."""
    use = use_by_day(forecast.table, forecast.calendar)
    parts = []
    for actor in ACTORS:
        middles = [
            (day.use[actor].middle, number) for number, day in enumerate(use.days, 1) if actor in day.use and day.speaks_for_all
        ]
        if middles:
            (low, on), (high, at) = min(middles), max(middles)
            parts.append(f"{actor} between {wording.percent(low)} (day {on}) and {wording.percent(high)} (day {at})")
    runs = wording.counted(forecast.run_count, "simulated run")
    days = wording.counted(len(use.days), "day")
    said = listed(parts) if parts else "nobody was on shift"
    return f"Median share of the workable hours of each day spent at work, {days}, over {runs}: {said}."


def _frame(axes: Axes, end: float, title: str) -> None:
    from matplotlib.ticker import FixedLocator

    axes.set_xlim(0.0, end / 24.0)
    axes.set_ylim(0.0, 104.0)
    axes.yaxis.set_major_locator(FixedLocator([0, 25, 50, 75, 100] if "runs" not in title else [0, 50, 100]))
    axes.set_title(title, fontsize=SMALL, fontweight="bold", loc="left", pad=4)
    axes.grid(axis="y", color=GREY, linewidth=0.3, zorder=0)
    axes.set_axisbelow(True)


def _draw_actor(axes: Axes, use: UseByDay, actor: str) -> None:
    """Draw the band and the median; a day on which nobody, or less than half of the runs, was on shift is left blank."""
    if not use.days:
        return
    edges = [*(day.start / 24.0 for day in use.days), use.days[-1].end / 24.0]
    bands = [day.use.get(actor) if day.speaks_for_all else None for day in use.days]
    low, middle, high = (
        [math.nan if band is None else 100.0 * getattr(band, part) for band in [*bands, bands[-1]]]
        for part in ("low", "middle", "high")
    )
    # Each day from its begin to its end: a band in steps would leave out the last day before a blank one.
    ends = [edge for day in use.days for edge in (day.start / 24.0, day.end / 24.0)]
    foot, top = ([height for height in border[:-1] for _ in range(2)] for border in (low, high))
    axes.fill_between(ends, foot, top, facecolor="none", edgecolor=GREY, hatch="////", linewidth=0, zorder=2)
    for border in (low, high):
        axes.step(edges, border, where="post", color=GREY, linewidth=0.6, zorder=2)
    axes.step(edges, middle, where="post", color=INK, linewidth=1.8, zorder=4)


def _draw_legend(axes: Axes) -> None:
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    handles = [
        Line2D([], [], color=INK, linewidth=1.8, label="median of the runs"),
        Patch(facecolor="none", edgecolor=GREY, hatch="////", label="P10 to P90"),
    ]
    axes.legend(handles=handles, loc="upper left", bbox_to_anchor=(1.01, 1.0), borderaxespad=0.0)


def _shown(forecast: Forecast) -> str:
    runs = wording.counted(forecast.run_count, "run")
    return f"hours at work as a share of the workable hours of each day, all crews and all forklifts; {runs}"


def _blank(use: UseByDay) -> str:
    """Return which days bear bars of runs, but no band and no median."""
    if all(day.speaks_for_all for day in use.days if day.use):
        return ""
    return " Blank are days with less than half of the runs at work: the rest are slow runs, and each one's last day is short."


def _left_out(use: UseByDay) -> str:
    if not use.left_out:
        return ""
    return f" {wording.counted(use.left_out, 'later day')} with fewer than {100 * ENOUGH:.0f} % of the runs left out."
