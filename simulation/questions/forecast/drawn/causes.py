"""What takes the time, and when in the course of a run? The chain of causes's hours by cause, a bar each, in three parts.

Off shift and dark are drawn apart, on a scale of their own: they are most of nearly every run, and beside them nothing else
could be read. The parts of a bar are told apart by filling and hatching, not by colour.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.construction.trace.chain import of_calendar
from simulation.present.pictures.figure import GREY, INK, SMALL, axes_at, blank, cut, draw_words, listed
from simulation.present.words import wording
from simulation.questions.forecast.shown import shown_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.forecast.study import Forecast
    from simulation.study.causes_of_time import CauseOfTime

#: Causes that have a bar, at the most; the rest are drawn as one. Planning value.
MOST_BARS = 12
#: (third, words, face, hatch) of the parts of a bar.
PARTS = (
    ("early", "first third", "white", ""),
    ("middle", "middle third", "#c4c4c4", ""),
    ("late", "last third", "white", "/////"),
)
#: Inches: the picture's width, the names, the room on the right, above, under each axes, between them, and a bar.
WIDTH, _NAMES, _RIGHT, _ABOVE, _AXIS, _BELOW, _BAR = 8.4, 2.8, 0.3, 1.25, 0.65, 0.55, 0.3

Bar = tuple[str, tuple[float, ...]]


def make_bars(causes: Sequence[CauseOfTime]) -> tuple[list[Bar], list[Bar]]:
    """Return the bars of hours on shift and of the calendar's, largest first: names, and hours of each third."""
    calendar = [_bar(cause) for cause in causes if of_calendar(cause.cause)]
    others = [_bar(cause) for cause in causes if not of_calendar(cause.cause)]
    if len(others) > MOST_BARS:
        rest = others[MOST_BARS - 1 :]
        thirds = tuple(math.fsum(parts) for parts in zip(*(hours for _, hours in rest), strict=True))
        others = [*others[: MOST_BARS - 1], (f"{len(rest)} smaller causes", thirds)]
    return others, calendar


def draw_causes(forecast: Forecast) -> Figure:
    """Return the picture; where no run was ready there is no bar, and it says so."""
    others, calendar = make_bars(forecast.causes)
    mean = math.fsum(cause.hours for cause in forecast.causes)
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
    finish = "time to the end" if forecast.scenario.takes_up else "time of readiness"
    note = (
        "Working backwards from the finish, every hour has one cause; the averages of all causes add up to the average "
        f"{finish if forecast.unfinished < forecast.run_count else 'of the hours up to the last day simulated'}."
    )
    draw_words(figure, 0.2, conclude_causes(forecast), shown_of(forecast, _shown(forecast, mean)), note)
    return figure


_ON_SHIFT = "average hours of a run's chain of causes"
_OFF = "average hours outside shifts or in darkness (same scale)"


def conclude_causes(forecast: Forecast) -> str:
    """Return what the picture says first: what takes most of the hours that shifts and the sun leave."""
    on_shift = [row for row in forecast.causes if not of_calendar(row.cause)]
    if not on_shift:
        return (
            f"No run was {forecast.ready_word}, so no cause can be named"
            if not forecast.causes
            else "All the time lies outside shifts"
        )
    most, mean = max(on_shift, key=lambda row: row.hours), math.fsum(row.hours for row in forecast.causes)
    return f"Largest cause on shift: {most.cause}, {most.hours:,.0f} of {mean:,.0f} h"


def describe_causes(forecast: Forecast) -> str:
    """Return the picture in a sentence, for readers who do not see it."""
    if not forecast.causes:
        return f"What takes the time: no run was {forecast.ready_word} by the last day simulated, so there is nothing to show."
    mean = math.fsum(cause.hours for cause in forecast.causes)
    first = listed([f"{cause.cause} {cause.hours:,.1f} hours ({wording.percent(cause.share)})" for cause in forecast.causes[:4]])
    thirds = []
    for third, words, _, _ in PARTS:
        # Off shift leads nearly everywhere: what leads besides is what somebody can change.
        leads = [cause for cause in forecast.causes if not of_calendar(cause.cause)]
        if leads:
            most = max(leads, key=lambda cause: cause.thirds[third])
            thirds.append(f"{most.cause} in the {words}")
    lead = f"; besides off shift and dark, most hours go to {listed(thirds)}" if thirds else ""
    finished = forecast.run_count - forecast.unfinished
    if not finished:
        return (
            f"What held {forecast.readiness.name} up until the last day simulated, none of "
            f"{wording.counted(forecast.run_count, 'run')} being {forecast.ready_word}: of {mean:,.1f} hours, {first}{lead}."
        )
    return (
        f"What takes the time to {forecast.readiness.name}, average of {wording.counted(finished, 'finished run')}: "
        f"of {mean:,.1f} hours, {first}{lead}."
    )


def _bar(cause: CauseOfTime) -> Bar:
    return cause.cause, tuple(cause.thirds[third] for third, *_ in PARTS)


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
    axes.legend(handles=patches, loc="lower left", bbox_to_anchor=(0.0, 1.0), ncols=3, borderaxespad=0.3)


def _shown(forecast: Forecast, mean: float) -> str:
    finished = forecast.run_count - forecast.unfinished
    if not forecast.causes:
        return (
            f"time to “{forecast.readiness.name}”: none of {wording.counted(forecast.run_count, 'run')} was {forecast.ready_word}"
        )
    if not finished:
        return (
            f"what held up “{forecast.readiness.name}”: average of {wording.counted(forecast.run_count, 'run')}, none of which "
            f"was {forecast.ready_word}; first, middle and last third of the {wording.days(mean)} days simulated"
        )
    words = (
        f"time to “{forecast.readiness.name}”: average of {wording.counted(finished, 'run')}, {mean:,.1f} hours "
        f"({wording.days(mean)} days); first, middle and last third of each run's time"
    )
    return words + (f"; {forecast.unfinished:,} unfinished runs left out" if forecast.unfinished else "")
