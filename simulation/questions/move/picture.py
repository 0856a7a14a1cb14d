"""Draw both sites over time: the first going down, pallets on the way, the second going up."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.present.pictures.figure import GREY, INK, SMALL, axes_at, blank, draw_words
from simulation.present.words import wording
from simulation.questions.move.over_time import over_time
from simulation.questions.move.sentences import middle, move_headline, picture_title

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from simulation.questions.move.study import MoveResult

#: Inches: the picture, and the two axes in it, one above the other.
_WIDTH, _HEIGHT, _LEFT, _WIDE = 8.4, 6.0, 0.9, 7.1
_AREA, _PALLETS = (2.55, 2.65), (1.15, 1.15)


def draw_move(result: MoveResult) -> Figure:
    """Return the picture."""
    figure = blank(_WIDTH, _HEIGHT)
    above = axes_at(figure, _LEFT, _AREA[0], _WIDE, _AREA[1])
    below = axes_at(figure, _LEFT, _PALLETS[0], _WIDE, _PALLETS[1])
    sites = over_time(result.asked)
    days = sites.hours / 24.0
    legend = {}
    for name, share, dashes, hatch in (
        ("first field that still lies, and P10 to P90", sites.down, (5, 2), "///"),
        ("second field that lies, and P10 to P90", sites.up, (1, 0), "..."),
    ):
        low, mid, high = 100.0 * share
        band = above.fill_between(days, low, high, facecolor="none", edgecolor=GREY, hatch=hatch, linewidth=0.0)
        (line,) = above.plot(days, mid, color=INK, linewidth=1.8, dashes=dashes)
        legend[name] = (band, line)
    opened = middle(result.asked.without) / 24.0
    if opened <= days[-1]:
        for axes in (above, below):
            axes.axvline(opened, color=GREY, linestyle=":", linewidth=1.0)
        above.annotate("second open, P50", (opened, 0.0), xytext=(-4, 4), textcoords="offset points", ha="right", fontsize=SMALL)
    low, mid, high = sites.on_the_way
    below.fill_between(days, low, high, facecolor="none", edgecolor=GREY, hatch="///", linewidth=0.0)
    below.plot(days, mid, color=INK, linewidth=1.8)
    above.set_ylabel("% of the field's area")
    above.set_ylim(0.0, 125.0)
    above.set_yticks([0, 25, 50, 75, 100])
    above.set_xticklabels([])
    above.legend(list(legend.values()), list(legend), loc="upper left", fontsize=SMALL, frameon=True, facecolor="white",
                 edgecolor="none", handlelength=3.0, handleheight=1.4)  # fmt: skip
    below.set_ylabel("pallets\non the way")
    below.set_ylim(bottom=0.0)
    below.set_xlabel("days since the first site closed")
    for axes in (above, below):
        axes.set_xlim(0.0, float(days[-1]))
        axes.grid(color=GREY, linewidth=0.3)
        axes.set_axisbelow(True)
    note = (
        f"Lines: P50 of {wording.counted(result.runs, 'run')} at each moment; hatched: P10 to P90. On the way: off the first "
        "site and not yet in the yard of the second, those that gather for a load among them."
    )
    draw_words(figure, _LEFT, picture_title(result), f"{result.first.title}, then {result.second.title}.", note)
    return figure


def describe_move(result: MoveResult) -> str:
    """Return what the picture shows in sentences, for readers who do not see it."""
    sites = over_time(result.asked)
    parts = []
    for share in (0.25, 0.5, 0.75, 1.0):
        at = int(share * (len(sites.hours) - 1))
        parts.append(
            f"day {sites.hours[at] / 24:.1f}: {100 * sites.down[1][at]:.0f} % of the first field lies, "
            f"{sites.on_the_way[1][at]:,.0f} pallets are on the way, {100 * sites.up[1][at]:.0f} % of the second lies"
        )
    return f"Both sites over time (P50): {'; '.join(parts)}. {move_headline(result)}"
