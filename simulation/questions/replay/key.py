"""What do the tones, the hatching and the shapes of a replay's picture mean? Declared once, with the line that explains them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.present.pictures.figure import GREY, INK, SMALL
from simulation.questions.replay.places import WIDTH

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from simulation.questions.replay.on_the_ground import Ground

#: Tones of the ground, from bare to laid.
GRADED, LAID = "#dedede", "#8f8f8f"
#: How crews, gangs and forklifts are marked.
CREW: dict[str, Any] = {"marker": "o", "markerfacecolor": INK, "markeredgecolor": "white"}
FORKLIFT: dict[str, Any] = {"marker": "s", "markerfacecolor": "white", "markeredgewidth": 1.3}
RAIL_GANG: dict[str, Any] = {"marker": "o", "markerfacecolor": "white", "markeredgewidth": 1.3}
GANG: dict[str, Any] = {"marker": "h", "markerfacecolor": "white", "markeredgecolor": GREY, "markeredgewidth": 1.3}
SHAPES = {"crew": CREW, "rail gang": RAIL_GANG, "forklift": FORKLIFT, "grading": GANG, "following": GANG}
#: The line of a guide rail.
RAIL: dict[str, Any] = {"color": INK, "linewidth": 1.6, "linestyle": (0, (5, 1.5, 1, 1.5))}
#: The line of a temporary end.
END: dict[str, Any] = {"color": INK, "linewidth": 4.5, "linestyle": (0, (0.6, 0.3))}


def draw_key(axes: Axes, ground: Ground, taken_up: bool = False, ended: bool = False) -> None:
    """Draw the two lines that say what is what: the ground, and who works on it; only what the run has."""
    axes.set_xlim(0.0, WIDTH)
    axes.set_ylim(2.0, 0.0)
    _draw_ground_key(axes, bool(ground.rails), taken_up, ended)
    x = 8.0
    gangs = [(RAIL_GANG, "R", "rail gang")] if ground.rails else []
    gangs += [(FORKLIFT, "", "forklift"), *((GANG, letter, text) for letter, text in name_gangs(ground).items())]
    for shape, letter, text in ((CREW, "", "crew"), *gangs):
        axes.plot([x], [1.5], markersize=11, color=INK, **shape)
        axes.text(x, 1.5, letter, fontsize=SMALL, fontweight="bold", ha="center", va="center_baseline")
        x = _write(axes, x + 13, 1.5, text) + 12
    axes.text(WIDTH, 1.5, "ground to scale, symbols not", fontsize=SMALL, verticalalignment="center", horizontalalignment="right")


def name_gangs(ground: Ground) -> dict[str, str]:
    """Return what the letters in hexagons stand for; only what the run has."""
    parts = {work.part for work in ground.after_rows}
    named = (("ramp", "F", "backfilling"), ("stand", "T", "tie-downs"), ("piece", "K", "tasks"))
    return {"G": "grading"} | {letter: text for part, letter, text in named if part in parts}


def _draw_ground_key(axes: Axes, railed: bool, taken_up: bool, ended: bool) -> None:
    from matplotlib.patches import Rectangle

    x = 0.0
    looks: tuple[tuple[dict[str, Any], str], ...] = (
        ({"facecolor": LAID}, "lies" if taken_up else "laid"),
        ({"facecolor": "white", "hatch": "//////"}, "being taken up" if taken_up else "being laid"),
        ({"facecolor": GRADED}, "taken up" if taken_up else "graded"),
        *([] if taken_up else [({"facecolor": "white", "linestyle": (0, (2, 2))}, "bare")]),
    )
    for look, text in looks:
        axes.add_patch(Rectangle((x, 0.15), 22, 0.7, **{"edgecolor": INK, "linewidth": 0.7, **look}))
        x = _write(axes, x + 27, 0.5, text)
    axes.plot([x + 6, x + 6], [0.0, 1.0], color=INK, linewidth=2.0)
    x = _write(axes, x + 14, 0.5, "key strip")
    if ended:
        axes.plot([x + 6, x + 6], [0.0, 1.0], **END)
        x = _write(axes, x + 14, 0.5, "temporary end")
    if railed:
        axes.plot([x, x + 26], [0.5, 0.5], **RAIL)
        x = _write(axes, x + 31, 0.5, "guide rail")
    axes.plot([x + 4], [0.5], marker="s", markersize=4, markerfacecolor="white", markeredgecolor=INK, markeredgewidth=0.9)
    x = _write(axes, x + 12, 0.5, "staged pallet")
    axes.add_patch(Rectangle((x, 0.1), 26, 0.8, facecolor="white", edgecolor=INK, linewidth=1.0))
    for level in (0.37, 0.64):
        axes.plot([x, x + 26], [level, level], color=INK, linewidth=0.8)
    _write(axes, x + 31, 0.5, "yard")


def _write(axes: Axes, x: float, y: float, text: str) -> float:
    """Write a word of the key, and return where the next mark may begin."""
    axes.text(x, y, text, fontsize=SMALL, verticalalignment="center")
    return x + 20 + 7.4 * len(text)
