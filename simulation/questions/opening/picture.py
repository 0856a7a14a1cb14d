"""Draw how the usable length grows: days on the one axis, length on the other, a band for each start.

Starts differ by mark, stroke and hatch, so that they are told apart in black and white. Lengths that were tried are points; what
lies between them was not tried, and the lines between them are there for the eye.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.present.pictures.figure import GREY, INK, SMALL, axes_at, blank, draw_words
from simulation.present.words import wording

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from simulation.questions.opening.study import OpeningResult

#: Inches.
_WIDTH, _HEIGHT, _LEFT, _BOTTOM = 8.4, 5.2, 1.0, 1.25
#: Part of the longest length by which the starts stand apart, so that their spreads do not lie on one another.
_ASIDE = 0.012
#: (mark, stroke, hatch) of the starts in turn.
_LOOKS = (("o", "-", "////"), ("s", "--", "...."))


def draw_opening(result: OpeningResult) -> Figure:
    """Return the picture; lengths that half of the runs never reach are left out."""
    figure = blank(_WIDTH, _HEIGHT)
    axes = axes_at(figure, _LEFT, _BOTTOM, _WIDTH - _LEFT - 2.2, _HEIGHT - _BOTTOM - 0.95)
    measures = result.scenario.measures.length
    ticks = [0.0, *result.lengths]
    for number, ((mark, stroke, hatch), start) in enumerate(zip(_LOOKS, result.starts, strict=False)):
        rows = [row for length in result.lengths if (row := result.opened(start, length)) is not None]
        rows = [row for row in rows if math.isfinite(row.first_at(0.9).value)]
        if not rows:
            continue
        lengths = [row.opening.length for row in rows]
        low, middle, high = ([row.first_at(share).value / 24.0 for row in rows] for share in (0.1, 0.5, 0.9))
        if len(lengths) > 1:
            axes.fill_betweenx(
                lengths, low, high, facecolor="none", edgecolor=GREY, hatch=hatch, linewidth=0.6, label=f"{start}, P10 to P90"
            )
        aside = _ASIDE * max(result.lengths) * (1 - 2 * number if len(result.starts) > 1 else 0)
        axes.errorbar(
            middle,
            [length + aside for length in lengths],
            xerr=[
                [value - less for value, less in zip(middle, low, strict=True)],
                [more - value for value, more in zip(middle, high, strict=True)],
            ],
            color=INK,
            marker=mark,
            linestyle=stroke,
            linewidth=1.3,
            elinewidth=0.8,
            capsize=3.0,
            label=f"{start}, P50" if len(lengths) > 1 else f"{start}, P50,\nP10 to P90",
        )
    axes.set_yticks(ticks, [measures.text(tick) if tick else "0" for tick in ticks])
    axes.set_ylim(0.0, 1.08 * max(result.lengths))
    axes.set_xlim(left=0.0)
    axes.set_xlabel("days from the start until that length is first usable")
    axes.set_ylabel(f"usable length of {result.area}")
    axes.grid(color=GREY, linewidth=0.3)
    axes.set_axisbelow(True)
    axes.legend(loc="upper left", bbox_to_anchor=(1.01, 1.0), frameon=False, fontsize=SMALL, handlelength=3.0)
    runs = f"{wording.counted(result.runs, 'run')} of each way, seed {result.seed}"
    below = f"{runs}; {result.scenario.title}"
    ends = ", temporary ends" if result.scenario.makes_ends else ""
    note = (
        f"Points are the lengths that were tried, with tasks{ends} and final sweep"
        f"{'; those of one length stand a little apart' if len(result.starts) > 1 else ''}. The spread is that of the runs; it "
        "does not cover wrong inputs or a wrong model."
    )
    draw_words(figure, _LEFT, conclude_opening(result), below, note)
    return figure


def conclude_opening(result: OpeningResult) -> str:
    """Return what the picture says first: when the shortest and the longest length are usable at P50, from the first start."""
    measures, known = result.scenario.measures.length, []
    for length in dict.fromkeys((result.lengths[0], result.lengths[-1])):
        row = result.opened(result.starts[0], length) or result.rows[0]
        known.append((measures.text(length), row.first_at(0.5).value))
    (first, hours), *rest = known
    if math.isinf(hours):
        return f"{first} {result.starts[0]} is not usable in half of the runs"
    later = (f", {length} {'not in half of the runs' if math.isinf(at) else f'after {wording.days(at)}'}" for length, at in rest)
    return f"{first} {result.starts[0]} usable after {wording.days(hours)} days{''.join(later)} (P50)"


def describe_opening(result: OpeningResult) -> str:
    """Return the picture in sentences, for readers who do not see it."""
    measures, said = result.scenario.measures.length, []
    for start in result.starts:
        parts = []
        for length in result.lengths:
            row = result.opened(start, length)
            if row is not None:
                low, middle, high = (wording.short_days(row.first_at(share).value) for share in (0.1, 0.5, 0.9))
                parts.append(f"{measures.text(length)} after {middle} days ({low} to {high})")
        said.append(f"{start}: {', '.join(parts)}.")
    return f"Usable length of {result.area} against days. {' '.join(said)}"
