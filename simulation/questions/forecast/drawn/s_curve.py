"""The S-curve: what share of the runs is ready by a given day, as a picture.

The curve is the empirical distribution itself, a staircase, never smoothed: where nobody is on shift it runs level, and the
nights can be read off it. P50, P80 and P90 are dropped to the axis and labelled in the margin, where no label can meet the curve.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from simulation.present.pictures.day_axis import SHORTEST_NIGHT, draw_days, shade
from simulation.present.pictures.figure import GREY, INK, NIGHT, SMALL, axes_at, blank, draw_words, listed
from simulation.present.words import wording
from simulation.questions.forecast.milestones import BANDS
from simulation.questions.forecast.shown import shown_of
from simulation.questions.forecast.study import Forecast
from simulation.stats.quantiles import CONFIDENCE, order_statistic

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

#: Inches: the picture, and the place of the axes in it.
WIDTH, HEIGHT = 8.4, 6.1
_LEFT, _BOTTOM, _AXES_WIDTH, _AXES_HEIGHT = 0.8, 1.45, 5.2, 3.65
#: Hours in view at the least, so that runs without a spread are still seen within their day.
_LEAST_IN_VIEW = 36.0


def band_half_width(runs: int) -> float:
    """Return by how much the whole curve of `runs` runs may miss the true one (Dvoretzky-Kiefer-Wolfowitz).

    Examples
    --------
    >>> round(band_half_width(1000), 4)
    0.0429
    """
    return math.sqrt(math.log(2.0 / (1.0 - CONFIDENCE)) / (2.0 * runs))


def draw_s_curve(forecast: Forecast) -> Figure:
    """Return the S-curve of operational readiness."""
    figure = blank(WIDTH, HEIGHT)
    axes = axes_at(figure, _LEFT, _BOTTOM, _AXES_WIDTH, _AXES_HEIGHT)
    hours = sorted(hour for hour in forecast.table[f"milestone.{forecast.readiness.name}"].tolist() if math.isfinite(hour))
    start, end = _in_view(forecast, hours)
    axes.set_xlim(start / 24.0, end / 24.0)
    axes.set_ylim(0.0, 1.02)
    shaded = shade(axes, forecast.calendar.off_shift(start, end, SHORTEST_NIGHT), start, end)
    _draw_curve(axes, hours, forecast.run_count, end)
    for share in BANDS:
        _drop(axes, forecast, share, end / 24.0)
    _draw_deadline(axes, forecast, start / 24.0, end / 24.0)
    _draw_axes(axes, forecast, start, end)
    _draw_legend(axes, shaded, "nobody works" if forecast.scenario.takes_up else "nobody lays")
    _draw_words(figure, forecast, sum(hour > end for hour in hours))
    return figure


def _in_view(forecast: Forecast, hours: Sequence[float]) -> tuple[float, float]:
    """Return the first and the last hour in view: the bulk of the runs, and a deadline that is not far away."""
    if not hours:
        return 0.0, forecast.scenario.horizon
    early, late = hours[0], order_statistic(hours, 0.95)
    # A few runs that waited weeks for resupply must not squeeze all others into a line.
    last = max(hour for hour in hours if hour <= late + (late - early) + 24.0)
    span = last - early
    margin = max(0.08 * span, 0.5 * (_LEAST_IN_VIEW - span))
    first, end = early - margin, last + margin
    if forecast.deadline is not None:
        span, limit = end - first, forecast.deadline.deadline.hours
        if first - span < limit < end + span:
            first, end = min(first, limit - 0.1 * span), max(end, limit + 0.1 * span)
    return max(first, 0.0), end


def _draw_curve(axes: Axes, hours: Sequence[float], runs: int, end: float) -> None:
    edges = [0.0, *(hour / 24.0 for hour in hours), max([end, *hours]) / 24.0]
    shares = [0.0, *((index + 1) / runs for index in range(len(hours))), len(hours) / runs]
    half = band_half_width(runs)
    low, high = ([min(1.0, max(0.0, share + sign * half)) for share in shares] for sign in (-1, 1))
    axes.fill_between(edges, low, high, step="post", facecolor="none", edgecolor=GREY, hatch="////", linewidth=0, zorder=2)
    for border in (low, high):
        axes.step(edges, border, where="post", color=GREY, linewidth=0.6, zorder=2)
    axes.step(edges, shares, where="post", color=INK, linewidth=1.8, zorder=4)


def _drop(axes: Axes, forecast: Forecast, share: float, right: float) -> None:
    """Drop one quantile from the curve to the axis, and label it in the margin at its own height."""
    band = forecast.readiness.quantile(share)
    if math.isinf(band.value):
        lines = [f"{band.name}: not reached", "by the last day simulated"]
        axes.plot([right * 0.985 + axes.get_xlim()[0] * 0.015, right], [share, share], color=INK, linewidth=1.0)
    else:
        at = band.value / 24.0
        lines = [f"{band.name}: {wording.days(band.value)} days", wording.moment(forecast.calendar, band.value)]
        axes.plot([at, at, right], [0.0, share, share], color=INK, linewidth=1.0, linestyle=(0, (4, 3)), zorder=5)
        axes.plot([at], [share], marker="o", markersize=4.5, color=INK, zorder=6)
    for line, (align, weight) in zip(lines, (("bottom", "bold"), ("top", "normal")), strict=True):
        axes.annotate(
            line,
            (1.0, share),
            xycoords=("axes fraction", "data"),
            xytext=(6, 0),
            textcoords="offset points",
            verticalalignment=align,
            fontsize=SMALL,
            fontweight=weight,
            annotation_clip=False,
        )


def _draw_deadline(axes: Axes, forecast: Forecast, left: float, right: float) -> None:
    if forecast.deadline is None:
        return
    at = forecast.deadline.deadline.hours / 24.0
    chance, word = forecast.deadline.chance, forecast.deadline.likelihood
    least = "at least " if chance.at_least else ""
    words = (
        f"deadline {at:.1f} days: {least}{wording.percent(chance.probability)} {forecast.ready_word} "
        f"({100 * chance.low:.1f} to {wording.percent(chance.high)}){f', {word}' if word else ''}"
    )
    if at > right:
        x, align, words = right, "right", f"{words} →"
    elif at < left:
        x, align, words = left, "left", f"← {words}"
    else:
        axes.plot([at, at], [0.0, 1.02], color=INK, linewidth=2.0, linestyle=(0, (9, 2, 2, 2)), zorder=5, clip_on=False)
        where = (at - left) / (right - left)
        x, align = at, "left" if where < 0.35 else "right" if where > 0.65 else "center"
    axes.annotate(
        words,
        (x, 1.02),
        xytext=(0, 4),
        textcoords="offset points",
        horizontalalignment=align,
        verticalalignment="bottom",
        fontsize=SMALL,
        fontweight="bold",
        annotation_clip=False,
    )


def _draw_axes(axes: Axes, forecast: Forecast, start: float, end: float) -> None:
    from matplotlib.ticker import MultipleLocator, PercentFormatter

    axes.yaxis.set_major_locator(MultipleLocator(0.2))
    axes.yaxis.set_major_formatter(PercentFormatter(1.0, decimals=0, symbol=" %"))
    axes.set_ylabel(f"runs {forecast.ready_word}")
    draw_days(axes, forecast.calendar, start, end)


def _draw_legend(axes: Axes, shaded: bool, nobody: str) -> None:
    from matplotlib.patches import Patch

    patches = [Patch(facecolor="none", edgecolor=GREY, hatch="////", label="95 % band for the\nwhole curve")]
    if shaded:
        patches.append(Patch(facecolor=NIGHT, edgecolor=GREY, linewidth=0.5, label=nobody))
    axes.legend(handles=patches, loc="lower left", bbox_to_anchor=(1.0, 0.0))


def _draw_words(figure: Figure, forecast: Forecast, beyond_view: int) -> None:
    """Draw the title, what the curve counts, and how far to trust the band."""
    ready = forecast.readiness
    counts = [f"share of {wording.counted(forecast.run_count, 'run')} that have reached “{ready.name}”"]
    if forecast.unfinished:
        counts.append(
            f"{forecast.unfinished} not {forecast.ready_word} within the {wording.days(forecast.scenario.horizon)} days simulated"
        )
    if beyond_view:
        finish = "finishes" if beyond_view == 1 else "finish"
        counts.append(f"{beyond_view} of {wording.counted(forecast.run_count, 'run')} {finish} beyond the right edge")
    note = "The band shows sampling error only; it does not cover wrong inputs or a wrong model."
    draw_words(figure, _LEFT, conclude_s_curve(forecast), shown_of(forecast, "; ".join(counts)), note)


def conclude_s_curve(forecast: Forecast) -> str:
    """Return what the S-curve says first: the days within which four runs in five are ready."""
    eighty = forecast.readiness.quantile(0.8).value
    if math.isinf(eighty):
        return f"Fewer than four runs in five are {forecast.ready_word} within {wording.days(forecast.scenario.horizon)} days"
    return f"Four runs in five are {forecast.ready_word} within {wording.days(eighty)} days"


def describe_s_curve(forecast: Forecast) -> str:
    """Return the S-curve in a sentence, for readers who do not see it."""
    ready = forecast.readiness
    parts, beyond = [], []
    for share in BANDS:
        band = ready.quantile(share)
        if math.isinf(band.value):
            beyond.append(f"{100 * share:.0f} %")
        else:
            parts.append(f"{100 * share:.0f} % by {wording.days(band.value)} days")
    if beyond:
        parts.append(f"{listed(beyond)} {wording.BEYOND}")
    text = f"Share of {wording.counted(forecast.run_count, 'simulated run')} that reached {ready.name}: {listed(parts)}"
    if forecast.deadline is not None:
        at, chance = forecast.deadline.deadline.hours, forecast.deadline.chance
        bound = "at least " if chance.at_least else ""
        text += f"; {bound}{wording.percent(chance.probability)} by the deadline at {wording.days(at)} days"
    if forecast.unfinished:
        within = f"within the {wording.days(forecast.scenario.horizon)} days simulated"
        text += f"; {forecast.unfinished:,} not {forecast.ready_word} {within}"
    return f"{text}."
