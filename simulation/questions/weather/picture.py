"""How a record of weather and the model fitted to it compare, as a picture: by month, by week, and by dry spells.

The record is grey bars or a thick grey line, the model a thin black one with marks: they are told apart without colour.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from simulation.present.pictures.figure import GREY, INK, LARGE, PLAIN, SMALL, TITLE, blank, cut, lines_within
from simulation.present.words import wording
from simulation.questions.weather.sentences import conclusion, weather_lines

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy import float64, intp
    from numpy.typing import NDArray

    from simulation.questions.weather.study import WeatherResult

_WIDTH, _HEIGHT = 10.0, 4.4
#: Width of a thick line, in points.
_THICK = 3.0


def draw_weather(result: WeatherResult) -> Figure:
    """Return the picture."""
    figure = blank(_WIDTH, _HEIGHT)
    axes = figure.subplots(1, 3, gridspec_kw={"left": 0.07, "right": 0.98, "top": 0.70, "bottom": 0.22, "wspace": 0.3})
    _months(axes[0], result)
    _weeks(axes[1], result)
    _spells(axes[2], result)
    handles, labels = axes[0].get_legend_handles_labels()
    figure.legend(handles, labels, loc="upper right", bbox_to_anchor=(0.985, 0.835), ncols=2, frameon=False, fontsize=SMALL)
    inches = _WIDTH - 0.4
    figure.text(
        0.02, 0.97, cut(conclusion(result), LARGE, inches, bold=True), fontsize=LARGE, fontweight="bold", va="top", gid=TITLE
    )
    below = cut(f"{Path(result.named.file).name}. {weather_lines(result)[1]}", PLAIN, inches, 2)
    figure.text(0.02, 0.905, below, fontsize=PLAIN, va="top")
    sample = f"In-sample: the same {wording.counted(result.days, 'day')} are fitted and compared. " if result.in_sample else ""
    drawn = f"Model: {result.drawn_records} drawn records of the same dates. "
    trust = f"{sample}{drawn}What the record does not know is left out of both."
    figure.text(0.02, 0.03, "\n".join(lines_within(trust, SMALL, inches)), fontsize=SMALL, va="bottom")
    return figure


def _months(axes: Axes, result: WeatherResult) -> None:
    months = np.arange(12)
    axes.bar(months, [100 * share for share in result.recorded.by_month], color=GREY, alpha=0.6, width=0.7, label="record")
    axes.plot(
        months,
        [100 * share for share in result.drawn.by_month],
        color=INK,
        marker="o",
        markersize=4,
        linewidth=1.0,
        label="fitted model",
    )
    for month in sorted(set(range(12)) - result.months):
        look: dict[str, Any] = {"rotation": 90, "ha": "center", "va": "bottom", "transform": axes.get_xaxis_transform()}
        axes.text(month, 0.03, "no record", color=INK, fontsize=SMALL, **look)
    axes.set_xticks(months, list("JFMAMJJASOND"))
    axes.set_xlabel("month")
    axes.set_xlim(-0.7, 11.7)
    axes.set_ylabel(f"wet {result.unit}s, %")
    axes.set_ylim(bottom=0)


def _weeks(axes: Axes, result: WeatherResult) -> None:
    for spread, recorded in ((result.recorded, True), (result.drawn, False)):
        values, shares = _at_most(spread.weeks)
        axes.step(values, 100 * shares, where="post", **_line(recorded))
    axes.set_xlabel(f"wet {result.unit}s in a week, at most")
    axes.set_ylabel("weeks, %")
    axes.set_ylim(0, 102)
    axes.set_xlim(left=0)


def _spells(axes: Axes, result: WeatherResult) -> None:
    longest = 1
    for spread, recorded in ((result.recorded, True), (result.drawn, False)):
        values, shares = _at_most(spread.dry_spells)
        if len(values):
            axes.step(values, np.maximum(100 * (1 - shares), 1e-9), where="post", **_line(recorded))
            longest = max(longest, int(values[-1]) if recorded else 1)
    axes.set_yscale("log")
    axes.set_ylim(0.3, 130)
    axes.set_yticks([1, 10, 100], ["1", "10", "100"])
    axes.set_xlim(0, 1.15 * longest)
    axes.set_xlabel(f"dry spell longer than, {result.unit}s")
    axes.set_ylabel("dry spells, %")


def _line(recorded: bool) -> dict[str, Any]:
    return {"color": GREY, "linewidth": _THICK, "alpha": 0.6} if recorded else {"color": INK, "linewidth": 1.0}


def _at_most(values: NDArray[intp]) -> tuple[NDArray[intp], NDArray[float64]]:
    """Return values and the share of them that is no greater."""
    different, counts = np.unique(values, return_counts=True)
    return different, counts.cumsum() / max(len(values), 1)


def describe_weather(result: WeatherResult) -> str:
    """Return the picture in a sentence, for readers who do not see it."""
    return (
        f"{result.named.file}, record against fitted model: wet {result.unit}s by month, wet {result.unit}s of a week, and "
        f"lengths of dry spells. {' '.join(weather_lines(result))}"
    )
