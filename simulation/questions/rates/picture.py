"""Own records against the fit, as a picture: every record by job, and below them the scenario before and after."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from simulation.present.pictures.figure import GREY, INK, axes_at, blank, draw_words
from simulation.present.words import wording
from simulation.questions.rates.sentences import amount, conclusion, what

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.rates.study import KeyRates, RatesResult

_WIDTH, _LEFT, _LINE = 9.0, 1.9, 0.3
#: Jobs that are drawn one by one.
_MOST = 24


def draw_rates(result: RatesResult) -> Figure:
    """Return the picture of the first quantity."""
    first = result.rates[0]
    jobs = list(first.measure.jobs.items())[:_MOST]
    bands = _bands(first)
    tall = _LINE * (len(jobs) + len(bands) + 1)
    high = tall + 1.95
    figure = blank(_WIDTH, high)
    axes = axes_at(figure, _LEFT, 0.85, _WIDTH - _LEFT - 0.3, tall)
    factor, unit = (1.0, "share") if first.measure.share else _unit(first)
    for index, (_, records) in enumerate(jobs):
        _dots(axes, -index, [value * factor for value, _, _ in records])
    low_of_records = [value * factor for _, records in jobs for value, _, _ in records]
    for number, (_, low, middle, high_end, dashed) in enumerate(bands):
        at = -(len(jobs) + 0.5 + number)
        axes.plot([low * factor, high_end * factor], [at, at], color=INK, linewidth=2.0, linestyle=":" if dashed else "-")
        axes.plot([middle * factor], [at], marker="|", markersize=12, color=INK, markeredgewidth=2.0)
    names = [name or "the records" for name, _ in jobs] + [band[0] for band in bands]
    places = [-index for index in range(len(jobs))] + [-(len(jobs) + 0.5 + number) for number in range(len(bands))]
    axes.set_yticks(places, [name if len(name) <= 24 else f"{name[:23]}…" for name in names])
    axes.axhline(-(len(jobs) - 0.25), color=GREY, linewidth=0.6)
    axes.set_ylim(-(len(jobs) + len(bands) + 0.1), 0.7)
    ends = [*low_of_records, *(end * factor for band in bands for end in band[1:4])]
    axes.set_xlim(0, 1.05 * max(ends))
    axes.set_xlabel(f"{what(first)}, {unit}")
    axes.tick_params(axis="y", length=0)
    shown = f"{wording.counted(first.fit.jobs, 'job')}, {wording.counted(first.fit.records, 'record')}" + (
        f"; the first {_MOST} jobs are drawn" if first.fit.jobs > _MOST else ""
    )
    below = f"Each dot is a record, the bar of a job its middle. {shown}."
    note = "Lines reach from P10 to P90 from job to job, with a bar at the middle; what varies within a job comes on top."
    draw_words(figure, 0.2, conclusion(result), below, note)
    return figure


def _bands(rates: KeyRates) -> list[tuple[str, float, float, float, bool]]:
    bands = [("scenario as it is", *rates.before, True)] if rates.before is not None else []
    if rates.fit.jobs > 1:
        bands.append(("next job by the records", rates.fit.next_job(0.1), rates.fit.level, rates.fit.next_job(0.9), False))
    return bands + ([("with the lines pasted", *rates.after, False)] if rates.after is not None else [])


def _unit(rates: KeyRates) -> tuple[float, str]:
    text = amount(rates, rates.fit.level)
    unit = text.split()[-1]
    return {"s": 3600.0, "min": 60.0, "h": 1.0}[unit], unit


def _dots(axes: Axes, at: float, values: list[float]) -> None:
    offsets = (np.arange(len(values)) * 0.618 % 1.0 - 0.5) * 0.5 if len(values) > 3 else np.zeros(len(values))
    axes.scatter(values, at + offsets, s=9, color=GREY, alpha=0.7, linewidths=0)
    axes.plot([float(np.exp(np.mean(np.log(values))))], [at], marker="|", markersize=13, color=INK, markeredgewidth=1.6)


def describe_rates(result: RatesResult) -> str:
    """Return the picture in sentences, for readers who do not see it."""
    first = result.rates[0]
    bands = [
        f"{name}: {amount(first, low)}, {amount(first, middle)}, {amount(first, high)}"
        for name, low, middle, high, _ in _bands(first)
    ]
    return f"{conclusion(result)}. P10, middle and P90 from job to job: {'; '.join(bands)}."
