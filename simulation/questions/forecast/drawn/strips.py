"""Which area and which task is on the ground when? A strip for each, from begin to end at P50, as a foreman pins them on a wall.

What it is stands on top of its strip, with its days; a dotted line below spans P10 to P90 of its begin, a full one those of its
end. Areas are plain, tasks hatched. Strips stand in the order in which they begin.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from simulation.present.pictures.day_axis import SHORTEST_NIGHT, draw_days, shade
from simulation.present.pictures.figure import GREY, INK, NIGHT, PLAIN, axes_at, blank, cut, draw_words, lines_within, listed
from simulation.present.words import wording

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.forecast.study import Forecast
    from simulation.questions.forecast.tasks import WorkForecast
    from simulation.stats.quantiles import QuantileEstimate
    from simulation.study.calendar import Calendar

#: Inches: the picture's width, the margins, what stands above and below, and one strip with its words.
_WIDTH, _SIDE, _ABOVE, _BELOW, _STRIP = 8.4, 0.35, 1.0, 1.6, 0.58
#: Strips at the most; those that end last are shown. Planning value.
_MOST = 16
#: Height of a strip, the line of words above it, and how far the lines of begin and end lie below it, as shares of its place.
_HIGH, _WORDS, _BEGIN, _END = 0.26, 0.36, 0.1, 0.2
#: How the lines of begin and end look.
_OF_BEGIN: dict[str, Any] = {"color": INK, "linewidth": 1.1, "linestyle": (0, (1.5, 1.5)), "solid_capstyle": "butt"}
_OF_END: dict[str, Any] = {"color": INK, "linewidth": 1.8, "linestyle": "-", "solid_capstyle": "butt"}
#: Places of P10, P50 and P90 among the bands of a `WorkForecast`.
_LOW, _MIDDLE, _UP = 0, 1, 3


@dataclass(frozen=True)
class Strips:
    """What is drawn.

    Attributes
    ----------
    areas, tasks : tuple of WorkForecast
    calendar : Calendar
    runs : int
    below : str
        What is said under the title.
    """

    areas: tuple[WorkForecast, ...]
    tasks: tuple[WorkForecast, ...]
    calendar: Calendar
    runs: int
    below: str

    @property
    def shown(self) -> list[WorkForecast]:
        """Those that have room and begin in half of the runs, the first to begin on top."""
        known = [work for work in (*self.areas, *self.tasks) if math.isfinite(work.begins[_MIDDLE].value)]
        last = sorted(known, key=lambda work: -work.ends[_MIDDLE].value)[:_MOST]
        return sorted(last, key=lambda work: (work.begins[_MIDDLE].value, work.ends[_MIDDLE].value))

    @property
    def never(self) -> list[str]:
        """Names of those that half of the runs never begin."""
        return [work.name for work in (*self.areas, *self.tasks) if math.isinf(work.begins[_MIDDLE].value)]


def strips_of(forecast: Forecast) -> Strips:
    """Return what is drawn of a forecast with tasks."""
    below = f"areas and tasks, over {wording.counted(forecast.run_count, 'run')}, seed {forecast.seed}; {forecast.scenario.title}"
    return Strips(forecast.areas, forecast.tasks, forecast.calendar, forecast.run_count, below)


def draw_strips(strips: Strips) -> Figure:
    """Return the picture."""
    shown = strips.shown
    high = _STRIP * max(1, len(shown))
    figure = blank(_WIDTH, _ABOVE + high + _BELOW)
    axes = axes_at(figure, _SIDE, _BELOW, _WIDTH - 2 * _SIDE, high)
    end = _in_view(shown)
    axes.set_xlim(0.0, end / 24.0)
    axes.set_ylim(max(1, len(shown)), 0.0)
    axes.set_yticks([])
    axes.spines["left"].set_visible(False)
    shaded = shade(axes, strips.calendar.off_shift(0.0, end, SHORTEST_NIGHT), 0.0, end)
    for index, work in enumerate(shown):
        _draw_strip(axes, index, work, work in strips.tasks, end)
    draw_days(axes, strips.calendar, 0.0, end)
    _draw_legend(axes, shaded)
    left = strips.areas and len(strips.areas) + len(strips.tasks) - len(shown) - len(strips.never)
    note = (
        "A strip goes from the begin at P50 to the end at P50; each line below it holds the middle 80 % of the runs. It does not "
        f"cover wrong inputs or a wrong model.{f' Not drawn: {left} that end before these.' if left else ''}"
        f"{f' Half of the runs never begin: {listed(strips.never)}.' if strips.never else ''}"
    )
    draw_words(figure, _SIDE, conclude_strips(strips), strips.below, note)
    return figure


def conclude_strips(strips: Strips) -> str:
    """Return what the picture says first: which task or area ends last."""
    ended = [work for work in strips.shown if math.isfinite(work.ends[_MIDDLE].value)]
    if not ended:
        return "Half of the runs bring none of the areas and tasks to an end"
    last = max(ended, key=lambda work: work.ends[_MIDDLE].value)
    return f"Last to be done is {cut(last.name, PLAIN, 2.6)}, after {wording.days(last.ends[_MIDDLE].value)} days at P50"


def describe_strips(strips: Strips) -> str:
    """Return the picture in sentences, for readers who do not see it."""
    said = [f"{work.name}, {_days_of(work)} (P10 to P90 {_band(work.begins)}, and {_band(work.ends)})" for work in strips.shown]
    never = f" Half of the runs never begin: {listed(strips.never)}." if strips.never else ""
    return f"When areas and tasks begin and end, in days from the start at P50: {listed(said) if said else 'none'}.{never}"


def _band(of: tuple[QuantileEstimate, ...]) -> str:
    low, high = (wording.short_days(of[index].value) for index in (_LOW, _UP))
    return f"{low} to {high}"


def _days_of(work: WorkForecast) -> str:
    begin, end = work.begins[_MIDDLE].value, work.ends[_MIDDLE].value
    return f"day {wording.days(begin)} to {wording.days(end) if math.isfinite(end) else 'after the last day drawn'}"


def _in_view(shown: list[WorkForecast]) -> float:
    known = [band.value for work in shown for band in (*work.begins, *work.ends) if math.isfinite(band.value)]
    return max(24.0, 1.04 * max(known, default=24.0))


def _draw_strip(axes: Axes, index: int, work: WorkForecast, task: bool, end: float) -> None:
    begins, ends = ([min(band.value, end) / 24.0 for band in bands] for bands in (work.begins, work.ends))
    low, high = begins[_MIDDLE], ends[_MIDDLE]
    top = index + _WORDS + 0.06
    axes.barh(
        [top + _HIGH / 2], [high - low], left=low, height=_HIGH, facecolor="white" if task else "#c9c9c9",
        hatch="////" if task else "", edgecolor=INK, linewidth=0.9, zorder=3,
    )  # fmt: skip
    for bands, below, look in ((begins, _BEGIN, _OF_BEGIN), (ends, _END, _OF_END)):
        axes.plot([bands[_LOW], bands[_UP]], [top + _HIGH + below] * 2, zorder=4, **look)
    whose = f", {work.whose}" if work.whose else ""
    words = f"{work.name}, {_days_of(work)}{whose}"
    wide = _WIDTH - 2 * _SIDE
    beside = wide * (1.0 - low / (end / 24.0))
    fits = beside > 0.5 and len(lines_within(words, PLAIN, beside)) == 1
    at, side = (low, "left") if fits else (end / 24.0, "right")
    axes.text(at, index + _WORDS, cut(words, PLAIN, wide - 0.3), fontsize=PLAIN, va="bottom", ha=side, zorder=5)


def _draw_legend(axes: Axes, shaded: bool) -> None:
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    handles: list[Line2D | Patch] = [
        Patch(facecolor="#c9c9c9", edgecolor=INK, linewidth=0.9, label="area"),
        Patch(facecolor="white", edgecolor=INK, hatch="////", linewidth=0.9, label="task"),
        Line2D([], [], label="begin, P10 to P90", **_OF_BEGIN),
        Line2D([], [], label="end, P10 to P90", **_OF_END),
    ]
    if shaded:
        handles.append(Patch(facecolor=NIGHT, edgecolor=GREY, linewidth=0.5, label="off shift or dark"))
    axes.legend(
        handles=handles,
        loc="lower left",
        bbox_to_anchor=(0.0, 1.0),
        ncols=5,
        columnspacing=1.4,
        handlelength=2.4,
        borderaxespad=0.3,
    )
