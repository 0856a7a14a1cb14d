"""The chance of being still not ready at the end of each day: a table for a person, and the same for a program."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from simulation.present.answer import Table
from simulation.present.record_shapes import chance_record
from simulation.present.words import wording
from simulation.present.words.change_format import INTERVAL
from simulation.questions.forecast.days.by_day import ByDay
from simulation.questions.forecast.study import Forecast
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY
from simulation.study.calendar import day


def by_day_table(forecast: Forecast) -> Table:
    """Return a row for each day that is shown, the date beside the days since the start."""
    worded, done = any(row.likelihood for row in forecast.by_day), forecast.ready_word
    columns = ("end of", "days", done, f"not {done}", INTERVAL, *((f"being {done} is",) if worded else ()))
    return Table(
        f"Chance that {forecast.readiness.name} is not reached yet, by day",
        columns,
        tuple(_row(forecast, row, worded) for row in forecast.by_day),
        words=frozenset({5} if worded else ()),
        notes=tuple(_notes(forecast)),
    )


def _row(forecast: Forecast, row: ByDay, worded: bool) -> tuple[str, ...]:
    late = row.not_ready
    return (
        day(row.day).rpartition(" ")[0],  # the day on which its last shift began
        wording.days(row.hours),
        f"{'≥ ' if row.at_least else ''}{wording.percent(row.ready)}",
        wording.percent(late.probability),
        f"{100 * late.low:.1f} to {wording.percent(late.high)}",
        *((row.likelihood or "",) if worded else ()),
    )


def _notes(forecast: Forecast) -> list[str]:
    """Return what a day's end is, which days are left out, what never ends, and what the intervals do not cover."""
    done = forecast.ready_word
    ends_at = forecast.by_day[0].ends_at
    notes = [f"A field finished after {wording.end_of_day(ends_at)} counts as {done} the next day."]
    if ends_at > forecast.calendar.day_ends:
        notes = ["A day ends at midnight: runs are ready after its last shift, too."]
    if _has_gaps(forecast):
        notes.append("Days on which few or no runs finish are left out. Percentages are cumulative.")
    if forecast.unfinished:
        runs = wording.counted(forecast.unfinished, "run")
        notes.append(
            f"{runs} not {done} by the last day simulated: never counted as {done}, so the last chance does not come down to 0."
        )
    if any(row.at_least for row in forecast.by_day):
        notes.append(
            f"≥ means at least: the day ends after the last day simulated, and a run that was not {done} may be {done} by then."
        )
    method = forecast.by_day[0].not_ready.method
    return [*notes, f"The interval is for not being {done}, {method}. {SAMPLING_ERROR_ONLY}"]


def by_day_records(forecast: Forecast) -> list[dict[str, Any]]:
    """Return the same days, ready for `json.dumps`."""
    return [
        {
            "days": row.hours / 24.0,
            "moment": forecast.calendar.moment(row.hours).isoformat(timespec="minutes"),
            "ready": row.ready,
            "not_ready": chance_record(row.not_ready),
            "likelihood_ready": row.likelihood,
            "ready_at_least": row.at_least,
        }
        for row in forecast.by_day
    ]


def _has_gaps(forecast: Forecast) -> bool:
    ends = [row.hours for row in forecast.by_day]
    return any(later - earlier > 24.5 for earlier, later in pairwise(ends))
