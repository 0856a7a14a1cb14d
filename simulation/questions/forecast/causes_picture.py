"""What takes the time, and when in the course of a run? The chain of causes's hours by cause, a bar each, in three parts.

Off shift and dark are drawn apart, on a scale of their own: they are most of nearly every run, and beside them nothing else
could be read. The parts of a bar are told apart by filling and hatching, not by colour.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.construction.trace.chain import of_calendar
from simulation.present import wording
from simulation.present.figure import GREY, INK, SMALL, axes_at, blank, cut, draw_words, listed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.forecast.study import Forecast
    from simulation.study.causes_of_time import CauseOfTime

#: Causes that have a bar, at the most; the rest are drawn as one. Planning value.
MOST = 12
#: (third, words, face, hatch) of the parts of a bar.
PARTS = (
    ("early", "first third", "white", ""),
    ("middle", "middle third", "#c4c4c4", ""),
    ("late", "last third", "white", "/////"),
)
#: Inches: the picture's width, the names, the room on the right, above, under each axes, between them, and a bar.
WIDTH, _NAMES, _RIGHT, _ABOVE, _AXIS, _BELOW, _BAR = 8.4, 2.1, 0.3, 1.25, 0.65, 0.55, 0.3

Bar = tuple[str, tuple[float, ...]]


def make_bars(causes: Sequence[CauseOfTime]) -> tuple[list[Bar], list[Bar]]:
    """Return the bars of hours on shift and of the calendar's, largest first: names, and hours of each third."""
    calendar = [_bar(one) for one in causes if of_calendar(one.cause)]
    others = [_bar(one) for one in causes if not of_calendar(one.cause)]
    if len(others) > MOST:
        rest = others[MOST - 1 :]
        thirds = tuple(math.fsum(parts) for parts in zip(*(hours for _, hours in rest), strict=True))
        others = [*others[: MOST - 1], (f"{len(rest)} smaller causes", thirds)]
    return others, calendar


def draw_causes(forecast: Forecast) -> Figure:
    """Return the picture; where no run was ready there is no bar, and it says so."""
    others, calendar = make_bars(forecast.causes)
    mean = math.fsum(one.hours for one in forecast.causes)
    groups = [(bars, label) for bars, label in ((others, _ON_SHIFT), (calendar, _OFF)) if bars]
    # One scale for both: their bars are parts of one time.
    longest = max((math.fsum(hours) for bars, _ in groups for _, hours in bars), default=0.0)
    height = _ABOVE + sum(_BAR * len(bars) + _AXIS for bars, _ in groups) + _BELOW + (0.0 if groups else 0.5)
    figure = blank(WIDTH, height)
    top = height - _ABOVE
    for bars, label in groups:
        high = _BAR * len(bars)
        axes = axes_at(figure, _NAMES, top - high, WIDTH - _NAMES - _RIGHT, high)
        _draw_bars(axes, bars, mean, longest, label)
        if bars is groups[0][0]:
            _draw_legend(axes)
        top -= high + _AXIS
    note = (
        "Each hour of the chain of steps that led to readiness is charged to one cause; the means of all causes sum to the mean "
        f"{'time of readiness' if forecast.unfinished < forecast.run_count else 'of the hours up to the last day simulated'}."
    )
    draw_words(figure, 0.2, forecast.scenario.title, _shown(forecast, mean), note)
    return figure


_ON_SHIFT = "mean hours of a run's chain of causes"
_OFF = "mean hours of it outside shifts or in the dark (same scale)"


def describe_causes(forecast: Forecast) -> str:
    """Return the picture in a sentence, for readers who do not see it."""
    if not forecast.causes:
        return "What drives readiness: no run was ready by the last day simulated, so there is nothing to show."
    mean = math.fsum(one.hours for one in forecast.causes)
    first = listed([f"{one.cause} {one.hours:,.1f} hours ({wording.percent(one.share)})" for one in forecast.causes[:4]])
    thirds = []
    for third, words, _, _ in PARTS:
        # Off shift leads nearly everywhere: what leads besides is what somebody can change.
        leads = [one for one in forecast.causes if not of_calendar(one.cause)]
        if leads:
            most = max(leads, key=lambda one: one.thirds[third])
            thirds.append(f"{most.cause} in the {words}")
    lead = f"; besides off shift and dark, most hours go to {listed(thirds)}" if thirds else ""
    finished = forecast.run_count - forecast.unfinished
    if not finished:
        return (
            f"What held {forecast.readiness.name} up until the last day simulated, none of "
            f"{wording.counted(forecast.run_count, 'run')} being ready: of {mean:,.1f} hours, {first}{lead}."
        )
    return (
        f"What drives {forecast.readiness.name}, mean of {wording.counted(finished, 'finished run')}: of {mean:,.1f} hours, "
        f"{first}{lead}."
    )


def _bar(one: CauseOfTime) -> Bar:
    return one.cause, tuple(one.thirds[third] for third, *_ in PARTS)


def _draw_bars(axes: Axes, bars: Sequence[Bar], mean: float, longest: float, label: str) -> None:
    axes.set_ylim(len(bars) - 0.5, -0.5)
    axes.set_yticks(range(len(bars)), [cut(name, SMALL, _NAMES - 0.3) for name, _ in bars])
    axes.tick_params(axis="y", length=0)
    axes.set_xlim(0.0, 1.22 * longest)
    for line, (_, hours) in enumerate(bars):
        start = 0.0
        for part, (_, _, face, hatch) in zip(hours, PARTS, strict=True):
            axes.barh(
                [line], [part], left=start, height=0.66, facecolor=face, hatch=hatch, edgecolor=INK, linewidth=0.7, zorder=2
            )
            start += part
        words = f"{start:,.1f} h, {wording.percent(start / mean)}"
        axes.annotate(
            words, (start, line), xytext=(5, 0), textcoords="offset points", va="center", fontsize=SMALL,
            bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.8},
        )  # fmt: skip
    axes.grid(axis="x", color=GREY, linewidth=0.3, zorder=0)
    axes.set_axisbelow(True)
    axes.set_xlabel(label)


def _draw_legend(axes: Axes) -> None:
    from matplotlib.patches import Patch

    patches = [Patch(facecolor=face, hatch=hatch, edgecolor=INK, linewidth=0.7, label=words) for _, words, face, hatch in PARTS]
    axes.legend(
        handles=patches, loc="lower left", bbox_to_anchor=(0.0, 1.0), ncols=3, frameon=False, fontsize=SMALL, borderaxespad=0.3
    )


def _shown(forecast: Forecast, mean: float) -> str:
    finished = forecast.run_count - forecast.unfinished
    if not forecast.causes:
        return f"what drives “{forecast.readiness.name}”: none of {wording.counted(forecast.run_count, 'run')} was ready"
    if not finished:
        return (
            f"what held “{forecast.readiness.name}” up until the last day simulated: mean of "
            f"{wording.counted(forecast.run_count, 'run')}, none of which was ready, seed {forecast.seed}; "
            f"thirds are of the {wording.days(mean)} days to it"
        )
    words = (
        f"what drives “{forecast.readiness.name}”: mean of {wording.counted(finished, 'run')}, seed {forecast.seed}, "
        f"{mean:,.1f} hours ({wording.days(mean)} days); thirds are of each run's time to it"
    )
    return words + (f"; {forecast.unfinished:,} unfinished runs left out" if forecast.unfinished else "")
