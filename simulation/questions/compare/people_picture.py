"""People on site against days: what more people gain, plan by plan, with lines between plans that differ in one thing.

It must be read on a black-and-white print: kinds of plans differ in the shape of their marks and in their lines, the reference is
open, and the plans that matter bear their numbers.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from simulation.present.pictures.figure import GREY, INK, SMALL, axes_at, blank, cut, draw_words
from simulation.present.pictures.point_labels import label_points
from simulation.present.words import wording
from simulation.questions.compare.kinds import find_kinds
from simulation.questions.compare.picture import describe_runs
from simulation.questions.compare.sentences import label, write_conclusion

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.compare.study import CompareResult

#: Inches: the picture, the margins of its axes, and how long a line of the legend may be.
WIDTH, HEIGHT = 8.4, 5.6
_LEFT, _BOTTOM, _ABOVE, _LEGEND = 0.8, 1.2, 1.0, 1.95
_SHAPES = "sD^vPX<>ph*"
_LINES = ((0, ()), (0, (5, 2)), (0, (1, 1.5)), (0, (6, 2, 1, 2)), (0, (10, 3)))
#: Kinds that the legend names. Planning value: what there is room for.
_MOST_KINDS = 8
_DEADLINE = (0, (9, 2, 2, 2))
#: Days that the axis shows at the least. Planning value: half a day is one shift more or less.
_LEAST_SPAN = 0.5


def draw_people(result: CompareResult) -> Figure:
    """Return the picture of all plans whose P80 is known."""
    rows = result.plans
    known = [index for index, row in enumerate(rows) if math.isfinite(row.outcome.p80.value)]
    kinds = find_kinds([row.outcome.name for row in rows], [row.outcome.people for row in rows])
    names = list(dict.fromkeys(kind for kind in kinds if kind is not None))
    legend = _LEGEND if any(names) else 0.0
    figure = blank(WIDTH, HEIGHT)
    axes = axes_at(figure, _LEFT, _BOTTOM, WIDTH - _LEFT - 0.3 - legend, HEIGHT - _BOTTOM - _ABOVE)
    _set_limits(axes, result, known)
    for number, kind in enumerate(names):
        line = [index for index in known if kinds[index] == kind]
        line.sort(key=lambda index: (rows[index].outcome.people, rows[index].outcome.p80.value))
        points = [(rows[index].outcome.people, rows[index].outcome.p80.value / 24.0) for index in line]
        axes.plot(*zip(*points, strict=True), color=INK, linewidth=0.9, linestyle=_LINES[number % len(_LINES)], zorder=2)
    for index in known:
        own = kinds[index]
        _draw_mark(axes, result, index, "o" if own is None else _SHAPES[names.index(own) % len(_SHAPES)])
    beyond = _draw_deadline(axes, result)
    if any(names):
        _draw_legend(axes, names)
    marked = [(rows[index].outcome.people, rows[index].outcome.p80.value / 24.0) for index in known]
    numbered = [(*point, str(index + 1)) for index, point in zip(known, marked, strict=True) if index in result.that_matter]
    label_points(axes, numbered, marked)
    draw_words(
        figure,
        0.2,
        write_conclusion(result),
        describe_runs(result, every=True),
        _write_note(result, len(known), any(names), beyond),
    )
    return figure


def describe_people(result: CompareResult) -> str:
    """Return the picture in a sentence, for readers who do not see it."""
    parts = []
    for index in result.that_matter:
        outcome = result.plans[index].outcome
        days = wording.days(outcome.p80.value) + (" days" if math.isfinite(outcome.p80.value) else "")
        parts.append(f"{label(result, index)} {outcome.people:,} people, {days}")
    left = len(result.plans) - len(parts)
    parts += [f"{left} more in the table"] if left else []
    return f"People on site against P80: {'; '.join(parts)}."


def _draw_mark(axes: Axes, result: CompareResult, index: int, shape: str) -> None:
    outcome, fill = result.plans[index].outcome, "white" if index == result.reference else INK
    people, band, zorder = outcome.people, outcome.p80, 5 if index == result.reference else 4
    if band.low is not None and band.high is not None and math.isfinite(band.high):
        axes.plot([people, people], [band.low / 24.0, band.high / 24.0], color=GREY, linewidth=0.8, zorder=1)
    axes.plot(
        [people], [band.value / 24.0], marker=shape, markersize=7, color=fill, markeredgecolor=INK, linestyle="", zorder=zorder
    )


def _set_limits(axes: Axes, result: CompareResult, known: Sequence[int]) -> None:
    """Set what is in view: all marks and intervals, and a deadline that is not far away."""
    from matplotlib.ticker import MaxNLocator

    people = [row.outcome.people for row in result.plans]
    margin = max(1.0, 0.08 * (max(people) - min(people)))
    axes.set_xlim(min(people) - margin, max(people) + margin)
    scenario, deadline = result.plans[result.reference].outcome.scenario, result.plans[result.reference].outcome.deadline
    bands = [result.plans[index].outcome.p80 for index in known]
    ends = [end / 24.0 for band in bands for end in (band.low, band.value, band.high) if end is not None and math.isfinite(end)]
    low, high = (min(ends), max(ends)) if ends else (0.0, scenario.horizon / 24.0)
    span = max(high - low, _LEAST_SPAN)
    low, high = (low + high - span) / 2, (low + high + span) / 2  # an hour more or less must not look like a cliff
    if deadline is not None and low - span <= deadline.hours / 24.0 <= high + span:
        low, high = min(low, deadline.hours / 24.0), max(high, deadline.hours / 24.0)
    axes.set_ylim(max(0.0, low - 0.1 * span), high + 0.1 * span)
    axes.xaxis.set_major_locator(MaxNLocator(9, integer=True))
    axes.set_xlabel("people on site, drivers and operators included")
    axes.set_ylabel("P80, days since the start")
    axes.grid(color="#e4e4e4", linewidth=0.6)
    axes.set_axisbelow(True)


def _draw_deadline(axes: Axes, result: CompareResult) -> str:
    """Draw the deadline with its words above the axes' right end; return where it is if it is out of view."""
    deadline = result.plans[result.reference].outcome.deadline
    if deadline is None:
        return ""
    days, (low, high) = deadline.hours / 24.0, axes.get_ylim()
    if not low < days < high:
        return f"The deadline, {days:.1f} days, lies {'above' if days >= high else 'below'} the picture."
    axes.axhline(days, color=INK, linewidth=1.6, linestyle=_DEADLINE, zorder=1)
    axes.annotate(
        f"broken line: deadline, {days:.1f} days",
        (1.0, 1.0),
        xycoords="axes fraction",
        xytext=(0, 4),
        textcoords="offset points",
        ha="right",
        va="bottom",
        fontsize=SMALL,
        fontweight="bold",
    )
    return ""


def _draw_legend(axes: Axes, names: Sequence[str]) -> None:
    from matplotlib.lines import Line2D

    entries = [Line2D([], [], linestyle="", label="plans that differ in one\nthing, joined by a line:")]
    for number, name in enumerate(names[:_MOST_KINDS]):
        shape, style = _SHAPES[number % len(_SHAPES)], _LINES[number % len(_LINES)]
        words = cut(name or "all else as written", SMALL, _LEGEND - 0.5, 2)
        entries.append(Line2D([], [], color=INK, marker=shape, markersize=7, linewidth=0.9, linestyle=style, label=words))
    if len(names) > _MOST_KINDS:
        entries.append(Line2D([], [], linestyle="", label=f"and {len(names) - _MOST_KINDS} more kinds"))
    axes.legend(
        handles=entries, loc="upper left", bbox_to_anchor=(1.0, 1.02), frameon=False, fontsize=SMALL, handlelength=2.4,
        labelspacing=0.5,
    )  # fmt: skip


def _write_note(result: CompareResult, drawn: int, lines: bool, beyond: str) -> str:
    which = "Numbers are those of the table"
    if len(result.that_matter) < len(result.plans):
        which += "; only plans that matter bear theirs"
    notes = [f"{which}. The open mark is the reference.", beyond]
    if not lines and drawn > 1:
        notes.append("A line joins plans that differ in one thing." if _has_line(result) else "")
    if drawn < len(result.plans):
        notes.append(f"{wording.counted(len(result.plans) - drawn, 'plan')} not drawn: P80 {wording.BEYOND}.")
    notes.append("Grey strokes: 95 % interval of P80, sampling error only; whether two plans differ stands in the table.")
    return " ".join(filter(None, notes))


def _has_line(result: CompareResult) -> bool:
    rows = result.plans
    return any(kind is not None for kind in find_kinds([row.outcome.name for row in rows], [row.outcome.people for row in rows]))
