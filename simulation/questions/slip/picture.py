"""Draw what it costs to come late: P80 against the delay, beside the line on which every day late costs a day.

Things differ by marks and strokes, not by colour; the interval of each point is a bar.
"""

from __future__ import annotations

from itertools import groupby, pairwise
from typing import TYPE_CHECKING

from simulation.present.pictures.figure import GREY, INK, PLAIN, SMALL, TITLE, lines_within
from simulation.present.words import wording
from simulation.present.words.change_format import ChangeFormat, change_format
from simulation.present.words.trial_words import count_runs
from simulation.questions.slip.sentences import longest_delays, slip_headline, slip_lines, warning_lines

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.slip.study import SlipResult, SlipRow

#: (mark, stroke) of the things in turn.
_LOOKS = (("o", "-"), ("s", "--"), ("^", "-."), ("D", ":"), ("v", "-"), ("x", "--"), ("P", "-."), ("*", ":"))
#: Inches: width, height of the axes, margins.
_WIDTH, _HIGH, _LEFT, _RIGHT, _ABOVE, _BELOW = 8.4, 3.6, 0.8, 2.1, 0.9, 1.0
#: So many delays have a tick each.
_TICKS = 6
#: Part of a delay by which the things are set beside each other, so that their intervals do not lie on one another.
_ASIDE = 0.012
#: Part of the way from one delay to the next that the marks of one take at the most.
_CLOSE = 0.6


def draw_slip(result: SlipResult) -> Figure:
    """Return the picture; without a delay that was tried, its axes are empty."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    height = _HIGH + _ABOVE + _BELOW
    figure = Figure(figsize=(_WIDTH, height))
    FigureCanvasAgg(figure)
    box = (_LEFT / _WIDTH, _BELOW / height, (_WIDTH - _LEFT - _RIGHT) / _WIDTH, _HIGH / height)
    axes = figure.add_axes(box)
    written = change_format(result.outcome)
    longest = max((row.trial.delay.hours for row in result.rows), default=1.0) / written.size
    unit = written.name.removesuffix("s")
    things = [list(rows) for _, rows in groupby(result.rows, key=lambda row: row.trial.late.name)]
    delays = sorted({row.trial.delay.hours / written.size for row in result.rows})
    nearest = min((later - sooner for sooner, later in pairwise([0.0, *delays])), default=longest)
    aside = min(_ASIDE * longest, _CLOSE * nearest / len(things)) if things else 0.0
    stairs = _beside_marks(delays, aside * len(things) / 2)
    axes.plot(*zip(*stairs, strict=True), color=GREY, linewidth=0.8, label=f"{unit} for {unit}, no slack")
    axes.axhline(0.0, color=INK, linewidth=0.8)
    for number, rows in enumerate(things):
        _draw_thing(axes, rows, written, number, aside * (number - (len(things) - 1) / 2))
    axes.set_xlabel(f"late by, {written.name}")
    axes.set_ylabel(f"the 80 % date moves later by, {written.name}")
    if 0 < len(delays) <= _TICKS:
        axes.set_xticks([0.0, *delays], [f"{at:g}" for at in (0.0, *delays)])
    axes.set_xlim(left=0.0)
    axes.grid(color=GREY, linewidth=0.3)
    axes.set_axisbelow(True)
    legend = axes.legend(loc="upper left", bbox_to_anchor=(1.0, 1.0), frameon=False, fontsize=SMALL, handlelength=3.0)
    for text in legend.get_texts():
        text.set_text("\n".join(lines_within(text.get_text(), SMALL, _RIGHT - 0.75)))
    _draw_words(figure, result, height)
    return figure


def describe_slip(result: SlipResult) -> str:
    """Return what the picture says in sentences, for readers who do not see it."""
    return " ".join([slip_headline(result), *slip_lines(result), *warning_lines(result)])


def _beside_marks(delays: list[float], half: float) -> list[tuple[float, float]]:
    """Return the line on which all of a delay is lost: level beside the marks of one delay, which stand a little apart."""
    return [(0.0, 0.0), *((at + side, at) for at in delays for side in (-half, half))]


def _draw_thing(axes: Axes, rows: list[SlipRow], written: ChangeFormat, number: int, aside: float) -> None:
    mark, stroke = _LOOKS[number % len(_LOOKS)]
    known = [row for row in rows if row.against.p80.value is not None]
    hours = [row.trial.delay.hours / written.size + aside for row in known]
    costs = [(row.against.p80.value or 0.0) / written.size for row in known]
    axes.plot(
        hours, costs, marker=mark, linestyle=stroke, color=INK, markersize=5, linewidth=1.1, label=rows[0].trial.late.called
    )
    for at, row in zip(hours, known, strict=True):
        low, high = row.against.p80.low, row.against.p80.high
        if low is not None and high is not None:
            axes.plot([at, at], [low / written.size, high / written.size], color=INK, linewidth=1.0, marker="_", markersize=5)


def _draw_words(figure: Figure, result: SlipResult, height: float) -> None:
    """Draw the conclusion as title, and how far to trust it."""
    inches = _WIDTH - 0.7
    title = lines_within(slip_headline(result), PLAIN, inches, bold=True)[:4]
    figure.text(0.2 / _WIDTH, (height - 0.12) / height, "\n".join(title), fontsize=PLAIN, fontweight="bold", va="top", gid=TITLE)
    beyond = sum(row.against.p80.value is None for row in result.rows)
    left_out = f"{wording.counted(beyond, 'delay')} after the last day simulated: in the table only. " if beyond else ""
    aside = "Marks of one delay stand a little apart. " if len(longest_delays(result)) > 1 else ""
    name, *cut = lines_within(result.outcome.scenario.title, SMALL, inches - 3.7)
    trust = (
        f"{name}{' …' if cut else ''}: {count_runs(result).removesuffix(', paired')}, paired, seed {result.seed}. {aside}"
        f"{left_out}Bars are 95 % intervals: sampling error only; they do not cover wrong inputs or a wrong model."
    )
    figure.text(0.2 / _WIDTH, 0.1 / height, "\n".join(lines_within(trust, SMALL, inches)), fontsize=SMALL, va="bottom")
