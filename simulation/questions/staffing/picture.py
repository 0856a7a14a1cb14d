"""The teams as a picture: people on site against P80, the deadline across it, and where more people stop helping.

It must be read on a black-and-white print: crews and starts differ in the shape of their marks, forklifts in their lines and the
number at the end of each, verdicts in how the marks are filled. Labels of the two lines upright stand above the axes, where no
mark can meet them.
"""

from __future__ import annotations

import math
from itertools import product
from typing import TYPE_CHECKING

from simulation.present.pictures.figure import GREY, INK, SMALL, axes_at, blank, draw_words, listed
from simulation.present.pictures.point_labels import label_points
from simulation.present.words import wording
from simulation.questions.staffing.sentences import count_runs, write_conclusion
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
#: What is drawn within a mark, and within its entry of the legend.
_CROSSED = {Verdict.OPEN}
#: Lines, for numbers of forklifts in turn.
_LINES: tuple[Style, ...] = (None, (0, (5, 2)), (0, (1, 1.5)), (0, (6, 2, 1, 2)), (0, (10, 3)))
_DEADLINE: Style = (0, (9, 2, 2, 2))
#: Days that the axis shows at the least. Planning value: half a day is one shift more or less.
_LEAST_SPAN = 0.5


def draw_teams(result: StaffingResult) -> Figure:
    """Return the picture of all teams in question."""
    figure = blank(WIDTH, HEIGHT)
    axes = axes_at(figure, _LEFT, _BOTTOM, _AXES_WIDTH, _AXES_HEIGHT)
    shown = [row for row in result.teams if math.isfinite(row.outcome.p80.value)]
    kinds: list[Kind] = sorted({_kind(row) for row in shown}, key=lambda kind: (kind[0], kind[1] or ""))
    _frame(axes, result, shown)
    forklifts = sorted({row.candidate.forklifts for row in shown})
    ends = []
    for (of_kind, kind), (of_count, count) in product(enumerate(kinds), enumerate(forklifts)):
        line = [row for row in shown if _kind(row) == kind and row.candidate.forklifts == count]
        _draw_line(axes, line, _SHAPES[of_kind % len(_SHAPES)], _LINES[of_count % len(_LINES)])
        ends += line[-1:]
    if len(forklifts) > 1:
        _number(axes, ends, shown)
    deadline = _draw_deadline(axes, result)
    if result.answer:
        _upright(axes, result.answer[0].candidate.people, f"smallest that meets: {result.answer[0].candidate.name}", 0.02, "-")
    if result.helping.seen:
        at = result.teams[result.helping.at].candidate
        _upright(axes, at.people, f"more people {_stop(result)}: {at.people} on site", 0.075, ":")
    _draw_legend(axes, kinds, shown, forklifts, deadline)
    note = (
        f"A verdict goes by the chance of being {result.ready_word} by the deadline, whose interval stands in the "
        "table. Intervals and verdicts show sampling error only; they do not cover wrong inputs or a wrong model."
    )
    draw_words(figure, _LEFT, _title(result), _describe_runs(result, len(result.teams) - len(shown)), note)
    return figure


def describe_teams(result: StaffingResult) -> str:
    """Return the picture in a sentence, for readers who do not see it."""
    shown = [row for row in result.teams if math.isfinite(row.outcome.p80.value)]
    people = [row.candidate.people for row in result.teams]
    span = f"{min(people)} to {max(people)}" if min(people) < max(people) else f"{people[0]}"
    text = f"P80 readiness against people on site for {wording.counted(len(result.teams), 'team')} of {span} people"
    if shown:
        days = [row.outcome.p80.value for row in shown]
        text += f", from {wording.days(min(days))} to {wording.days(max(days))} days"
    counts = [(len(result.of(verdict)), verdict.value) for verdict in Verdict]
    verdicts = listed([f"{count} {words}" for count, words in counts if count])
    text += f"; against the deadline at {wording.days(result.deadline.hours)} days: {verdicts}"
    if result.answer:
        text += f"; the smallest that meets it is {result.answer[0].candidate.name}"
    if result.helping.seen:
        text += f"; more people {_stop(result)} at {result.teams[result.helping.at].candidate.people} on site"
    return f"{text}."


def _title(result: StaffingResult) -> str:
    """Return the conclusion in a line: a team of own crews has a name that is too long for one."""
    if not result.answer:
        return write_conclusion(result)
    team = result.answer[0].candidate
    return (
        f"{team.people} people with {wording.counted(team.forklifts, 'forklift')} are the smallest team that meets the deadline"
    )


def _kind(row: StaffingRow) -> Kind:
    return len(row.candidate.scenario.crew), row.candidate.start


def _frame(axes: Axes, result: StaffingResult, shown: Sequence[StaffingRow]) -> None:
    """Set what is in view: all marks, and a deadline that is not far away."""
    from matplotlib.ticker import MaxNLocator

    people = [row.candidate.people for row in result.teams]
    margin = max(1.0, 0.06 * (max(people) - min(people)))
    axes.set_xlim(min(people) - margin, max(people) + margin)
    p80s = [row.outcome.p80 for row in shown]
    ends = [end for p80 in p80s for end in (p80.low, p80.value, p80.high) if end is not None and math.isfinite(end)]
    days = [end / 24 for end in ends] or [result.deadline.hours / 24]
    low, high, limit = min(days), max(days), result.deadline.hours / 24
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
    people = [row.candidate.people for row in line]
    axes.plot(people, [row.outcome.p80.value / 24 for row in line], color=INK, linewidth=0.8, linestyle=style, zorder=2)
    for row in line:
        at, p80 = row.candidate.people, row.outcome.p80
        if p80.low is not None and p80.high is not None and math.isfinite(p80.high):
            axes.plot([at, at], [p80.low / 24, p80.high / 24], color=GREY, linewidth=0.7, zorder=2)
        axes.plot(
            [at],
            [p80.value / 24],
            marker=shape,
            markersize=7,
            color=_FILLS[row.verdict],
            markeredgecolor=INK,
            linestyle="",
            zorder=4,
        )
        if row.verdict in _CROSSED:
            axes.plot([at], [p80.value / 24], marker="x", markersize=4, color=INK, linestyle="", zorder=5)


def _number(axes: Axes, ends: Sequence[StaffingRow], shown: Sequence[StaffingRow]) -> None:
    """Write the number of forklifts beside the last mark of each line; two marks on each other share their number."""
    numbered = {(_point(row), row.candidate.forklifts) for row in ends}
    label_points(axes, [(*point, str(count)) for point, count in sorted(numbered)], [_point(row) for row in shown])


def _point(row: StaffingRow) -> tuple[float, float]:
    return float(row.candidate.people), row.outcome.p80.value / 24


def _draw_deadline(axes: Axes, result: StaffingResult) -> list[Line2D]:
    """Draw the deadline and return its entry of the legend; where it is out of view, say so at the edge that it is beyond."""
    from matplotlib.lines import Line2D

    at, (low, high) = result.deadline.hours / 24, axes.get_ylim()
    words = f"deadline, {at:.1f} days"
    if low < at < high:
        axes.axhline(at, color=INK, linewidth=1.6, linestyle=_DEADLINE, zorder=3)
        return [Line2D([], [], color=INK, linewidth=1.6, linestyle=_DEADLINE, label=words)]
    above = at >= high
    axes.annotate(
        f"{words}: {'above' if above else 'below'} what is drawn", (0.01, 0.985 if above else 0.015), xycoords="axes fraction",
        verticalalignment="top" if above else "bottom", fontsize=SMALL,
        bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.5}, zorder=6,
    )  # fmt: skip
    return []


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
    axes: Axes, kinds: Sequence[Kind], shown: Sequence[StaffingRow], forklifts: Sequence[int], deadline: Sequence[Line2D]
) -> None:
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    def head(words: str) -> Line2D:
        return Line2D([], [], linestyle="", label=words)

    def mark(shape: str, fill: str, edge: str, words: str) -> Line2D:
        return Line2D([], [], linestyle="", marker=shape, markersize=7, color=fill, markeredgecolor=edge, label=words)

    seen = {row.verdict for row in shown}
    entries: list[Line2D | Patch] = [head("shape: crews and start" if any(start for _, start in kinds) else "shape: crews")]
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
    entries += [  # patches: a mark of a shape would stand for its crews again
        Patch(facecolor=_FILLS[verdict], edgecolor=INK, hatch="xxx" if verdict in _CROSSED else "", label=verdict.value)
        for verdict in Verdict
        if verdict in seen
    ]
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
    entries += deadline
    axes.legend(handles=entries, loc="upper left", bbox_to_anchor=(1.0, 1.02), frameon=False, fontsize=SMALL, labelspacing=0.35)


def _describe_runs(result: StaffingResult, beyond: int) -> str:
    """Return what is asked of the teams, and what the picture rests on."""
    words = (
        f"{result.scenario.title}: teams to be {result.ready_word} by {result.deadline.text} with a chance of at least "
        f"{100 * result.confidence:g} %; P80 of {count_runs(result)} of each"
    )
    return words + (f"; {wording.counted(beyond, 'team')} not drawn, P80 after the last day simulated" if beyond else "")


def _stop(result: StaffingResult) -> str:
    """Return what more people do beyond the team from which on they stop helping: a gain that is measured is one, if small."""
    return "gain less than half a shift" if result.helping.gain.measurable else "stop helping"
