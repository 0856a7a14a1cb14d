"""Is the answer of the right size? Rates of the forecast, of published jobs and by the handbook on one scale, for jobs of any
size.

A bar is P10 to P90 of the runs, the stroke in it their median; a filled dot is what a source tells, an open square what the
handbook's labour method says.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from simulation.present.pictures.figure import GREY, INK, axes_at, blank, draw_words, listed
from simulation.present.words import wording
from simulation.questions.forecast.yardsticks.rate_spread import own_and_published
from simulation.scenario.types.quantities.measures import FEET

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.forecast.study import Forecast
    from simulation.questions.forecast.yardsticks.rate_spread import Job, Rate, Spread
    from simulation.scenario.types.quantities.measures import Measures, Unit

#: Inches: the picture's width, the margin of names, a panel, the gap between two, what stands above and below, a line's height.
_WIDTH, _NAMES, _PANEL, _BETWEEN, _ABOVE, _BELOW, _EACH = 8.4, 2.6, 2.6, 0.35, 1.0, 1.15, 0.3
#: (attribute of a rate, words under the panel, ends of its scale in square feet, where it is marked: in feet, in metres)
_SCALES = (
    ("per_day", "a day", (4_000.0, 100_000.0), (5_000, 10_000, 25_000, 60_000), (500, 1_000, 2_500, 6_000)),
    ("per_person_hour", "per on-site person-hour", (5.0, 250.0), (5, 10, 30, 100, 250), (0.5, 1, 3, 10, 20)),
)
_NOTE = (
    "Bar: P10 to P90 of the runs, the stroke in it their median. Dot: what the source says. Square: the handbook's labour "
    "method. Rates are over the whole time until readiness; equal steps of a scale are equal factors."
)

_PUBLISHED_IN_FEET = " As published: 25,000 sq ft a day (2009), about 21,000 (2014)."


def draw_forecast_rates(forecast: Forecast) -> Figure:
    """Return the picture of a forecast: its own rates, published ones below, and the handbook's."""
    return draw_rates(own_and_published(forecast), conclude_rates(forecast), forecast.scenario.title, forecast.scenario.measures)


def describe_forecast_rates(forecast: Forecast) -> str:
    """Return the picture in sentences, for readers who do not see it."""
    return f"{conclude_rates(forecast)}. {describe_rates(own_and_published(forecast), forecast.scenario.measures)}"


def draw_rates(jobs: Sequence[Job], title: str, below: str, measures: Measures = FEET) -> Figure:
    """Return the picture of several jobs: a line for each plan of each, area a day left, per person-hour right."""
    lines = _lines(jobs)
    height = _ABOVE + _EACH * len(lines) + _BELOW
    figure = blank(_WIDTH, height)
    area = measures.area
    for index, (key, words, ends, in_feet, in_metres) in enumerate(_SCALES):
        left = _NAMES + index * (_PANEL + _BETWEEN)
        axes = axes_at(figure, left, _BELOW, _PANEL, _EACH * len(lines))
        scale = _reach(jobs, key, ends)
        ticks = in_metres if measures.metric else in_feet
        _frame(axes, (area.of(scale[0]), area.of(scale[1])), ticks, f"{area.name} {words}", len(lines))
        axes.set_yticks(range(len(lines)), [name for name, _, _ in lines] if index == 0 else [])
        for line, (_, job, number) in enumerate(lines):
            _draw_line(axes, line, job, number, key, area)
        if index == 0:
            _legend(axes)
    draw_words(figure, 0.2, title, below, f"{_NOTE}{_PUBLISHED_IN_FEET if measures.metric else ''}")
    return figure


def describe_rates(jobs: Sequence[Job], measures: Measures = FEET) -> str:
    """Return what the picture shows of each job."""
    said = []
    for job in jobs:
        parts = [_spread(spread, measures) for spread in job.spreads]
        if job.published is not None and job.published.per_day is not None:
            own = f" [{wording.number(job.published.per_day)} sq ft as published]" if measures.metric else ""
            parts.append(f"published {measures.area.rounded(job.published.per_day)} a day{own}")
        if job.book is not None and job.book.per_day is not None:
            parts.append(f"handbook estimate {measures.area.rounded(job.book.per_day)} a day")
        said.append(f"{job.name}: {listed(parts)}")
    return f"{'; '.join(said)}."


def _spread(spread: Spread, measures: Measures) -> str:
    if math.isinf(spread.days[0]):
        return f"{f'{spread.name}, ' if spread.name else ''}after the last day simulated"
    early, late = (wording.short_days(24.0 * days) for days in (spread.days[0], spread.days[-1]))
    slow, fast = (rate.per_day or 0.0 for rate in (spread.rates[-1], spread.rates[0]))
    rates = f"{measures.area.number(slow)} to {measures.area.rounded(fast)} a day"
    return f"{f'{spread.name}, ' if spread.name else ''}P10 to P90 {early} to {late} days, {rates}"


def conclude_rates(forecast: Forecast) -> str:
    """Return what the picture says first: how many runs are as slow as published fields."""
    parts = [
        f"{100.0 * slow.chance.probability:.0f} % ({slow.published.what[-4:]})"
        for slow in forecast.as_slow
        if slow.by == "day" and slow.chance is not None
    ]
    if not parts:
        return "At published rates this field takes longer than was simulated"
    return f"Runs as slow as published fields: {listed(parts)}"


def _lines(jobs: Sequence[Job]) -> list[tuple[str, Job, int]]:
    """Return name, job and plan of each line."""
    lines = []
    for job in jobs:
        for number in range(max(1, len(job.spreads))):
            plan = job.spreads[number].name if job.spreads else ""
            lines.append((f"{job.name}, {plan}" if plan else job.name, job, number))
    return lines


def _reach(jobs: Sequence[Job], key: str, ends: tuple[float, float]) -> tuple[float, float]:
    """Return the ends of a scale, farther apart where a rate lies beyond them, in square feet."""
    rates = [
        rate for job in jobs for rate in (job.book, job.published, *(rate for spread in job.spreads for rate in spread.rates))
    ]
    known = [amount for rate in rates if rate is not None and (amount := getattr(rate, key))]
    return min(ends[0], 0.7 * min(known, default=math.inf)), max(ends[1], 1.4 * max(known, default=0.0))


def _frame(axes: Axes, ends: tuple[float, float], ticks: tuple[float, ...], words: str, lines: int) -> None:
    from matplotlib.ticker import FixedLocator, FuncFormatter, NullLocator

    axes.set_xscale("log")
    axes.set_xlim(*ends)
    axes.set_ylim(lines - 0.5, -0.5)
    powers = [10.0**power for power in range(math.floor(math.log10(ends[0])), math.ceil(math.log10(ends[1])))]
    axes.xaxis.set_major_locator(FixedLocator([*ticks, *(at for at in powers if not ticks[0] <= at <= ticks[-1])]))
    axes.xaxis.set_minor_locator(NullLocator())
    axes.xaxis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:,.3g}" if value < 1 else f"{value:,.0f}"))
    axes.tick_params(axis="y", length=0)
    axes.spines["left"].set_visible(False)
    axes.grid(axis="x", color=GREY, linewidth=0.3, zorder=0)
    axes.set_axisbelow(True)
    axes.set_xlabel(words)


def _draw_line(axes: Axes, line: int, job: Job, number: int, key: str, area: Unit) -> None:
    least, most = axes.get_xlim()

    def value(rate: Rate | None) -> float | None:
        amount = None if rate is None else getattr(rate, key)
        return None if amount is None else min(max(area.of(amount), least), most)

    if job.spreads:
        fast, middle, slow = (value(rate) or least for rate in job.spreads[number].rates)
        axes.barh([line], [fast - slow], left=slow, height=0.55, color="#d0d0d0", edgecolor=INK, linewidth=0.8, zorder=2)
        axes.plot([middle, middle], [line - 0.27, line + 0.27], color=INK, linewidth=1.8, zorder=3)
    # The square hangs on the line's lower edge, the dot on its upper one: a rate and the job it was taken from coincide.
    for rate, mark, fill, off in ((job.book, "s", "white", 0.16), (job.published, "o", INK, -0.16)):
        amount = value(rate)
        if amount is not None:
            at = line + off if job.book and job.published else line
            axes.plot([amount], [at], marker=mark, markersize=5, color=INK, markerfacecolor=fill, linewidth=0, zorder=5)


def _legend(axes: Axes) -> None:
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    handles = [
        Patch(facecolor="#d0d0d0", edgecolor=INK, linewidth=0.8, label="forecast, P10 to P90, and median"),
        Line2D([], [], marker="o", color=INK, linewidth=0, label="published"),
        Line2D([], [], marker="s", color=INK, markerfacecolor="white", linewidth=0, label="handbook estimate"),
    ]
    axes.legend(handles=handles, loc="lower left", bbox_to_anchor=(-0.2, 1.0), ncols=3, borderaxespad=0.2)
