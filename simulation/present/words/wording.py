"""How is a number written for a person? One way each for days, intervals, percentages and counts, wherever they are printed."""

from __future__ import annotations

import math

from simulation.stats.chances import Chance
from simulation.stats.likelihood_words import FEW
from simulation.stats.quantiles import QuantileEstimate
from simulation.study.calendar import Calendar, clock, span_text

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
BEYOND = "after the last day simulated"
#: What the use of crews and forklifts is a share of.
WORKABLE = (
    "Workable hours are on shift, in the light, and not stopped by weather, heat or wet ground; they are hours at full pace: one "
    "of the night counts by night_rate, a tired one by what fatigue leaves."
)
#: Of a table whose parts are shown beside their whole: each number is rounded by itself, so that it reads alike on every page.
ROUNDED = "Each number is rounded by itself, so a column may miss its sum by a few tenths."
NO_LIMIT = "…"
NO_LIMIT_MEANS = "… means that so few runs set no limit on that side."


def capitalised(text: str) -> str:
    """Return a text with a capital at its start; the rest is left, since names are the planner's own words."""
    return text[:1].upper() + text[1:]


def days(hours: float | None) -> str:
    """Return hours as days to a tenth; a dash where there is no number."""
    if hours is None:
        return "-"
    return BEYOND if math.isinf(hours) else f"{hours / 24.0:.1f}"


def short_days(hours: float) -> str:
    """Return hours as days where a column is narrow."""
    return "beyond" if math.isinf(hours) else days(hours)


def interval(quantile: QuantileEstimate) -> str:
    """Return the interval of a quantile in days."""
    if quantile.low is not None and math.isinf(quantile.low):
        return "beyond"
    low, high = (NO_LIMIT if end is None else short_days(end) for end in (quantile.low, quantile.high))
    return f"{low} to {high}"


def has_no_limit(quantile: QuantileEstimate) -> bool:
    """Return whether the interval of a quantile is told with the sign of a limit that is not known."""
    return NO_LIMIT in interval(quantile)


def moment(calendar: Calendar, hours: float) -> str:
    """Return the day and shift of an hour since the start, without the hours of the shift."""
    return BEYOND if math.isinf(hours) else calendar.day_and_shift(hours).short


def end_of_day(ends_at: float) -> str:
    """Return when a day ends, hours after its midnight, such as ``18:00`` or ``04:00 of the next morning``."""
    return f"{clock(ends_at)}{' of the next morning' if ends_at > 24.0 else ''}"


def laying_shifts(calendar: Calendar, numbered: bool = True) -> str:
    """Return the spans of the laying shifts, with the crews that keep them where not all keep the same.

    Examples
    --------
    >>> from datetime import datetime
    >>> laying_shifts(Calendar.of(datetime(2031, 4, 2, 6), [(6.0, 12.0), (13.0, 18.0)]))
    '1 06:00-12:00, 2 13:00-18:00'
    """
    parts = []
    for number, span in enumerate(calendar.spans, 1):
        crews = ", ".join(calendar.crews(span))
        parts.append(f"{f'{number} ' if numbered else ''}{span_text(span)}{f' ({crews})' if crews else ''}")
    return ", ".join(parts)


def percent(share: float) -> str:
    """Return a share of a whole in percent, to a tenth."""
    return f"{100.0 * share:.1f} %"


def chance(value: Chance) -> str:
    """Return a chance with its interval."""
    return f"{percent(value.probability)} (95 % interval {100 * value.low:.1f} to {percent(value.high)})"


def few_runs(runs: int) -> str | None:
    """Return the sentence on runs that are too few to promise anything by; None where they are enough."""
    if runs >= FEW:
        return None
    return (
        f"Only {counted(runs, 'run')}: too few to promise anything by. Intervals are wide or open, and chances from "
        f"fewer than {FEW} runs are told without a likelihood word."
    )


def number(value: float) -> str:
    """Return a whole number, thousands apart."""
    return f"{value:,.0f}"


def counted(count: int, singular: str, many: str | None = None) -> str:
    """Return a count with its noun, such as ``1 run`` or ``1,000 runs``."""
    return f"{count:,} {singular if count == 1 else many or singular + 's'}"
