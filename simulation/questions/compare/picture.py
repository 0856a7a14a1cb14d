"""Plans side by side as a picture: from the median to P90 of each, its P80 with its interval, and the deadline across."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.present.pictures.figure import GREY, INK, PLAIN, SMALL, axes_at, blank, draw_words, lines_within
from simulation.present.words import wording
from simulation.questions.compare.sentences import count_runs, write_conclusion
from simulation.study.calendar import day

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.compare.row import CompareRow
    from simulation.questions.compare.study import CompareResult

#: Inches: the picture, what stands above, below, left and right of the axes, and a row for one line of a name.
WIDTH, _ABOVE, _BELOW, _LEFT, _RIGHT = 8.4, 1.1, 1.35, 2.9, 0.35
_ROW, _LINE = 0.26, 0.16
_ARROW = "→"


def draw_comparison(result: CompareResult) -> Figure:
    """Return the picture, one row for each plan that matters, best P80 first."""
    shown = result.that_matter
    names = [lines_within(f"{index + 1} {result.plans[index].outcome.name}", SMALL, _LEFT - 0.3) for index in shown]
    rows = [_ROW + _LINE * (len(lines) - 1) for lines in names]
    figure = blank(WIDTH, _ABOVE + sum(rows) + _BELOW)
    axes = axes_at(figure, _LEFT, _BELOW, WIDTH - _LEFT - _RIGHT, sum(rows))
    middles = [-(sum(rows[:number]) + rows[number] / 2) for number in range(len(rows))]
    for index, middle in zip(shown, middles, strict=True):
        _draw_plan(axes, result.plans[index], middle, index == result.reference)
    axes.set_ylim(-sum(rows), 0.0)
    axes.set_yticks(middles, ["\n".join(lines) for lines in names])
    axes.tick_params(axis="y", length=0)
    scenario = result.plans[result.reference].outcome.scenario
    known = any(math.isfinite(result.plans[index].outcome.p80.value) for index in shown)
    left, right = axes.get_xlim() if known else (0.0, scenario.horizon / 24.0)
    axes.set_xlim(left, right + 0.04 * (right - left))
    starts = scenario.starts
    axes.set_xlabel(f"days since the start ({day(starts)} {starts:%H:%M})")
    axes.grid(axis="x", color="#dddddd", linewidth=0.6)
    axes.set_axisbelow(True)
    _draw_deadline(axes, result)
    note = (
        "Each line runs from the median (tall stroke) to P90 (short stroke). The mark is P80, open for the reference; the "
        "thick bar is its 95 % interval, sampling error only. Overlapping bars do not settle whether two plans differ: read "
        "the change in the table."
    )
    if any(_ends_after_the_last_day(result.plans[index]) for index in shown):
        note += f" {_ARROW} P90 lies after the last day simulated."
    draw_words(figure, 0.2, write_conclusion(result), describe_runs(result), note)
    return figure


def describe_runs(result: CompareResult, every: bool = False) -> str:
    """Return what a picture of every plan, or of those that matter, rests on, for the line below its title."""
    title, runs = result.plans[result.reference].outcome.scenario.title, count_runs(result)
    left = 0 if every else len(result.plans) - len(result.that_matter)
    which = f"the {len(result.that_matter)} that matter of {len(result.plans)} plans" if left else f"{len(result.plans)} plans"
    return f"{title}: {which}, {runs} of each under the same weather and chances, seed {result.seed}"


def describe_comparison(result: CompareResult) -> str:
    """Return the picture in a sentence, for readers who do not see it."""
    parts = []
    for index in result.that_matter:
        outcome = result.plans[index].outcome
        bands = (outcome.p50, outcome.p80, outcome.p90)
        known = [f"{band.name} {wording.days(band.value)}" for band in bands if math.isfinite(band.value)]
        beyond = [f"{band.name} {wording.BEYOND}" for band in bands if math.isinf(band.value)][:1]
        chance = "" if outcome.chance is None else f", {wording.percent(outcome.chance.probability)} on time"
        reference = " (the reference)" if index == result.reference else ""
        parts.append(f"{outcome.name}{reference} {', '.join([*known, *beyond])}{chance}")
    left = len(result.plans) - len(parts)
    parts += [f"{left} more in the table"] if left else []
    runs = count_runs(result)
    return f"Days until {result.ready_word} of {wording.counted(len(result.plans), 'plan')}, {runs} of each: {'; '.join(parts)}."


def _draw_plan(axes: Axes, row: CompareRow, height: float, reference: bool) -> None:
    half, eighty, ninety = (band.value / 24.0 for band in (row.outcome.p50, row.outcome.p80, row.outcome.p90))
    if not math.isfinite(eighty):
        words = f"P80 {wording.BEYOND}"
        if math.isfinite(half):
            words = f"P50 {half:.1f} days, {words}"
        axes.annotate(words, (1.0, height), xycoords=("axes fraction", "data"), ha="right", va="center", fontsize=SMALL)
        return
    axes.plot([half], [height], marker="|", markersize=9, color=INK, zorder=3)
    if math.isfinite(ninety):
        axes.plot([half, ninety], [height, height], color=GREY, linewidth=1.2, zorder=2)
    else:
        axes.plot([half, eighty], [height, height], color=GREY, linewidth=1.2, zorder=2)
        axes.annotate(_ARROW, (eighty, height), xytext=(6, 0), textcoords="offset points", va="center", fontsize=PLAIN)
    band = row.outcome.p80
    ends = [end / 24.0 for end in (band.low, band.high) if end is not None and math.isfinite(end)]
    if len(ends) == 2:
        axes.plot(ends, [height, height], color=INK, linewidth=4.0, solid_capstyle="butt", zorder=4)
    if math.isfinite(ninety):  # the interval of P80 may reach past it: a short stroke with a white edge stands on the bar
        for colour, size, width in (("white", 9, 4.0), (INK, 7, 1.5)):
            axes.plot([ninety], [height], marker="|", markersize=size, markeredgewidth=width, color=colour, zorder=4.5)
    axes.plot([eighty], [height], marker="o", markersize=7, color=INK, markerfacecolor="white" if reference else INK, zorder=5)


def _draw_deadline(axes: Axes, result: CompareResult) -> None:
    deadline = result.plans[result.reference].outcome.deadline
    if deadline is None:
        return
    days, (left, right) = deadline.hours / 24.0, axes.get_xlim()
    words = f"deadline {days:.1f} days"
    if days < left - (right - left) or days > right + (right - left):
        words = f"← {words}" if days < left else f"{words} →"
        days = left if days < left else right
    else:
        axes.axvline(days, color=INK, linewidth=2.0, linestyle=(0, (9, 2, 2, 2)), zorder=1)
        left, right = axes.get_xlim()
    align = "left" if days - left < 0.25 * (right - left) else "right" if right - days < 0.25 * (right - left) else "center"
    axes.annotate(
        words, (days, 0.0), xytext=(0, 3), textcoords="offset points", ha=align, va="bottom", fontsize=SMALL, fontweight="bold"
    )


def _ends_after_the_last_day(row: CompareRow) -> bool:
    """Return whether P80 lies by the last day simulated and P90 does not."""
    return math.isfinite(row.outcome.p80.value) and math.isinf(row.outcome.p90.value)
