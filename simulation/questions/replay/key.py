"""What do the tones, the hatching and the shapes of a replay's picture mean? Declared once, with the line that explains them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.present.figure import GREY, INK, SMALL
from simulation.questions.replay.places import WIDTH

if TYPE_CHECKING:
    from matplotlib.axes import Axes

#: Tones of the ground, from bare to laid.
GRADED, LAID = "#dedede", "#8f8f8f"
#: How crews, forklifts and grading gangs are marked.
CREW: dict[str, Any] = {"marker": "o", "markerfacecolor": INK, "markeredgecolor": "white"}
FORKLIFT: dict[str, Any] = {"marker": "s", "markerfacecolor": "white", "markeredgewidth": 1.3}
GANG: dict[str, Any] = {"marker": "D", "markerfacecolor": "white", "markeredgecolor": GREY, "markeredgewidth": 1.3}


def draw_key(axes: Axes) -> None:
    """Draw the line that says what is what."""
    from matplotlib.patches import Rectangle

    axes.set_xlim(0.0, WIDTH)
    axes.set_ylim(1.0, 0.0)
    x = 0.0
    looks: tuple[tuple[dict[str, Any], str], ...] = (
        ({"facecolor": LAID}, "laid"),
        ({"facecolor": "white", "hatch": "//////"}, "being laid"),
        ({"facecolor": GRADED}, "graded"),
        ({"facecolor": "white", "linestyle": (0, (2, 2))}, "bare"),
    )
    for look, text in looks:
        axes.add_patch(Rectangle((x, 0.15), 22, 0.7, **{"edgecolor": INK, "linewidth": 0.7, **look}))
        axes.text(x + 27, 0.5, text, fontsize=SMALL, verticalalignment="center")
        x += 47 + 7.2 * len(text)
    axes.plot([x + 6, x + 6], [0.0, 1.0], color=INK, linewidth=2.0)
    axes.text(x + 14, 0.5, "key strip", fontsize=SMALL, verticalalignment="center")
    x += 88
    axes.plot([x], [0.5], marker="s", markersize=4, markerfacecolor="white", markeredgecolor=INK, markeredgewidth=0.9)
    axes.text(x + 8, 0.5, "staged pallet", fontsize=SMALL, verticalalignment="center")
    x += 118
    for shape, text in ((CREW, "crew"), (FORKLIFT, "forklift"), (GANG, "grading")):
        axes.plot([x], [0.5], markersize=9, color=INK, **shape)
        axes.text(x + 13, 0.5, text, fontsize=SMALL, verticalalignment="center")
        x += 30 + 8 * len(text)
    axes.text(WIDTH, 0.5, "ground to scale, symbols not", fontsize=SMALL, verticalalignment="center", horizontalalignment="right")
