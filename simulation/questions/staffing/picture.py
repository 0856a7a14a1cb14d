"""The teams as a picture: people on site against P80, the deadline across it, and where more people stop helping.

It must be read on a black-and-white print: crews and starts differ in the shape of their marks, forklifts in their lines and the
number at the end of each, verdicts in how the marks are filled. Labels of the two lines upright stand above the axes, where no
mark can meet them.
"""

from __future__ import annotations

import math
from itertools import product
from pathlib import Path
from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.present.figure import GREY, INK, LARGE, PLAIN, SMALL, lines_within, listed, save_figure
from simulation.questions.staffing.verdicts import Verdict

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from matplotlib.lines import Line2D

    from simulation.questions.staffing.study import StaffingResult
    from simulation.questions.staffing.verdicts import StaffingRow

Kind = tuple[int, str | None]
Style = tuple[float, tuple[float, ...]] | None

#: Inches: the picture, and the place of the axes in it.
WIDTH, HEIGHT = 8.4, 6.1
_LEFT, _BOTTOM, _AXES_WIDTH, _AXES_HEIGHT = 0.8, 0.95, 5.3, 3.85
#: Shapes of marks, for crews and starts in turn; with more kinds than these they begin anew, and the legend says no more of them.
_SHAPES = "osD^vPX<>ph*"
_FILLS = {Verdict.MEETS: INK, Verdict.DOES_NOT: "white", Verdict.TOO_CLOSE: "#b8b8b8", Verdict.OPEN: "white"}
_EDGES = {Verdict.OPEN: GREY}
#: Lines, for numbers of forklifts in turn.
_LINES: tuple[Style, ...] = (None, (0, (5, 2)), (0, (1, 1.5)), (0, (6, 2, 1, 2)), (0, (10, 3)))
_DEADLINE: Style = (0, (9, 2, 2, 2))
#: Days that the axis shows at the least. Planning value: half a day is one shift more or less.
_LEAST_SPAN = 0.5
#: Points between the middles of two numbers, at the least.
_APART = 10.0


def save_staff_picture(found: StaffingResult, path: Path) -> list[Path]:
    """Write the picture beside `path` as SVG and PNG, and return both paths."""
    return save_figure(lambda: draw_teams(found), path, describe_teams(found))


def draw_teams(found: StaffingResult) -> Figure:
    """Return the picture of all teams in question."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(WIDTH, HEIGHT))
    FigureCanvasAgg(figure)
    axes = figure.add_axes((_LEFT / WIDTH, _BOTTOM / HEIGHT, _AXES_WIDTH / WIDTH, _AXES_HEIGHT / HEIGHT))
    shown = [one for one in found.teams if math.isfinite(one.outcome.p80.value)]
    kinds: list[Kind] = sorted({_kind(one) for one in shown}, key=lambda kind: (kind[0], kind[1] or ""))
    _frame(axes, found, shown)
    forklifts = sorted({one.candidate.forklifts for one in shown})
    ends = []
    for (of_kind, kind), (of_count, count) in product(enumerate(kinds), enumerate(forklifts)):
        line = [one for one in shown if _kind(one) == kind and one.candidate.forklifts == count]
        _draw_line(axes, line, _SHAPES[of_kind % len(_SHAPES)], _LINES[of_count % len(_LINES)])
        ends += line[-1:]
    if len(forklifts) > 1:
        _number(axes, ends)
    deadline = _draw_deadline(axes, found)
    if found.answer:
        _upright(axes, found.answer[0].candidate.people, f"smallest that meets: {found.answer[0].candidate.name}", 0.02, "-")
    if found.helping.seen:
        at = found.teams[found.helping.at].candidate
        _upright(axes, at.people, f"more people stop helping: {at.people} on site", 0.075, ":")
    _draw_legend(axes, kinds, shown, forklifts, deadline)
    _draw_words(figure, found, len(found.teams) - len(shown))
    return figure


def describe_teams(found: StaffingResult) -> str:
    """Return the picture in a sentence, for readers who do not see it."""
    shown = [one for one in found.teams if math.isfinite(one.outcome.p80.value)]
    people = [one.candidate.people for one in found.teams]
    span = f"{min(people)} to {max(people)}" if min(people) < max(people) else f"{people[0]}"
    text = f"P80 readiness against people on site for {wording.counted(len(found.teams), 'team')} of {span} people"
    if shown:
        days = [one.outcome.p80.value for one in shown]
        text += f", from {wording.days(min(days))} to {wording.days(max(days))} days"
    counts = [(len(found.of(verdict)), verdict.value) for verdict in Verdict]
    verdicts = listed([f"{count} {words}" for count, words in counts if count])
    text += f"; against the deadline at {wording.days(found.deadline.hours)} days: {verdicts}"
    if found.answer:
        text += f"; the smallest that meets it is {found.answer[0].candidate.name}"
    if found.helping.seen:
        text += f"; more people stop helping at {found.teams[found.helping.at].candidate.people} on site"
    return f"{text}."


def _kind(one: StaffingRow) -> Kind:
    return len(one.candidate.scenario.crew), one.candidate.start


def _frame(axes: Axes, found: StaffingResult, shown: Sequence[StaffingRow]) -> None:
    """Set what is in view: all marks, and a deadline that is not far away."""
    from matplotlib.ticker import MaxNLocator

    people = [one.candidate.people for one in found.teams]
    margin = max(1.0, 0.06 * (max(people) - min(people)))
    axes.set_xlim(min(people) - margin, max(people) + margin)
    p80s = [one.outcome.p80 for one in shown]
    ends = [end for p80 in p80s for end in (p80.low, p80.value, p80.high) if end is not None and math.isfinite(end)]
    days = [end / 24 for end in ends] or [found.deadline.hours / 24]
    low, high, limit = min(days), max(days), found.deadline.hours / 24
    span = max(high - low, _LEAST_SPAN)
    low, high = (low + high - span) / 2, (low + high + span) / 2  # an hour more or less must not look like a cliff
    if low - span <= limit <= high + span:
        low, high = min(low, limit), max(high, limit)
    axes.set_ylim(max(0.0, low - 0.12 * span), high + 0.12 * span)
    axes.xaxis.set_major_locator(MaxNLocator(9, integer=True))
    axes.set_xlabel("people on site, drivers and operators included")
    axes.set_ylabel("P80, days from the start")


def _draw_line(axes: Axes, line: Sequence[StaffingRow], shape: str, style: Style) -> None:
    """Draw the teams that differ in the size of their crews alone."""
    people = [one.candidate.people for one in line]
    axes.plot(people, [one.outcome.p80.value / 24 for one in line], color=INK, linewidth=0.8, linestyle=style, zorder=2)
    for one in line:
        at, p80 = one.candidate.people, one.outcome.p80
        if p80.low is not None and p80.high is not None and math.isfinite(p80.high):
            axes.plot([at, at], [p80.low / 24, p80.high / 24], color=GREY, linewidth=0.7, zorder=2)
        fill, edge = _FILLS[one.verdict], _EDGES.get(one.verdict, INK)
        axes.plot([at], [p80.value / 24], marker=shape, markersize=7, color=fill, markeredgecolor=edge, linestyle="", zorder=4)


def _number(axes: Axes, ends: Sequence[StaffingRow]) -> None:
    """Write the number of forklifts beside the last mark of each line, one above the other where they would meet."""
    (left, right), (low, high) = axes.get_xlim(), axes.get_ylim()
    across, along = 72 * _AXES_WIDTH / (right - left), 72 * _AXES_HEIGHT / (high - low)
    taken: list[tuple[float, float]] = []
    named: list[tuple[int, float, float]] = []
    for one in sorted(ends, key=lambda one: (one.outcome.p80.value, one.candidate.forklifts)):
        x, y = one.candidate.people * across, one.outcome.p80.value / 24 * along
        count = one.candidate.forklifts
        if any(count == other and math.hypot(x - at, y - height) < _APART for other, at, height in named):
            continue  # two marks all but on each other share their number
        named.append((count, x, y))
        beside = y
        while any(abs(x - other) < _APART and abs(beside - above) < _APART for other, above in taken):
            beside += 1.0
        taken.append((x, beside))
        axes.annotate(
            str(count), (one.candidate.people, one.outcome.p80.value / 24), xytext=(7, beside - y),
            textcoords="offset points", verticalalignment="center", fontsize=SMALL, zorder=5,
        )  # fmt: skip


def _draw_deadline(axes: Axes, found: StaffingResult) -> Line2D:
    """Draw the deadline where it is in view, and return its entry of the legend, which says where it is not."""
    from matplotlib.lines import Line2D

    at, (low, high) = found.deadline.hours / 24, axes.get_ylim()
    if low < at < high:
        axes.axhline(at, color=INK, linewidth=1.6, linestyle=_DEADLINE, zorder=3)
    where = "" if low < at < high else ", above" if at >= high else ", below"
    return Line2D([], [], color=INK, linewidth=1.6, linestyle=_DEADLINE, label=f"deadline, {at:.1f} days{where}")


def _upright(axes: Axes, people: int, words: str, height: float, style: str) -> None:
    """Draw a line at a number of people, with its label above the axes."""
    axes.plot(
        [people, people], [0.0, 1.0 + height], transform=axes.get_xaxis_transform(), color=INK, linewidth=0.9, linestyle=style,
        clip_on=False, zorder=1,
    )  # fmt: skip
    left, right = axes.get_xlim()
    where = (people - left) / (right - left)
    axes.annotate(
        words, (people, 1.0 + height), xycoords=axes.get_xaxis_transform(), xytext=(3 if where < 0.5 else -3, 0),
        textcoords="offset points", horizontalalignment="left" if where < 0.5 else "right", verticalalignment="center",
        fontsize=SMALL, annotation_clip=False, bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.5}, zorder=6,
    )  # fmt: skip


def _draw_legend(
    axes: Axes, kinds: Sequence[Kind], shown: Sequence[StaffingRow], forklifts: Sequence[int], deadline: Line2D
) -> None:
    from matplotlib.lines import Line2D

    def head(words: str) -> Line2D:
        return Line2D([], [], linestyle="", label=words)

    def mark(shape: str, fill: str, edge: str, words: str) -> Line2D:
        return Line2D([], [], linestyle="", marker=shape, markersize=7, color=fill, markeredgecolor=edge, label=words)

    seen = {one.verdict for one in shown}
    entries = [head("shape: crews and start" if any(start for _, start in kinds) else "shape: crews")]
    entries += [
        mark(shape, "white", INK, wording.counted(crews, "crew") + (f", {start}" if start else ""))
        for (crews, start), shape in zip(kinds, _SHAPES, strict=False)
    ]
    if len(forklifts) > 1:
        entries.append(head("line and number: forklifts"))
        entries += [
            Line2D([], [], color=INK, linewidth=0.8, linestyle=style, label=f"{count}")
            for count, style in zip(forklifts, _LINES, strict=False)
        ]
    entries.append(head("fill: meets the deadline?"))
    entries += [mark("o", _FILLS[one], _EDGES.get(one, INK), one.value) for one in Verdict if one in seen]
    entries.append(
        Line2D(
            [],
            [],
            color=GREY,
            linewidth=0.7,
            marker="|",
            linestyle="",
            markersize=11,
            label="95 % interval of P80",
        )
    )
    entries.append(deadline)
    axes.legend(handles=entries, loc="upper left", bbox_to_anchor=(1.0, 1.02), frameon=False, fontsize=SMALL, labelspacing=0.35)


def _draw_words(figure: Figure, found: StaffingResult, beyond: int) -> None:
    """Draw the title, what is asked, and how far to trust it."""
    left, top, width = _LEFT / WIDTH, (HEIGHT - 0.15) / HEIGHT, WIDTH - _LEFT - 0.2
    title, *cut = lines_within(found.scenario.title, LARGE, width - 0.2, bold=True)
    words = [
        f"teams to be ready by {found.deadline.text} with a chance of at least {100 * found.confidence:g} %; "
        f"P80 of {wording.counted(found.first, 'run')} of each"
    ]
    if beyond:
        words.append(f"{wording.counted(beyond, 'team')} not drawn, P80 after the last day simulated")
    figure.text(left, top, title + (" …" if cut else ""), fontsize=LARGE, fontweight="bold", verticalalignment="top")
    below = "\n".join(lines_within("; ".join(words), PLAIN, width)[:2])
    figure.text(left, top - 0.27 / HEIGHT, below, fontsize=PLAIN, verticalalignment="top")
    note = (
        "Strokes: P80. A verdict goes by the chance of being ready by the deadline, whose interval stands in the table. "
        "Intervals and verdicts show sampling error only; they do not cover wrong inputs or a wrong model."
    )
    note = "\n".join(lines_within(note, SMALL, width))
    figure.text(left, 0.12 / HEIGHT, note, fontsize=SMALL, verticalalignment="bottom")
