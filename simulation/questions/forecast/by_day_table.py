"""The chance of being still not ready at the end of each day, as a person and as a program read it."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any

from simulation.present import wording
from simulation.present.terminal_table import new_table
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY
from simulation.study.calendar import day

if TYPE_CHECKING:
    from rich.table import Table

    from simulation.questions.forecast.study import Forecast


def by_day_table(forecast: Forecast) -> Table:
    """Return a line for each day that is told, the date beside the days since the start."""
    table = new_table("end of", "days", "ready", "not ready", "95 % interval")
    table.columns[0].no_wrap = True
    worded = any(one.likelihood for one in forecast.by_day)
    if worded:
        table.add_column("being ready is", no_wrap=True)
    for one in forecast.by_day:
        late = one.not_ready
        table.add_row(
            _date(forecast, one.hours),
            wording.days(one.hours),
            f"{'≥ ' if one.at_least else ''}{wording.percent(one.ready)}",
            wording.percent(late.probability),
            f"{100 * late.low:.1f} to {wording.percent(late.high)}",
            *((one.likelihood or "",) if worded else ()),
        )
    return table


def by_day_notes(forecast: Forecast) -> list[str]:
    """Return what a day's end is, which days are left out, what never ends, and what the intervals do not cover."""
    when = wording.end_of_day(forecast.calendar)
    notes = [f"A day ends with its last laying shift, at {when}; what is ready later counts for the next."]
    if _gaps(forecast):
        notes.append("Days left out: those on which no run or the fewest become ready; each line counts all runs up to it.")
    if forecast.unfinished:
        notes.append(
            f"{wording.counted(forecast.unfinished, 'run')} not ready by the last day simulated: never counted as ready, "
            "so the last chance does not come down to 0."
        )
    if any(one.at_least for one in forecast.by_day):
        notes.append(
            "≥: the day ends after the last day simulated, and an unfinished run may be ready by then; so it bears no word."
        )
    method = forecast.by_day[0].not_ready.method
    return [*notes, f"The interval is that of not being ready, {method}. {SAMPLING_ERROR_ONLY}"]


def by_day_records(forecast: Forecast) -> list[dict[str, Any]]:
    """Return the same days, ready for `json.dumps`."""
    return [
        {
            "days": one.hours / 24.0,
            "moment": forecast.calendar.moment(one.hours).isoformat(timespec="minutes"),
            "ready": one.ready,
            "not_ready": one.not_ready.probability,
            "not_ready_interval": [one.not_ready.low, one.not_ready.high],
            "interval_method": one.not_ready.method,
            "likelihood_ready": one.likelihood,
            "ready_at_least": one.at_least,
        }
        for one in forecast.by_day
    ]


def _date(forecast: Forecast, hours: float) -> str:
    """Return the day that a last shift belongs to: the one on which it began."""
    return day(forecast.calendar.day_of(hours)).rpartition(" ")[0]  # the year stands above


def _gaps(forecast: Forecast) -> bool:
    ends = [one.hours for one in forecast.by_day]
    return any(later - earlier > 24.5 for earlier, later in pairwise(ends))
