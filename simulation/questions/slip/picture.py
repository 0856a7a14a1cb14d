"""What it costs to come late, as a picture: P80 against the delay, beside the line on which every day late costs a day.

Things are told apart by marks and strokes, not by colour; the interval of each point is a bar.
"""

from __future__ import annotations

import math
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.present.figure import GREY, INK, LARGE, PLAIN, SMALL, lines_within, save_figure
from simulation.present.time_scale import Scale, choose_scale
from simulation.questions.slip.tables import longest_delays, sentence_of, slip_answer

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.slip.study import SlipResult, SlipRow

#: (mark, stroke) of the things in turn.
_LOOKS = (("o", "-"), ("s", "--"), ("^", "-."), ("D", ":"), ("v", "-"), ("x", "--"), ("P", "-."), ("*", ":"))
#: Inches: width, height of the axes, margins.
_WIDTH, _HIGH, _LEFT, _RIGHT, _ABOVE, _BELOW = 8.4, 3.6, 0.8, 2.1, 1.05, 1.0
#: So many delays have a tick each.
_TICKS = 6
#: Part of a delay by which the things are set beside each other, so that their intervals do not lie on one another.
_ASIDE = 0.012


def draw_slip(found: SlipResult) -> Figure:
    """Return the picture; without a delay that was tried, its axes are empty."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    height = _HIGH + _ABOVE + _BELOW
    figure = Figure(figsize=(_WIDTH, height))
    FigureCanvasAgg(figure)
    box = (_LEFT / _WIDTH, _BELOW / height, (_WIDTH - _LEFT - _RIGHT) / _WIDTH, _HIGH / height)
    axes = figure.add_axes(box)
    scale = choose_scale(found.outcome.p80.value)
    longest = max((one.delay.hours for one in found.slipped), default=1.0) / scale.hours
    unit = scale.name.removesuffix("s")
    axes.plot([0.0, longest], [0.0, longest], color=GREY, linewidth=0.8, label=f"{unit} for {unit}, no slack")
    axes.axhline(0.0, color=INK, linewidth=0.8)
    things = [list(each) for _, each in groupby(found.slipped, key=lambda one: one.late.name)]
    for number, each in enumerate(things):
        _draw_thing(axes, each, scale, number, _ASIDE * longest * (number - (len(things) - 1) / 2))
    axes.set_xlabel(f"late by, {scale.name}")
    axes.set_ylabel(f"P80 readiness comes later by, {scale.name}")
    delays = sorted({one.delay.hours / scale.hours for one in found.slipped})
    if 0 < len(delays) <= _TICKS:
        axes.set_xticks([0.0, *delays], [f"{at:g}" for at in (0.0, *delays)])
    axes.set_xlim(left=0.0)
    axes.grid(color=GREY, linewidth=0.3)
    axes.set_axisbelow(True)
    legend = axes.legend(loc="upper left", bbox_to_anchor=(1.0, 1.0), frameon=False, fontsize=SMALL, handlelength=3.0)
    for text in legend.get_texts():
        text.set_text("\n".join(lines_within(text.get_text(), SMALL, _RIGHT - 0.75)))
    _draw_words(figure, found, height)
    return figure


def describe_slip(found: SlipResult) -> str:
    """Return what the picture says in sentences, for readers who do not see it."""
    return " ".join(slip_answer(found))


def _draw_thing(axes: Axes, each: list[SlipRow], scale: Scale, number: int, aside: float) -> None:
    mark, stroke = _LOOKS[number % len(_LOOKS)]
    known = [one for one in each if one.against.p80.value is not None]
    hours = [one.delay.hours / scale.hours + aside for one in known]
    costs = [(one.against.p80.value or 0.0) / scale.hours for one in known]
    axes.plot(hours, costs, marker=mark, linestyle=stroke, color=INK, markersize=5, linewidth=1.1, label=each[0].late.called)
    for at, one in zip(hours, known, strict=True):
        low, high = one.against.p80.low, one.against.p80.high
        if low is not None and high is not None:
            axes.plot([at, at], [low / scale.hours, high / scale.hours], color=INK, linewidth=1.0, marker="_", markersize=5)


def _draw_words(figure: Figure, found: SlipResult, height: float) -> None:
    """Draw the title, the answer on the thing that costs most, and how far to trust it."""
    inches = _WIDTH - 0.4
    title, *cut = lines_within(found.outcome.scenario.title, LARGE, inches, bold=True)
    whole = title + (" …" if cut else "")
    figure.text(0.2 / _WIDTH, (height - 0.12) / height, whole, fontsize=LARGE, fontweight="bold", va="top")
    each = longest_delays(found)
    worst = max(each, key=lambda one: math.inf if one.against.p80.value is None else one.against.p80.value, default=None)
    below = [] if worst is None else lines_within(sentence_of(found, worst), PLAIN, inches)[:3]
    figure.text(0.2 / _WIDTH, (height - 0.39) / height, "\n".join(below), fontsize=PLAIN, va="top")
    beyond = sum(one.against.p80.value is None for one in found.slipped)
    left_out = f"{wording.counted(beyond, 'delay')} after the last day simulated: in the table only. " if beyond else ""
    aside = "Marks of one delay stand a little apart. " if len(each) > 1 else ""
    trust = (
        f"{wording.counted(found.runs, 'run')} of each, paired, seed {found.seed}. {aside}{left_out}"
        "Bars are 95 % intervals: sampling error only; they do not cover wrong inputs or a wrong model."
    )
    figure.text(0.2 / _WIDTH, 0.1 / height, "\n".join(lines_within(trust, SMALL, inches)), fontsize=SMALL, va="bottom")


def save_slip(found: SlipResult, path: Path) -> list[Path]:
    """Write the picture beside `path` as SVG and PNG, and return both paths."""
    return save_figure(lambda: draw_slip(found), path, describe_slip(found))
