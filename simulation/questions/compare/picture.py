"""Plans side by side as a picture: from the median to P90 of each, its P80 with its interval, and the deadline across."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.present.figure import GREY, INK, LARGE, PLAIN, SMALL, lines_within, save_figure
from simulation.study.calendar import day

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.compare.study import CompareResult, CompareRow

#: Inches: the picture, what stands above, below, left and right of the axes, and a row for one line of a name.
WIDTH, _ABOVE, _BELOW, _LEFT, _RIGHT = 8.4, 1.05, 1.35, 2.9, 0.35
_ROW, _LINE = 0.26, 0.16
_ARROW = "→"
#: Plans that the sentence of the picture goes through, besides the reference: more cannot be followed by ear. Planning value.
_MOST_TOLD = 8


def save_comparison(found: CompareResult, path: Path) -> list[Path]:
    """Write the picture beside `path` as SVG and PNG, and return both paths."""
    return save_figure(lambda: draw_comparison(found), path, describe_comparison(found))


def draw_comparison(found: CompareResult) -> Figure:
    """Return the picture, one row for each plan in the order of the tables."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    names = [lines_within(f"{place + 1} {one.outcome.name}", SMALL, _LEFT - 0.3) for place, one in enumerate(found.plans)]
    rows = [_ROW + _LINE * (len(lines) - 1) for lines in names]
    height = _ABOVE + sum(rows) + _BELOW
    figure = Figure(figsize=(WIDTH, height))
    FigureCanvasAgg(figure)
    axes = figure.add_axes((_LEFT / WIDTH, _BELOW / height, (WIDTH - _LEFT - _RIGHT) / WIDTH, sum(rows) / height))
    middles = [-(sum(rows[:place]) + rows[place] / 2) for place in range(len(rows))]
    for place, (one, at) in enumerate(zip(found.plans, middles, strict=True)):
        _draw_plan(axes, one, at, place == found.reference)
    axes.set_ylim(-sum(rows), 0.0)
    axes.set_yticks(middles, ["\n".join(lines) for lines in names])
    axes.tick_params(axis="y", length=0)
    scenario = found.plans[found.reference].outcome.scenario
    known = any(math.isfinite(one.outcome.p80.value) for one in found.plans)
    left, right = axes.get_xlim() if known else (0.0, scenario.horizon / 24.0)
    axes.set_xlim(left, right + 0.04 * (right - left))
    starts = scenario.starts
    axes.set_xlabel(f"days since the start ({day(starts)} {starts:%H:%M})")
    axes.grid(axis="x", color="#dddddd", linewidth=0.6)
    axes.set_axisbelow(True)
    _draw_deadline(axes, found)
    _draw_words(figure, found, height)
    return figure


def describe_comparison(found: CompareResult) -> str:
    """Return the picture in a sentence, for readers who do not see it."""
    parts = []
    for place, one in enumerate(found.plans):
        if place >= _MOST_TOLD and place != found.reference:
            continue
        hours = [(band.name, band.value) for band in (one.outcome.p50, one.outcome.p80, one.outcome.p90)]
        known = [f"{name} {wording.days(at)}" for name, at in hours if math.isfinite(at)]
        beyond = [name for name, at in hours if math.isinf(at)]
        words = ", ".join([*known, *([f"{beyond[0]} {wording.BEYOND}"] if beyond else [])])
        chance = one.outcome.chance
        on_time = f", {wording.percent(chance.probability)} on time" if chance is not None else ""
        parts.append(f"{one.outcome.name}{' (the reference)' if place == found.reference else ''} {words}{on_time}")
    left = len(found.plans) - len(parts)
    parts += [f"{left} more in the table"] if left else []
    runs = wording.counted(found.run_count, "run")
    return f"Days until ready of {wording.counted(len(found.plans), 'plan')}, {runs} of each: {'; '.join(parts)}."


def _draw_plan(axes: Axes, one: CompareRow, at: float, reference: bool) -> None:
    half, eighty, ninety = (band.value / 24.0 for band in (one.outcome.p50, one.outcome.p80, one.outcome.p90))
    if not math.isfinite(eighty):
        words = f"P80 {wording.BEYOND}"
        if math.isfinite(half):
            words = f"P50 {half:.1f} days, {words}"
        axes.annotate(words, (1.0, at), xycoords=("axes fraction", "data"), ha="right", va="center", fontsize=SMALL)
        return
    axes.plot([half], [at], marker="|", markersize=9, color=INK, zorder=3)
    if math.isfinite(ninety):
        axes.plot([half, ninety], [at, at], color=GREY, linewidth=1.2, zorder=2)
        axes.plot([ninety], [at], marker="|", markersize=5, color=GREY, zorder=3)
    else:
        axes.plot([half, eighty], [at, at], color=GREY, linewidth=1.2, zorder=2)
        axes.annotate(_ARROW, (eighty, at), xytext=(6, 0), textcoords="offset points", va="center", fontsize=PLAIN)
    band = one.outcome.p80
    ends = [end / 24.0 for end in (band.low, band.high) if end is not None and math.isfinite(end)]
    if len(ends) == 2:
        axes.plot(ends, [at, at], color=INK, linewidth=4.0, solid_capstyle="butt", zorder=4)
    axes.plot([eighty], [at], marker="o", markersize=7, color=INK, markerfacecolor="white" if reference else INK, zorder=5)


def _draw_deadline(axes: Axes, found: CompareResult) -> None:
    deadline = found.plans[found.reference].outcome.deadline
    if deadline is None:
        return
    at, (left, right) = deadline.hours / 24.0, axes.get_xlim()
    words = f"deadline {at:.1f} days"
    if at < left - (right - left) or at > right + (right - left):
        words = f"← {words}" if at < left else f"{words} →"
        at = left if at < left else right
    else:
        axes.axvline(at, color=INK, linewidth=2.0, linestyle=(0, (9, 2, 2, 2)), zorder=1)
        left, right = axes.get_xlim()
    align = "left" if at - left < 0.25 * (right - left) else "right" if right - at < 0.25 * (right - left) else "center"
    axes.annotate(
        words, (at, 0.0), xytext=(0, 3), textcoords="offset points", ha=align, va="bottom", fontsize=SMALL, fontweight="bold"
    )


def _draw_words(figure: Figure, found: CompareResult, height: float) -> None:
    scenario = found.plans[found.reference].outcome.scenario
    title, *cut = lines_within(scenario.title, LARGE, WIDTH - 0.6, bold=True)
    title += " …" if cut else ""
    runs = wording.counted(found.run_count, "run")
    above = f"{len(found.plans)} plans under the same luck, {runs} of each, seed {found.seed}"
    figure.text(0.2 / WIDTH, 1 - 0.15 / height, title, fontsize=LARGE, fontweight="bold", va="top")
    figure.text(0.2 / WIDTH, 1 - 0.42 / height, above, fontsize=PLAIN, va="top")
    below = (
        "Each line runs from the median (tall stroke) to P90 (short stroke). The mark is P80, open for the reference; the "
        "thick bar is its 95 % interval, sampling error only. Whether two plans differ is told by the paired change in the "
        "table, not by whether their bars overlap."
    )
    if any(_open(one) for one in found.plans):
        below += f" {_ARROW} P90 lies after the last day simulated."
    figure.text(
        0.2 / WIDTH,
        0.12 / height,
        "\n".join(lines_within(below, SMALL, WIDTH - 0.7)),
        fontsize=SMALL,
        va="bottom",
        linespacing=1.3,
    )


def _open(one: CompareRow) -> bool:
    """Return whether P80 lies by the last day simulated and P90 does not."""
    return math.isfinite(one.outcome.p80.value) and math.isinf(one.outcome.p90.value)
