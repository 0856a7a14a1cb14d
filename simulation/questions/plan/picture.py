"""Draw people on site against what is made best: the frontier with its bands, the best plan and the knee."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.present.pictures.figure import INK, LARGE, PLAIN, SMALL, TITLE, axes_at, blank, cut
from simulation.present.words import wording
from simulation.questions.plan.worded.people_sentences import frontier_title

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.plan.result import PlanResult
    from simulation.stats.paired_difference import Difference

_SIZE = (8.4, 5.2)
_LEFT, _WIDE = 0.76, 7.34
#: From a name to what it names.
_LINE = {"arrowstyle": "-", "color": INK, "linewidth": 0.8, "shrinkB": 4.0}


def draw_frontier(result: PlanResult) -> Figure:
    """Return the picture."""
    from matplotlib.ticker import MaxNLocator

    figure = blank(*_SIZE)
    axes = axes_at(figure, _LEFT, 0.85, _WIDE, _SIZE[1] - 1.85)
    points = [(people, _height(result, value), change) for people, value, change in result.frontier]
    axes.plot([people for people, _, _ in points], [height for _, height, _ in points], color=INK, linewidth=1.0, zorder=1)
    for people, height, change in points:
        if change is None:
            axes.plot([people], [height], marker="s", markersize=9, color=INK, linewidth=0, zorder=3)
            continue
        if change.low is not None and change.high is not None:
            ends = [_height(result, result.value + end) for end in (change.low, change.high)]
            axes.plot([people] * 2, ends, color=INK, linewidth=1.1, marker="_", markersize=7, zorder=2)
        fill = INK if change.measurable else "white"
        axes.plot([people], [height], marker="o", color=INK, markerfacecolor=fill, linewidth=0, zorder=3)
    axes.set_xlabel("people on site", fontsize=SMALL)
    unit = "% of runs" if result.objective.is_chance else "days after the start"
    axes.set_ylabel(f"{result.objective.name}, {unit}", fontsize=SMALL)
    axes.xaxis.set_major_locator(MaxNLocator(integer=True))
    axes.tick_params(labelsize=SMALL)
    axes.margins(x=0.06, y=0.2)
    _name_knee(axes, result, points)
    marks = "Square: the best plan. Bars: 95 % interval of the change against it. Filled: measurable; open: not."
    runs = f"{wording.counted(len(result.outcome.hours), 'run')} of the best plan, seed {result.seed}"
    below = cut(f"{result.outcome.scenario.title}: {runs}", PLAIN, _WIDE)
    title = cut(frontier_title(result), LARGE, _WIDE, lines=2, bold=True)
    left, high = _LEFT / _SIZE[0], _SIZE[1]
    figure.text(left, (high - 0.15) / high, title, fontsize=LARGE, fontweight="bold", va="top", gid=TITLE)
    figure.text(left, (high - 0.65) / high, below, fontsize=PLAIN, va="top")
    figure.text(left, 0.12 / high, marks, fontsize=SMALL, va="bottom")
    return figure


def _name_knee(axes: Axes, result: PlanResult, points: Sequence[tuple[int, float, Difference | None]]) -> None:
    """Write where the knee is: over the points, or under them where more people raise them, since no bar reaches there."""
    if result.knee is None:
        return
    height, change = next((height, change) for people, height, change in points if people == result.knee)
    ends = [] if change is None else [_height(result, result.value + end) for end in (change.low, change.high) if end is not None]
    below = result.objective.is_chance
    tip = (min if below else max)([height, *ends])
    to_the_right = result.knee <= sum(axes.get_xlim()) / 2.0
    axes.annotate(
        f"knee: {result.knee:,} people",
        (result.knee, tip),
        (0, 0.04 if below else 0.94),
        textcoords=("offset points", "axes fraction"),
        ha="left" if to_the_right else "right",
        va="bottom" if below else "top",
        fontsize=SMALL,
        arrowprops={
            "arrowstyle": "-",
            "color": INK,
            "linewidth": 0.8,
            "shrinkB": 4.0,
            "relpos": (0.0 if to_the_right else 1.0, 0.5),
        },
    )


def _height(result: PlanResult, value: float) -> float:
    return 100.0 * (1.0 - value) if result.objective.is_chance else value / 24.0


def describe_frontier(result: PlanResult) -> str:
    """Return the picture in sentences, for readers who do not see it."""
    if result.objective.is_chance:
        points = [f"{people:,} people {100 * (1 - value):.0f} %" for people, value, _ in result.frontier]
    else:
        points = [f"{people:,} people {wording.days(value)} days" for people, value, _ in result.frontier]
    return f"{frontier_title(result)} The {result.objective.name} by people on site: {'; '.join(points)}."
