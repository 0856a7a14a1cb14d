"""Which hours of which days does a season take, and how many of each month? A calendar beside bars of the mean loss by month.

Left, one drawn season: a column for each day, a row for each hour. Right, means of all drawn seasons: what each cause takes.
"""

from __future__ import annotations

from calendar import monthrange
from typing import TYPE_CHECKING

from simulation.present.pictures.figure import GREY, INK, SMALL, axes_at, blank, draw_words
from simulation.present.words import wording
from simulation.questions.conditions.marks import FILL, HATCH, OUTSIDE, Cell, draw_cells, in_order
from simulation.questions.conditions.season_hours import draw_hours
from simulation.questions.conditions.sentences import conclusion, find_worst_hit, loss_sentence, month_name, work_name

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.conditions.season_hours import SeasonHours
    from simulation.questions.conditions.study import ConditionsResult
    from simulation.questions.conditions.work_lost import WorkLost

#: Inches: width, the calendar, what stands above and below, a month, the room between two, and the bars.
WIDTH, _LEFT, _CALENDAR, _ABOVE, _BELOW = 9.6, 0.75, 5.0, 1.45, 1.1
_MONTH, _BETWEEN, _BARS, _BARS_WIDTH = 1.3, 0.42, 6.75, 1.75
#: Months that are drawn; more would not fit a page. The tables have all.
MOST_MONTHS = 6


def draw_season(result: ConditionsResult, shown: WorkLost) -> Figure:
    """Return the picture of one kind of work."""
    hours = draw_hours(result.scenario, result.seed, result.typical[shown.work.name], shown.work.clock)
    count = min(len(result.months), MOST_MONTHS)
    height = _ABOVE + count * (_MONTH + _BETWEEN) - _BETWEEN + _BELOW
    figure = blank(WIDTH, height)
    most = max([*(sum(month.by_cause.values()) for month in shown.months), 1.0])
    longest = max([*(hours for month in shown.months[:count] for hours in month.by_cause.values()), most / 4, 1.0])
    for row in range(count):
        bottom = height - _ABOVE - row * (_MONTH + _BETWEEN) - _MONTH
        month = result.months[row]
        # As wide as it has days, so that a day is as wide in every month.
        calendar = axes_at(figure, _LEFT, bottom, _CALENDAR * monthrange(month.year, month.month)[1] / 31, _MONTH)
        _draw_month(calendar, result, hours, row)
        bars = axes_at(figure, _BARS, bottom, _BARS_WIDTH, _MONTH)
        _draw_bars(bars, shown, row, longest, row == count - 1)
        if row == count - 1:
            calendar.set_xlabel("day of the month")
    _draw_key(figure, height, hours)
    more = len(result.months) - count
    later = f" {wording.counted(more, 'later month')} in the tables only." if more else ""
    note = (
        f"Left: season {hours.season} of {result.seasons:,}, in the middle by hours lost. Each hour shows what takes most of it, "
        "as wide as its share; less than ten minutes of weather, or half an hour off shift or dark, is not shown. Right: mean "
        f"hours lost in the month over all seasons; in one season out of five weather takes more than P80.{later}"
    )
    draw_words(
        figure, _LEFT, conclusion(shown), f"{result.scenario.title}. {loss_sentence(shown, find_worst_hit(result, shown))}", note
    )
    return figure


def describe_season(result: ConditionsResult, shown: WorkLost) -> str:
    """Return what the picture shows in sentences, for readers who do not see it."""
    season = result.typical[shown.work.name]
    return (
        f"Calendar of one drawn season, number {season} of {result.seasons:,}: what takes each hour of each day from "
        f"{work_name(shown)}; beside it the mean loss of each month over all seasons. "
        f"{loss_sentence(shown, find_worst_hit(result, shown))}"
    )


def _draw_month(axes: Axes, result: ConditionsResult, hours: SeasonHours, row: int) -> None:
    month = result.months[row]
    cells: dict[str, list[Cell]] = {}
    for number, day in enumerate(hours.days):
        date = hours.day(number)
        if (date.year, date.month) == (month.year, month.month):
            for hour, (cause, share) in enumerate(zip(day, hours.shares[number], strict=True)):
                cells.setdefault(cause, []).append((date.day - 0.5, float(hour), share))
    last = monthrange(month.year, month.month)[1]
    seen = {x for places in cells.values() for x, _, _ in places}
    outside = [(day + 0.5, float(hour), 1.0) for day in range(last) if day + 0.5 not in seen for hour in range(24)]
    draw_cells(axes, {**cells, OUTSIDE: [*cells.pop("", []), *outside]})
    axes.set_xlim(0.5, last + 0.5)
    axes.set_ylim(24, 0)
    axes.set_yticks([0, 6, 12, 18, 24], ["00", "06", "12", "18", "24"])
    axes.set_xticks([1, 5, 10, 15, 20, 25, last])
    axes.set_ylabel("hour")
    axes.set_title(month_name(month), fontsize=SMALL, fontweight="bold", loc="left", pad=4)
    for passed in range(1, last):
        axes.axvline(passed + 0.5, color="white" if passed % 5 else GREY, linewidth=0.4, zorder=1.5)


def _draw_bars(axes: Axes, shown: WorkLost, index: int, longest: float, last: bool) -> None:
    lost = shown.months[index]
    causes = [cause for cause in in_order(lost.by_cause) if lost.by_cause[cause] >= 0.05]
    for line, cause in enumerate(causes):
        face = FILL.get(cause, "white")
        axes.barh(line, lost.by_cause[cause], height=0.62, facecolor=face, edgecolor=INK, linewidth=0.7, hatch=HATCH.get(cause))
        axes.annotate(
            f"{lost.by_cause[cause]:,.1f}", (lost.by_cause[cause], line), xytext=(3, 0), textcoords="offset points", va="center",
            fontsize=SMALL, annotation_clip=False,
        )  # fmt: skip
    axes.set_yticks(range(len(causes)), causes)
    axes.set_ylim(max(len(causes), 4) - 0.4, -0.6)
    axes.set_xlim(0.0, 1.3 * longest)
    axes.tick_params(axis="y", length=0)
    pace = " at full pace" if round(lost.slower) else ""
    axes.set_title(
        f"mean {lost.hours.mean:,.1f}, P80 {lost.hours.p80:,.1f} h of {lost.usable:,.0f}{pace}", fontsize=SMALL, loc="left", pad=4
    )
    if last:
        axes.set_xlabel("hours lost in the month")
    else:
        axes.tick_params(labelbottom=False)


def _draw_key(figure: Figure, height: float, hours: SeasonHours) -> None:
    """Draw what each mark means, a cell beside its word, above the calendar."""
    axes = axes_at(figure, _LEFT, height - _ABOVE + 0.3, WIDTH - _LEFT - 0.2, 0.2)
    axes.set_axis_off()
    inches = WIDTH - _LEFT - 0.2
    wide, high = 0.17, 0.13
    axes.set_xlim(0.0, inches / wide)
    axes.set_ylim(0.0, 0.2 / high)
    x = 0.0
    for cause in (*in_order(hours.causes), OUTSIDE):
        draw_cells(axes, {cause: [(x, 0.25, 1.0)]})
        axes.plot([x, x + 1, x + 1, x, x], [0.25, 0.25, 1.25, 1.25, 0.25], color=INK, linewidth=0.5, zorder=3)
        axes.text(x + 1.35, 0.72, cause, fontsize=SMALL, va="center")
        x += 2.6 + 0.075 * len(cause) / wide
