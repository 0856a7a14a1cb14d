"""On which days is time lost, and to what? For each cause a row of bars, the hours that the laying crews lost on each day.

All rows of what is lost on shift have one scale, so that they can be compared, and off shift another, since nights take hours
where rain takes minutes; dark has the one to which it is nearer. What a row comes to stands beside it.
"""

from __future__ import annotations

import math
from itertools import accumulate, pairwise
from typing import TYPE_CHECKING

from simulation.conditions.clock.calendar import DARK, FATIGUE, FLYING, OFF_SHIFT
from simulation.present.pictures.day_axis import draw_days
from simulation.present.pictures.figure import GREY, INK, NIGHT, SMALL, axes_at, blank, cut, draw_words, listed
from simulation.present.words import wording
from simulation.questions.forecast.days.lost_days import ABSENT, WAITING, WORKING
from simulation.questions.forecast.shown import shown_of

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.forecast.days.lost_days import LostDays
    from simulation.questions.forecast.study import Forecast

#: Inches: the picture's width, the place of the rows, what stands above and below them and between two, and a row's height.
WIDTH, _LEFT, _AXES_WIDTH, _ABOVE, _BELOW, _BETWEEN, _ROW = 8.4, 0.8, 5.6, 0.75, 2.2, 0.4, 0.72
#: (face, hatch) of the bars: what the calendar leaves to nobody is light, what weather takes dotted, what is lost on shift grey.
_LOOKS = {
    OFF_SHIFT: (NIGHT, ""),
    DARK: (NIGHT, ""),
    FATIGUE: (NIGHT, "|||"),
    WAITING: ("#9a9a9a", ""),
    ABSENT: ("white", "/////"),
    FLYING: ("white", "xxxxx"),
}
#: Share of the hours that may lie on days that are not drawn. Planning value.
_TAIL = 0.01
_WEATHER = ("white", ".....")


def draw_losses(forecast: Forecast, lost: LostDays) -> Figure:
    """Return the picture, one row for each cause that took an hour of any run."""
    rows = lost.causes
    panels = [*rows, *([FLYING] if any(lost.closed) else [])]
    height = _ABOVE + max(1, len(panels)) * (_ROW + _BETWEEN) + _BELOW
    figure = blank(WIDTH, height)
    shown = days_in_view(lost)
    end, top = lost.borders[shown], height - _ABOVE
    for cause in panels:
        top -= _BETWEEN + _ROW
        axes = axes_at(figure, _LEFT, top, _AXES_WIDTH, _ROW)
        if cause == FLYING:
            most = max(*lost.closed, max((_most(lost, other) for other in rows if other not in nights_of(lost)), default=0.0))
            title = f"not a loss by itself: {lost.flown} closed for flying, crews on shift"
            _draw_row(axes, lost, lost.closed, title, most, _LOOKS[FLYING])
        else:
            _draw_row(axes, lost, lost.hours[cause], cause, _most(lost, cause), _LOOKS.get(cause, _WEATHER))
        axes.set_xlim(0.0, end / 24.0)
        if cause == panels[-1]:
            draw_days(axes, forecast.calendar, 0.0, end)
        else:
            axes.tick_params(labelbottom=False)
    up = forecast.scenario.takes_up
    note = (
        f"Hours of {_crews(forecast)} by their calendar, average of the runs, each up to its finish: late days are low because "
        "most runs are over. The table of causes is of the chain of causes, where one step at a time holds up the finish: its "
        "hours of the same name may differ. "
        f"Waiting on shift is the average of the crews{'' if up else ', with their wait for the final sweep and their rests'}."
        f"{_flying(lost)}{_scales(lost)}{_later(lost, shown)}"
    )
    draw_words(figure, _LEFT, conclude_losses(lost), shown_of(forecast, _shown(forecast, lost)), note)
    return figure


def _crews(forecast: Forecast) -> str:
    """Return whose hours they are: nobody lays where a field is taken up."""
    return "the crews" if forecast.scenario.takes_up else "the laying crews"


def _most(lost: LostDays, cause: str) -> float:
    """Return the hours of the highest bar of the rows that a cause is compared with."""
    nights = nights_of(lost)
    return max(max(lost.hours[other]) for other in lost.causes if (other in nights) == (cause in nights))


def nights_of(lost: LostDays) -> tuple[str, ...]:
    """Return the causes on a scale of their own: off shift, and dark where its bars are nearer to those than to all others.

    Where lights leave of the dark a slower hour, its minutes would be nothing beside the hours off shift.
    """
    peaks = {cause: max(lost.hours[cause]) for cause in lost.causes}
    others = max((peak for cause, peak in peaks.items() if cause not in (OFF_SHIFT, DARK)), default=0.0)
    if OFF_SHIFT in peaks and DARK in peaks and others and peaks[OFF_SHIFT] * others > peaks[DARK] ** 2:
        return (OFF_SHIFT,)
    return tuple(cause for cause in (OFF_SHIFT, DARK) if cause in peaks)


def _flying(lost: LostDays) -> str:
    """Return whose hours those closed for flying are."""
    if not any(lost.closed):
        return ""
    return " Hours closed for flying are hours of waiting on shift, or of work elsewhere: they do not come on top."


def _scales(lost: LostDays) -> str:
    """Return which rows are drawn on which scale, where there are two."""
    causes = lost.causes
    nights = [cause for cause in causes if cause in nights_of(lost)]
    if not nights or len(nights) == len(causes):
        return ""
    return f" {listed(nights).capitalize()} on a scale of {'its' if len(nights) == 1 else 'their'} own, all other rows on one."


def days_in_view(lost: LostDays) -> int:
    """Return how many days are drawn: those that hold all but a hundredth of the hours, so that a few slow runs do not
    squeeze all others together.
    """
    by_day = [math.fsum(hours) for hours in zip(*lost.hours.values(), strict=True)]
    reached = accumulate(by_day)
    return next(index for index, hours in enumerate(reached, 1) if hours >= (1.0 - _TAIL) * math.fsum(by_day))


def _later(lost: LostDays, shown: int) -> str:
    """Return what is not drawn: the last hundredth of the hours, and runs that went on after the last day told apart."""
    words = ""
    if len(lost.borders) - 1 > shown:
        hours = math.fsum(math.fsum(lost.hours[cause][shown:]) for cause in lost.causes)
        days = wording.counted(len(lost.borders) - 1 - shown, "later day")
        words += f" {days}, not drawn, hold {hours:,.1f} hours a run."
    if lost.beyond:
        words += f" {wording.counted(lost.beyond, 'run')} went on after day {len(lost.borders) - 1}, the last that is kept apart."
    return words


def conclude_losses(lost: LostDays) -> str:
    """Return what the picture says first: what takes most of the hours on shift, and on which day most of them."""
    causes = [cause for cause in lost.causes if cause not in (OFF_SHIFT, DARK)]
    if not causes:
        return "Nothing but nights stops the crews"
    most = max(causes, key=lost.total)
    day = max(range(len(lost.hours[most])), key=lost.hours[most].__getitem__) + 1
    name = "waiting" if most == WAITING else most
    return f"By the crews' calendar, {name} takes most on shift, worst on day {day}"


def describe_losses(forecast: Forecast, lost: LostDays) -> str:
    """Return the picture in a sentence, for readers who do not see it."""
    parts = [_said(lost, cause) for cause in lost.causes]
    said = listed(parts) if parts else "none"
    closed = f"; {lost.flown} was closed for flying in {math.fsum(lost.closed):,.1f} hours on shift" if any(lost.closed) else ""
    return (
        f"Hours that {_crews(forecast)} lost by their calendar, mean of {wording.counted(lost.runs, 'simulated run')} up to "
        f"{forecast.readiness.name}: {said}; {lost.total(WORKING):,.1f} hours were at work{closed}."
    )


def _said(lost: LostDays, cause: str) -> str:
    hours = lost.hours[cause]
    worst = max(range(len(hours)), key=hours.__getitem__)
    return f"{cause} {lost.total(cause):,.1f} (most on day {worst + 1}, {hours[worst]:,.1f})"


def _draw_row(axes: Axes, lost: LostDays, hours: tuple[float, ...], title: str, most: float, look: tuple[str, str]) -> None:
    from matplotlib.ticker import MaxNLocator

    days, (face, hatch) = lost.borders, look
    axes.bar(
        [start / 24.0 for start in days[:-1]],
        hours,
        [(end - start) / 24.0 for start, end in pairwise(days)],
        align="edge",
        facecolor=face,
        hatch=hatch,
        edgecolor=INK,
        linewidth=0.6,
        zorder=2,
    )
    axes.set_ylim(0.0, 1.12 * most)
    axes.yaxis.set_major_locator(MaxNLocator(3, steps=[1, 2, 5, 10]))
    axes.set_ylabel("hours")
    axes.set_title(cut(title, SMALL, _AXES_WIDTH, bold=True), fontsize=SMALL, fontweight="bold", loc="left", pad=4)
    axes.annotate(
        f"{math.fsum(hours):,.1f} hours\na run", (1.0, 0.5), xycoords="axes fraction", xytext=(8, 0),
        textcoords="offset points", va="center", fontsize=SMALL, annotation_clip=False,
    )  # fmt: skip
    axes.grid(axis="y", color=GREY, linewidth=0.3, zorder=0)
    axes.set_axisbelow(True)


def _shown(forecast: Forecast, lost: LostDays) -> str:
    total = math.fsum(lost.total(cause) for cause in lost.causes)
    runs = wording.counted(lost.runs, "run")
    of = f"the first {runs} of {forecast.run_count:,}" if lost.runs < forecast.run_count else runs
    words = (
        f"hours of the crews' calendar lost on each day; average of {of}: {lost.total(WORKING):,.1f} hours worked, {total:,.1f} "
        "hours not worked"
    )
    return words if lost.causes else f"{words}: nothing was lost"
