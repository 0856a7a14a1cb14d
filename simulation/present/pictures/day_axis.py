"""How is time drawn along an axis? Days since the start, the dates below them at their own midnights, nights behind the data."""

from __future__ import annotations

import math
from datetime import timedelta
from typing import TYPE_CHECKING

from simulation.present.pictures.figure import NIGHT
from simulation.study.calendar import day

if TYPE_CHECKING:
    from collections.abc import Iterable

    from matplotlib.axes import Axes

    from simulation.study.calendar import Calendar

#: Beyond this many days in view the nights would be a blur, and are left out.
MOST_NIGHTS = 31.0
#: Shorter stretches off shift, such as a meal, are not shaded, hours.
SHORTEST_NIGHT = 2.0
#: Inches from the axes down to the line of the dates.
_DATES = 0.6


def draw_days(axes: Axes, calendar: Calendar, start: float, end: float) -> None:
    """Label the x axis in days since the start and, below, in dates; `start` and `end` are the hours in view."""
    from matplotlib.ticker import MaxNLocator

    starts = calendar.starts
    axes.xaxis.set_major_locator(MaxNLocator(8, steps=[1, 2, 5, 10], integer=end - start > 72.0))
    axes.set_xlabel(f"days since the start (starts {day(starts)} {starts:%H:%M})")
    # The dates stand at their own midnights, which are no whole days since the start.
    midnight = calendar.moment(start).replace(hour=0, minute=0, second=0, microsecond=0) + timedelta(days=1)
    midnights = [midnight + timedelta(days=n) for n in range(max(1, int((end - calendar.hours(midnight)) // 24.0) + 1))]
    every = max(1, math.ceil(len(midnights) / 8))
    high = axes.bbox.height / axes.figure.dpi
    dates = axes.secondary_xaxis(-_DATES / high)
    dates.set_xticks([calendar.hours(midnight) / 24.0 for midnight in midnights[::every] if calendar.hours(midnight) <= end])
    dates.set_xticklabels([f"{midnight.day} {midnight:%b}" for midnight in midnights[::every] if calendar.hours(midnight) <= end])
    dates.set_xlabel("date (tick at its 00:00)")


def shade(axes: Axes, stretches: Iterable[tuple[float, float]], start: float, end: float) -> bool:
    """Shade the longer of some stretches off shift behind the data; return whether any was: not over months."""
    if end - start > 24.0 * MOST_NIGHTS:
        return False
    nights = [(dusk, dawn) for dusk, dawn in stretches if dawn - dusk >= SHORTEST_NIGHT and dusk < end]
    for dusk, dawn in nights:
        axes.axvspan(dusk / 24.0, dawn / 24.0, color=NIGHT, linewidth=0, zorder=0)
    return bool(nights)
