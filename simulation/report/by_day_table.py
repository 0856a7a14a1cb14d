"""The chance of being still not ready at the end of each day, as a person and as a program read it."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Any

from simulation.analysis.moments import clock, day
from simulation.analysis.quantiles import SAMPLING_ERROR_ONLY
from simulation.report import wording
from simulation.report.sections import table_of

if TYPE_CHECKING:
    from rich.table import Table

    from simulation.analysis.readiness import Forecast


def by_day_table(forecast: Forecast) -> Table:
    """Return a line for each day that is told, the date beside the days since hour zero."""
    table = table_of("end of", "days", "ready", "not ready", "95 % interval")
    table.columns[0].no_wrap = True
    table.add_column("being ready is", no_wrap=True)
    for one in forecast.by_day:
        late = one.not_ready
        table.add_row(
            _date(forecast, one.hours),
            wording.days(one.hours),
            wording.percent(one.ready),
            wording.percent(late.probability),
            f"{100 * late.low:.1f} to {wording.percent(late.high)}",
            one.likelihood,
        )
    return table


def by_day_notes(forecast: Forecast) -> list[str]:
    """Return what a day's end is, which days are left out, what never ends, and what the intervals do not cover."""
    last = max(end for _, end in forecast.calendar.spans)
    when = f"{clock(last)}{' of the next morning' if last > 24.0 else ''}"
    notes = [f"A day ends with its last laying shift, at {when}; what is ready later counts for the next."]
    if _gaps(forecast):
        notes.append("Days left out: those on which no build or the fewest become ready; each line counts all builds up to it.")
    if forecast.unfinished:
        notes.append(
            f"{wording.counted(forecast.unfinished, 'build')} not ready at the horizon: never counted as ready, "
            "so the last chance does not come down to 0."
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
        }
        for one in forecast.by_day
    ]


def _date(forecast: Forecast, hours: float) -> str:
    """Return the day that a last shift belongs to: the one on which it began."""
    calendar = forecast.calendar
    began = hours - max(end for _, end in calendar.spans)
    # Shifts may end at times that binary cannot hold: the midnight before is the nearest whole second. The year stands above.
    return day(calendar.moment(round(3600.0 * began) / 3600.0)).rpartition(" ")[0]


def _gaps(forecast: Forecast) -> bool:
    ends = [one.hours for one in forecast.by_day]
    return any(later - earlier > 24.5 for earlier, later in pairwise(ends))
