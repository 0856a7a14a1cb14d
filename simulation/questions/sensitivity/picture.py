"""What matters most, as a picture: tornado bars where levels were fixed, else shares and rank correlations as dots.

Ends of bars are told apart by hatching, dots that are measurable by their filling: nothing is said by colour alone.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from simulation.present import wording
from simulation.present.figure import GREY, INK, LARGE, PLAIN, SMALL, lines_within, save_figure
from simulation.questions.sensitivity.answer import answer, shown_bars

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.sensitivity.level_inputs import LevelInput
    from simulation.questions.sensitivity.study import SensitivityResult
    from simulation.questions.sensitivity.tornado import Bar, End
    from simulation.stats.first_order import RankCorrelation, Share

#: Levels in a picture at the most; the table has all. Planning value.
MOST = 14
#: Inches: the picture's width, the margin of names, what stands above and below, and a level's own height.
_WIDTH, _NAMES, _ABOVE, _BELOW, _EACH = 8.4, 2.05, 1.75, 1.15, 0.46
_RIGHT, _BETWEEN = 0.35, 0.6
#: Lines of the answer.
_SENTENCE = 4
#: Letters of what a level is fixed at: where many levels move as one, the first of them are named.
_LONGEST = 22


def save_sensitivity(found: SensitivityResult, path: Path) -> list[Path]:
    """Write the picture beside `path` as SVG and PNG, and return both paths."""
    return save_figure(lambda: draw_sensitivity(found), path, describe_sensitivity(found))


def draw_sensitivity(found: SensitivityResult) -> Figure:
    """Return the tornado if there is one, else the dots."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    bars = [bar for bar in shown_bars(found) if _drawn(bar)][:MOST]
    shown = len(bars) or min(len(found.inputs), MOST)
    height = _ABOVE + _BELOW + _EACH * max(shown, 2)
    figure = Figure(figsize=(_WIDTH, height))
    FigureCanvasAgg(figure)
    box = (_NAMES, _BELOW, _WIDTH - _NAMES - _RIGHT, height - _ABOVE - _BELOW)
    if bars:
        _draw_bars(_axes(figure, box, [bar.input for bar in bars]), bars)
    else:
        _draw_dots(figure, box, found)
    _draw_words(figure, found, height, shown)
    return figure


def describe_sensitivity(found: SensitivityResult) -> str:
    """Return what the picture says in sentences, for readers who do not see it."""
    return " ".join(answer(found))


def _drawn(bar: Bar) -> bool:
    return bar.low.against.p80.value is not None and bar.high.against.p80.value is not None


def _axes(figure: Figure, box: Sequence[float], inputs: Sequence[LevelInput], named: bool = True) -> Axes:
    """Return axes in a box of inches with a line for each input, the first one at the top."""
    width, height = figure.get_size_inches()
    axes = figure.add_axes((box[0] / width, box[1] / height, box[2] / width, box[3] / height))
    axes.set_ylim(max(len(inputs), 1) - 0.5, -0.5)
    axes.set_yticks(range(len(inputs)))
    axes.set_yticklabels([_name(one) for one in inputs] if named else [])
    axes.tick_params(axis="y", length=0)
    axes.spines["left"].set_visible(False)
    axes.axvline(0.0, color=INK, linewidth=1.0, zorder=3)
    axes.grid(axis="x", color=GREY, linewidth=0.3, zorder=0)
    axes.set_axisbelow(True)
    return axes


def _name(one: LevelInput) -> str:
    lines = lines_within(one.name, SMALL, _NAMES - 0.3)
    return "\n".join(lines[:2]) + ("…" if len(lines) > 2 else "")


def _draw_bars(axes: Axes, bars: Sequence[Bar]) -> None:
    from matplotlib.patches import Patch

    ends = [part for bar in bars for end in (bar.low, bar.high) for part in _reach(end)]
    low, high = min(0.0, *ends), max(0.0, *ends)
    span = max(high - low, 1e-6)
    axes.set_xlim(low - 0.3 * span, high + 0.3 * span)
    for line, bar in enumerate(bars):
        for end, place in ((bar.low, line - 0.19), (bar.high, line + 0.19)):
            _draw_end(axes, end, place, hatched=end is bar.low)
    axes.set_xlabel("change of the P80 of readiness, days (left of 0: earlier than as it is)")
    patches = [
        Patch(facecolor="white", edgecolor=INK, hatch="/////", label="level at its P10, its low end (one in ten is lower)"),
        Patch(facecolor=GREY, edgecolor=INK, label="level at its P90, its high end (one in ten is higher)"),
    ]
    axes.legend(handles=patches, loc="lower left", bbox_to_anchor=(0.0, 1.0), frameon=False, fontsize=SMALL, borderaxespad=0.2)


def _reach(end: End) -> tuple[float, ...]:
    """Return the change at one end, in days, and the ends of its interval where there are any."""
    return tuple(part / 24.0 for part in (end.against.p80.value, end.against.p80.low, end.against.p80.high) if part is not None)


def _draw_end(axes: Axes, end: End, place: float, hatched: bool) -> None:
    value, *interval = _reach(end)
    look: dict[str, Any] = {"facecolor": "white", "hatch": "/////"} if hatched else {"facecolor": GREY}
    axes.barh([place], [value], height=0.34, edgecolor=INK, linewidth=0.8, zorder=2, **look)
    if interval:
        axes.plot(interval, [place, place], color=INK, linewidth=1.2, zorder=4, marker="|", markersize=5)
    outward = 1 if value >= 0 else -1
    far = max((value, *interval), key=lambda at: outward * at)
    label = end.label if len(end.label) <= _LONGEST else f"{end.label[:_LONGEST].rpartition(',')[0]}, …"
    axes.annotate(
        f"{'P10' if hatched else 'P90'}: {label}",
        (far, place),
        xytext=(5 * outward, 0),
        textcoords="offset points",
        horizontalalignment="left" if outward > 0 else "right",
        verticalalignment="center",
        fontsize=SMALL,
        annotation_clip=False,
    )


def _draw_dots(figure: Figure, box: Sequence[float], found: SensitivityResult) -> None:
    from matplotlib.ticker import PercentFormatter

    each = found.inputs[:MOST]
    inputs = [one.input for one in each]
    left, bottom, width, height = box
    half = (width - _BETWEEN) / 2
    shares = _axes(figure, (left, bottom, half, height), inputs)
    _draw_measures(shares, [one.share for one in each])
    shares.set_xlim(-0.02, 1.0)
    shares.xaxis.set_major_formatter(PercentFormatter(1.0, decimals=0, symbol=" %"))
    shares.set_xlabel("share of the spread, alone")
    ranks = _axes(figure, (left + half + _BETWEEN, bottom, half, height), inputs, named=False)
    _draw_measures(ranks, [one.rank for one in each])
    ranks.set_xlim(-1.0, 1.0)
    ranks.set_xlabel("rank correlation (right of 0: later)")
    dots = [
        shares.plot([], [], marker="o", color=INK, linewidth=0, label="measurable")[0],
        shares.plot([], [], marker="o", color=INK, markerfacecolor="white", linewidth=0, label="cannot be measurable")[0],
    ]
    shares.legend(
        handles=dots, loc="lower left", bbox_to_anchor=(0.0, 1.0), ncols=2, frameon=False, fontsize=SMALL, borderaxespad=0.2
    )


def _draw_measures(axes: Axes, measures: Sequence[Share | RankCorrelation | None]) -> None:
    for line, one in enumerate(measures):
        if one is not None:
            axes.plot([one.low, one.high], [line, line], color=INK, linewidth=1.2, zorder=4)
            fill = INK if one.told_from_none else "white"
            axes.plot([max(one.value, one.low)], [line], marker="o", markersize=6, color=INK, markerfacecolor=fill, zorder=5)


def _draw_words(figure: Figure, found: SensitivityResult, height: float, shown: int) -> None:
    """Draw the title, the answer, and how far to trust it."""
    inches = _WIDTH - 0.4
    title, *cut = lines_within(found.outcome.scenario.title, LARGE, inches, bold=True)
    figure.text(
        0.2 / _WIDTH, (height - 0.12) / height, title + (" …" if cut else ""), fontsize=LARGE, fontweight="bold", va="top"
    )
    below = lines_within(answer(found)[0], PLAIN, inches)
    below = below if len(below) <= _SENTENCE else [*below[: _SENTENCE - 1], f"{below[_SENTENCE - 1]} …"]
    figure.text(0.2 / _WIDTH, (height - 0.39) / height, "\n".join(below), fontsize=PLAIN, va="top")
    total = len(shown_bars(found)) if found.bars else len(found.inputs)
    left_out = f"{wording.counted(total - shown, 'more level')} in the table. " if total > shown else ""
    hidden = len(found.bars or ()) - total if found.bars else 0
    left_out += f"{wording.counted(hidden, 'level')} without a swing that can be told not drawn. " if hidden else ""
    order = "P80: 80 % of runs are ready by then. The largest swing in P80 on top. " if found.bars else ""
    trust = (
        f"{wording.counted(found.runs, 'run')}{' of each' if found.bars else ''}, seed {found.seed}. {order}{left_out}"
        "Lines are 95 % intervals: sampling error only; they do not cover wrong inputs or a wrong model."
    )
    lines = lines_within(trust, SMALL, inches)
    figure.text(0.2 / _WIDTH, 0.1 / height, "\n".join(lines), fontsize=SMALL, va="bottom")
