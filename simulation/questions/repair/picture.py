"""Draw how long the strip is closed against the size of the damage, both ways, with the size that was asked about."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from simulation.present.pictures.figure import GREY, INK, SMALL, axes_at, blank, draw_words
from simulation.present.words import wording
from simulation.questions.repair.sentences import asked_words, at_words, conclude, hours_kept, picture_title, switch_words
from simulation.questions.repair.study import middle, quantile

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.repair.study import Array, RepairResult

#: Inches: the picture, and the axes in it.
_WIDTH, _HEIGHT, _LEFT, _BELOW, _WIDE, _HIGH = 8.4, 5.2, 0.8, 1.55, 7.2, 2.75


def draw_repair(result: RepairResult) -> Figure:
    """Return the picture."""
    figure = blank(_WIDTH, _HEIGHT)
    axes = axes_at(figure, _LEFT, _BELOW, _WIDE, _HIGH)
    unit = result.scenario.measures.length
    scale = unit.factor if result.by_crater else 1.0
    cases = result.cases
    sizes = [case.size * scale for case in cases]
    _draw_way(axes, sizes, [case.cut_out for case in cases], "cut out and replaced", "-", "////")
    opened = [(size, case) for size, case in zip(sizes, cases, strict=True) if case.best is not None]
    if opened:
        hours = [case.opened[case.best] for _, case in opened if case.best is not None]
        _draw_way(axes, [size for size, _ in opened], hours, "opened at the nearest key strip", "--", "....")
    asked = result.asked.size * scale
    axes.axvline(asked, color=GREY, linewidth=1.0, linestyle=":")
    axes.annotate(
        f"asked: {asked_words(result)}", (asked, 1.0), xycoords=("data", "axes fraction"), xytext=(3, -2),
        textcoords="offset points", fontsize=SMALL, va="top",
        bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.5},
    )  # fmt: skip
    axes.set_xlabel(f"diameter of the crater, {unit.name}" if result.by_crater else "damaged mats")
    axes.set_ylabel("strip closed, hours" if result.begin is None else "strip closed, hours\n(hours off shift too)")
    axes.set_xlim(sizes[0], max(sizes[-1], sizes[0] + 1.0))
    axes.set_ylim(bottom=0.0)
    axes.grid(color=GREY, linewidth=0.3)
    axes.set_axisbelow(True)
    axes.legend(
        loc="upper left", bbox_to_anchor=(0.0, -0.17), ncols=2, fontsize=SMALL, handlelength=3.0, frameon=False, borderaxespad=0.0
    )
    note = f"{wording.counted(result.runs, 'run')} of each size. {switch_words(result)}"
    draw_words(figure, _LEFT, picture_title(result), f"{result.scenario.title}, {at_words(result)}; {hours_kept(result)}.", note)
    return figure


def _draw_way(axes: Axes, sizes: list[float], hours: list[Array], name: str, stroke: str, hatch: str) -> None:
    low, mid, high = (np.array([quantile(hours_of_way, share).value for hours_of_way in hours]) for share in (0.1, 0.5, 0.9))
    known = np.isfinite(high)
    across = np.array(sizes)[known]
    axes.plot(
        across,
        mid[known],
        color=INK,
        linestyle=stroke,
        linewidth=1.8,
        label=f"{name}, P50",
        marker="o" if len(across) < 2 else None,
    )
    axes.fill_between(
        across, low[known], high[known], facecolor="none", edgecolor=GREY, hatch=hatch, linewidth=0.4, label=f"{name}, P10 to P90"
    )


def describe_repair(result: RepairResult) -> str:
    """Return what the picture shows in sentences, for readers who do not see it."""
    ends, unit = [], result.scenario.measures.length
    for case in (result.cases[0], result.cases[-1]):
        best = "none" if case.best is None else f"{middle(case.opened[case.best]):.1f} hours"
        size = f"{unit.text(case.size)} of crater" if result.by_crater else f"{case.size:g} mats"
        ends.append(f"{size}: cut out {middle(case.cut_out):.1f} hours, opened {best}")
    return f"Hours closed against the size of the damage, both ways (P50). {'. '.join(ends)}. {conclude(result)}"
