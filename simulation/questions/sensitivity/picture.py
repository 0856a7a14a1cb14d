"""What matters most, as a picture: tornado bars where levels were fixed, else shares and rank correlations as dots.

Hatching tells the ends of bars apart, filling tells what is measurable: nothing is said by colour alone.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from simulation.present.pictures.figure import GREY, INK, LARGE, PLAIN, SMALL, TITLE, axes_at, blank, cut, lines_within
from simulation.present.words import wording
from simulation.present.words.job_words import ready_word
from simulation.questions.sensitivity.input_words import input_name
from simulation.questions.sensitivity.sentences import conclusion, measurable_bars, sensitivity_lines
from simulation.questions.sensitivity.shipment_luck import ShipmentLuck

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.sensitivity.shipment_luck import Input
    from simulation.questions.sensitivity.study import SensitivityResult
    from simulation.questions.sensitivity.tornado import Bar, End
    from simulation.stats.first_order import RankCorrelation, Share

#: Inputs in a picture at the most; the table has all. Planning value.
MOST = 14
#: Inches: the picture's width, the margin of names, the legend, what stands below, and an input's own height.
_WIDTH, _NAMES, _LEGEND, _BELOW, _EACH = 9.4, 3.0, 0.7, 1.15, 0.5
_RIGHT, _BETWEEN = 0.35, 0.6
#: Lines of the title, of the answer, and of an input's name.
_TITLE, _SENTENCE, _LINES = 2, 3, 3
#: Letters of what an input is fixed at: where many keys move as one, the first values are named.
_LONGEST = 22


def draw_sensitivity(result: SensitivityResult) -> Figure:
    """Return the tornado if there is one, else the dots."""
    bars = [bar for bar in measurable_bars(result) if _is_known(bar)][:MOST]
    shown = len(bars) or min(len(result.rows), MOST)
    title = cut(conclusion(result), LARGE, _WIDTH - 0.4, _TITLE, bold=True)
    below = cut(f"{result.outcome.scenario.title}. {sensitivity_lines(result)[0]}", PLAIN, _WIDTH - 0.4, _SENTENCE)
    words = 0.39 + 0.21 * title.count("\n") + 0.17 * (1 + below.count("\n"))
    plot = _EACH * max(shown, 2)
    height = words + _LEGEND + plot + _BELOW
    figure = blank(_WIDTH, height)
    box = (_NAMES, _BELOW, _WIDTH - _NAMES - _RIGHT, plot)
    if bars:
        _draw_bars(_lined_axes(figure, box, [bar.input for bar in bars]), bars)
    else:
        _draw_dots(figure, box, result)
    left = 0.2 / _WIDTH
    figure.text(left, (height - 0.12) / height, title, fontsize=LARGE, fontweight="bold", va="top", gid=TITLE)
    figure.text(left, (height - 0.39 - 0.21 * title.count("\n")) / height, below, fontsize=PLAIN, va="top")
    trust = lines_within(_trust(result, shown), SMALL, 0.98 * (_WIDTH - 0.4))
    figure.text(left, 0.1 / height, "\n".join(trust), fontsize=SMALL, va="bottom")
    return figure


def describe_sensitivity(result: SensitivityResult) -> str:
    """Return what the picture says in sentences, for readers who do not see it."""
    return " ".join(sensitivity_lines(result))


def _is_known(bar: Bar) -> bool:
    return bar.low.against.p80.value is not None and bar.high.against.p80.value is not None


def _lined_axes(figure: Figure, box: tuple[float, float, float, float], inputs: Sequence[Input], named: bool = True) -> Axes:
    """Return axes in a box of inches with a line for each input, the first one at the top."""
    axes = axes_at(figure, *box)
    axes.set_ylim(max(len(inputs), 1) - 0.5, -0.5)
    names = [cut(input_name(level), SMALL, _NAMES - 0.3, _LINES) for level in inputs]
    axes.set_yticks(range(len(inputs)), names if named else [""] * len(inputs))
    axes.tick_params(axis="y", length=0)
    axes.spines["left"].set_visible(False)
    axes.axvline(0.0, color=INK, linewidth=1.0, zorder=3)
    axes.grid(axis="x", color=GREY, linewidth=0.3, zorder=0)
    axes.set_axisbelow(True)
    return axes


def _draw_bars(axes: Axes, bars: Sequence[Bar]) -> None:
    from matplotlib.patches import Patch

    ends = [part for bar in bars for end in (bar.low, bar.high) for part in _reach(end)]
    low, high = min(0.0, *ends), max(0.0, *ends)
    span = max(high - low, 1e-6)
    axes.set_xlim(low - 0.3 * span, high + 0.3 * span)
    for line, bar in enumerate(bars):
        for end, height in ((bar.low, line - 0.19), (bar.high, line + 0.19)):
            _draw_end(axes, end, height, hatched=end is bar.low)
    axes.set_xlabel("change of the 80 % date, days (left of 0: earlier than in the current plan)")
    patches = [
        Patch(
            facecolor="white",
            edgecolor=INK,
            hatch="/////",
            label="known to be at its low end (P10: one chance in ten of being lower)",
        ),
        Patch(facecolor=GREY, edgecolor=INK, label="known to be at its high end (P90: one in ten of being higher)"),
    ]
    axes.legend(handles=patches, loc="lower left", bbox_to_anchor=(0.0, 1.0), frameon=False, fontsize=SMALL, borderaxespad=0.2)


def _reach(end: End) -> tuple[float, ...]:
    """Return the change at one end, in days, and the ends of its interval where there are any."""
    return tuple(part / 24.0 for part in (end.against.p80.value, end.against.p80.low, end.against.p80.high) if part is not None)


def _draw_end(axes: Axes, end: End, line: float, hatched: bool) -> None:
    value, *interval = _reach(end)
    look: dict[str, Any] = {"facecolor": "white", "hatch": "/////"} if hatched else {"facecolor": GREY}
    axes.barh([line], [value], height=0.34, edgecolor=INK, linewidth=0.8, zorder=2, **look)
    if interval:
        axes.plot(interval, [line, line], color=INK, linewidth=1.2, zorder=4, marker="|", markersize=5)
    outward = 1 if value >= 0 else -1
    far = max((value, *interval), key=lambda at: outward * at)
    label = end.trial.name if len(end.trial.name) <= _LONGEST else f"{end.trial.name[:_LONGEST].rpartition(',')[0]}, …"
    label = f"{'P10' if hatched else 'P90'}: {label}"
    if isinstance(end.trial.input, ShipmentLuck):  # beside its name, which begins with "whether"
        label = "it does" if hatched else "it does not"
    axes.annotate(
        label,
        (far, line),
        xytext=(5 * outward, 0),
        textcoords="offset points",
        horizontalalignment="left" if outward > 0 else "right",
        verticalalignment="center",
        fontsize=SMALL,
        annotation_clip=False,
    )


def _draw_dots(figure: Figure, box: tuple[float, float, float, float], result: SensitivityResult) -> None:
    from matplotlib.ticker import PercentFormatter

    rows = result.rows[:MOST]
    inputs = [row.input for row in rows]
    left, bottom, width, height = box
    half = (width - _BETWEEN) / 2
    shares = _lined_axes(figure, (left, bottom, half, height), inputs)
    _draw_measures(shares, [row.share for row in rows])
    shares.set_xlim(-0.02, 1.0)
    shares.xaxis.set_major_formatter(PercentFormatter(1.0, decimals=0, symbol=" %"))
    shares.set_xlabel("share of the spread that it explains alone")
    ranks = _lined_axes(figure, (left + half + _BETWEEN, bottom, half, height), inputs, named=False)
    _draw_measures(ranks, [row.rank for row in rows])
    ranks.set_xlim(-1.0, 1.0)
    ranks.set_xlabel("rank correlation (right of 0: later)")
    dots = [
        shares.plot([], [], marker="o", color=INK, linewidth=0, label="measurable effect")[0],
        shares.plot([], [], marker="o", color=INK, markerfacecolor="white", linewidth=0, label="no measurable effect")[0],
    ]
    shares.legend(
        handles=dots, loc="lower left", bbox_to_anchor=(0.0, 1.0), ncols=2, frameon=False, fontsize=SMALL, borderaxespad=0.2
    )


def _draw_measures(axes: Axes, measures: Sequence[Share | RankCorrelation | None]) -> None:
    for line, measure in enumerate(measures):
        if measure is not None:
            axes.plot([measure.low, measure.high], [line, line], color=INK, linewidth=1.2, zorder=4)
            fill = INK if measure.measurable else "white"
            axes.plot(
                [max(measure.value, measure.low)], [line], marker="o", markersize=6, color=INK, markerfacecolor=fill, zorder=5
            )


def _trust(result: SensitivityResult, shown: int) -> str:
    """Return what is shown in which order, what is left out, and how far to trust it."""
    total = len(measurable_bars(result)) if result.bars else len(result.rows)
    left_out = f"{wording.counted(total - shown, 'more input')} in the table. " if total > shown else ""
    hidden = len(result.bars) - total if result.bars else 0
    left_out += f"{wording.counted(hidden, 'input')} without a measurable swing not drawn. " if hidden else ""
    order = (
        f"80 % date: 80 % of runs are {ready_word(result.outcome.scenario)} by then. The largest swing on top. "
        if result.bars
        else ""
    )
    return (
        f"{wording.counted(result.runs, 'run')}{' of each' if result.bars else ''}, seed {result.seed}. {order}{left_out}"
        "Lines are 95 % intervals: sampling error only; they do not cover wrong inputs or a wrong model."
    )
