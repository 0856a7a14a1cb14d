"""Draw the plans beside the best one: people on site against the 80 % date, each with its interval."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.present.pictures.figure import INK, SMALL
from simulation.present.words import wording
from simulation.questions.plan.sentences import plan_headline, plan_lines

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from simulation.questions.plan.study import PlanResult

_SIZE = (8.4, 4.6)


def draw_frontier(result: PlanResult) -> Figure:
    """Return the picture."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=_SIZE)
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0.09, 0.13, 0.87, 0.74))
    best = result.outcome.p80.value / 24.0
    for row in result.rows:
        change = row.against.p80
        if change.value is None:
            continue
        ends = [best + (end or 0.0) / 24.0 for end in (change.low, change.high)]
        axes.plot([row.trial.people] * 2, ends, color=INK, linewidth=1.1, marker="_", markersize=6)
        fill = INK if change.measurable else "white"
        axes.plot([row.trial.people], [best + change.value / 24.0], marker="o", color=INK, markerfacecolor=fill, linewidth=0)
    axes.plot([result.best.people], [best], marker="s", markersize=8, color=INK, linewidth=0)
    axes.set_xlabel("people on site", fontsize=SMALL)
    axes.set_ylabel("80 % date, days after the start", fontsize=SMALL)
    axes.tick_params(labelsize=SMALL)
    words = "Square: the best plan. Filled: measurably later or earlier than it; open: not."
    figure.text(0.09, 0.93, words, fontsize=SMALL)
    return figure


def describe_frontier(result: PlanResult) -> str:
    """Return the picture in sentences, for readers who do not see it."""
    points = [f"{row.trial.people} people {wording.days(row.outcome.p80.value)} days" for row in result.rows]
    return " ".join([plan_headline(result), *plan_lines(result), f"Beside it: {'; '.join(points)}."])
