"""Draw how long it takes to take the field up against the number of crews."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from simulation.present.pictures.figure import GREY, INK, SMALL, axes_at, blank, draw_words
from simulation.present.words import wording
from simulation.questions.lift.sentences import crews_words, lift_headline, picture_title
from simulation.questions.lift.study import middle, quantile

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from simulation.questions.lift.study import LiftResult

#: Inches: the picture, and the axes in it.
_WIDTH, _HEIGHT, _LEFT, _BELOW, _WIDE, _HIGH = 8.4, 4.7, 0.8, 1.1, 7.2, 2.7


def draw_lift(result: LiftResult) -> Figure:
    """Return the picture."""
    figure = blank(_WIDTH, _HEIGHT)
    axes = axes_at(figure, _LEFT, _BELOW, _WIDE, _HIGH)
    rows = result.by_crews
    crews = np.array([row.crews for row in rows])
    low, mid, high = (np.array([quantile(row.in_yard, share).value for row in rows]) / 24.0 for share in (0.1, 0.5, 0.9))
    known = np.isfinite(high)
    bars = [(mid - low)[known], (high - mid)[known]]
    axes.errorbar(crews[known], mid[known], yerr=bars, color=INK, marker="o", capsize=4, linewidth=1.5,
                  label=f"{result.asked.direction} the direction of assembly")  # fmt: skip
    other = middle(result.other.in_yard) / 24.0
    if np.isfinite(other):
        axes.plot([result.other.crews + 0.08], [other], marker="s", markerfacecolor="white", color=INK, linestyle="none",
                  label=f"{result.other.direction} it, P50")  # fmt: skip
    axes.axvline(result.asked.crews, color=GREY, linestyle=":", linewidth=1.0)
    axes.annotate("this plan", (result.asked.crews, 1.0), xycoords=("data", "axes fraction"), xytext=(3, -2),
                  textcoords="offset points", fontsize=SMALL, va="top")  # fmt: skip
    axes.set_xticks(crews)
    axes.set_ylim(bottom=0.0)
    axes.set_xlabel("crews, each at a key strip of its own")
    axes.set_ylabel("days until all is in the yard")
    axes.grid(color=GREY, linewidth=0.3, axis="y")
    axes.set_axisbelow(True)
    handles, names = (
        axes.get_legend_handles_labels()
    )  # what has bars comes last there: the plan's own direction is to stand first
    axes.legend(handles[::-1], names[::-1], loc="lower left", fontsize=SMALL, frameon=True, facecolor="white", edgecolor="none")
    note = f"P50 of {wording.counted(result.runs, 'run')} each, bars from P10 to P90. {crews_words(result)}"
    draw_words(figure, _LEFT, picture_title(result), f"{result.scenario.title}.", note)
    return figure


def describe_lift(result: LiftResult) -> str:
    """Return what the picture shows in sentences, for readers who do not see it."""
    each = ", ".join(f"{row.crews}: {wording.days(middle(row.in_yard))} days" for row in result.by_crews)
    return f"Days until all is in the yard by the number of crews (P50): {each}. {lift_headline(result)}"
