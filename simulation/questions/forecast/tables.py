"""The forecast as a person reads it on a terminal: the answer first, then what it is made of, then how to take it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.present.cautions import CAUTIONS
from simulation.present.change_words import chance_in_words
from simulation.present.terminal_table import new_table, print_section
from simulation.questions.forecast import overview as facts
from simulation.questions.forecast.by_day_table import by_day_notes, by_day_table
from simulation.questions.forecast.milestones import MilestoneForecast
from simulation.questions.forecast.outrun_words import outrun_lines
from simulation.questions.forecast.precision import Reached
from simulation.questions.forecast.study import Forecast
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY, QuantileEstimate
from simulation.study.calendar import day

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

#: Quantiles that are given with interval, day and shift.
BANDS = (0.50, 0.80, 0.90)


_USE = (
    f"{wording.WORKABLE} Closing: the final sweep, inspection and marking of readiness. Resting: while another crew has its "
    "turn at the laying edge. Waiting: all else."
)


def print_forecast(forecast: Forecast, console: Console) -> None:
    """Print the whole forecast; `console` must not read markup, because names are the planner's own words."""
    ready = forecast.readiness.name
    console.print(heading(forecast), style="bold")
    for line in answer(forecast):
        console.print(line)
    print_section(console, "Days from the start", _days(forecast))
    print_section(console, "Ready with a stated chance, as days and as day and shift", _bands(forecast), *_band_notes(forecast))
    if forecast.by_day:
        print_section(console, f"Chance that {ready} is not reached yet, by day", by_day_table(forecast), *by_day_notes(forecast))
    if forecast.causes:
        none = forecast.unfinished == forecast.run_count
        title = f"What held {ready} up" if none else f"What drives {ready}: hours of its chain of causes by cause"
        up_to = "the last day simulated" if none else ready
        print_section(
            console, f"{title} until the last day simulated" if none else title, _causes(forecast), _late_note(forecast)
        )
        print_section(console, f"Use up to {up_to}, as shares of the workable hours", _use(forecast), _USE, *_waited(forecast))
    print_section(console, "Rates, people and supply", facts.on_the_first_day(forecast))
    print_section(console, "Published rates to compare with", facts.published_rates(forecast))
    console.print()
    for caution in CAUTIONS:
        console.print(f"* {caution}")


def heading(forecast: Forecast) -> str:
    """Return the title, with what was simulated."""
    starts = forecast.scenario.starts
    return (
        f"{forecast.scenario.title}: {wording.counted(forecast.run_count, 'run')}, seed {forecast.seed}, "
        f"{'' if forecast.sampling == 'random' else 'levels in hypercubes, '}"
        f"start {day(starts)} {starts:%H:%M}"
    )


def answer(forecast: Forecast) -> list[str]:
    """Return the sentences that answer the planner's question."""
    ready = forecast.readiness
    lines = [f"{ready.name}: {_when(forecast)}."]
    if (only := wording.few_runs(forecast.run_count)) is not None:
        lines.append(only)
    if forecast.deadline is not None:
        lines.append(deadline_line(forecast))
    if forecast.unfinished:
        lines.append(
            f"{wording.counted(forecast.unfinished, 'run')} of {wording.number(forecast.run_count)} not ready within "
            f"the {wording.days(forecast.scenario.horizon)} days simulated: counted as late, so no mean is given."
        )
        lines += outrun_lines(forecast.outrun)
    if forecast.precision is not None:
        lines.append(precision_line(forecast.precision))
    if forecast.run_count < forecast.asked:
        lines.append(f"Stopped early: {wording.number(forecast.run_count)} of {wording.counted(forecast.asked, 'run')} done.")
    return lines


def _when(forecast: Forecast) -> str:
    """Return by when half, 80 % and 90 % of the runs are ready; what lies after the last day simulated is said once."""
    half, eighty, ninety = (forecast.readiness.quantile(share).value for share in BANDS)
    horizon = f"ready within the {wording.days(forecast.scenario.horizon)} days simulated"
    if math.isinf(half):
        return f"fewer than half of the runs are {horizon}, so P50, P80 and P90 are not known"
    line = f"half of the runs are ready {_by(half)}, "
    if math.isinf(eighty):
        return f"{line}but fewer than 80 % {horizon}, so P80 and P90 are not known"
    return f"{line}80 % {_by(eighty)} ({wording.moment(forecast.calendar, eighty)}), 90 % {_by(ninety)}"


def deadline_line(forecast: Forecast) -> str:
    """Return the sentence on the deadline: the number, its interval and its word."""
    found = forecast.deadline
    assert found is not None
    when = forecast.calendar.moment(found.deadline.hours)
    line = (
        f"Ready by the deadline {found.deadline.text} ({wording.days(found.deadline.hours)} days, {day(when)} {when:%H:%M}): "
        f"{chance_in_words(found.chance)}."
    )
    if found.at_least:
        line += " The deadline lies after the last day simulated, and an unfinished run may still have met it."
    # A duration from a morning ends at a morning, and its planner may have meant the day that begins then.
    calendar, at = forecast.calendar, found.deadline.hours
    days = (one for one in forecast.by_day if one.hours > at and calendar.day_of(one.hours).date() == when.date())
    same_day = next(days, None)
    midnight = (when.hour, when.minute) == (0, 0)  # a date's end
    if same_day is not None and not midnight:
        end = wording.end_of_day(calendar)
        line += f" By the end of that day, {end}: {wording.percent(same_day.ready)}."
    return line


def precision_line(found: Reached) -> str:
    """Return the sentence on how precise the runs are, and on why there are not more of them."""
    asked = found.asked
    reach = "has no limit on one side" if math.isinf(found.side) else f"reaches {found.side:.2f} h of laying time from it"
    line = f"The {100 * asked.confidence:g} % interval of {asked.name} {reach} ({asked.within:.3g} h asked)"
    if found.met:
        return f"{line}."
    if found.runs >= asked.most:
        return f"{line}: stopped at the most runs allowed, {wording.number(asked.most)}."
    return f"{line}: not there yet."


def _by(hours: float) -> str:
    text = wording.days(hours)
    return text if text == wording.BEYOND else f"in {text} days"


def _banded(milestone: MilestoneForecast) -> list[QuantileEstimate]:
    return [milestone.quantile(share) for share in BANDS]


def _days(forecast: Forecast) -> Table:
    table = new_table("milestone", "mean", "sd", *(band.name for band in forecast.readiness.quantiles))
    for one in forecast.milestones:
        quantiles = (wording.short_days(band.value) for band in one.quantiles)
        table.add_row(one.name, wording.days(one.mean), wording.days(one.sd), *quantiles)
    return table


def _bands(forecast: Forecast) -> Table:
    table = new_table("milestone", "", "days", "95 % interval")
    table.columns[0].max_width = 24
    table.add_column("day and shift", no_wrap=True)
    for one in forecast.milestones:
        for place, band in enumerate(_banded(one)):
            table.add_row(
                one.name if place == 0 else "",
                band.name,
                wording.short_days(band.value),
                wording.interval(band),
                wording.moment(forecast.calendar, band.value),
                end_section=place == len(BANDS) - 1,
            )
    return table


def _band_notes(forecast: Forecast) -> list[str]:
    shifts = wording.laying_shifts(forecast.calendar)
    notes = [f"P80: 80 % of runs were ready by then. Laying shifts: {shifts}.", SAMPLING_ERROR_ONLY]
    if any(wording.has_no_limit(band) for one in forecast.milestones for band in _banded(one)):
        notes.append(wording.NO_LIMIT_MEANS)
    return notes


def _causes(forecast: Forecast) -> Table:
    table = new_table("cause", "hours", "share", "late runs, hours")
    for cause_of_time in forecast.causes:
        table.add_row(
            cause_of_time.cause,
            f"{cause_of_time.hours:.1f}",
            wording.percent(cause_of_time.share),
            f"{cause_of_time.late_hours:.1f}",
        )
    total, late = sum(one.hours for one in forecast.causes), sum(one.late_hours for one in forecast.causes)
    table.add_section()
    sums_to = "the last day simulated" if forecast.unfinished == forecast.run_count else "the mean time of readiness"
    table.add_row(f"sum, {sums_to}", f"{total:.1f}", wording.percent(1.0), f"{late:.1f}")
    return table


def _late_note(forecast: Forecast) -> str:
    if forecast.unfinished == forecast.run_count:
        return "Each hour up to the last day simulated is charged to one cause, on the chain to what readiness waits for."
    note = "Off shift: hours of the chain in which whoever it waits for is off shift. Late runs: the fifth that were ready last."
    if forecast.unfinished:
        note += f" Over the {wording.counted(forecast.run_count - forecast.unfinished, 'finished run')} only."
    return note


def _use(forecast: Forecast) -> Table:
    table = new_table("who", "workable h", "working", "in repair", "closing", "resting", "waiting")
    for one in forecast.use:
        spent = (one.working, one.repair, one.closing, one.resting, one.waiting)
        shares = (wording.percent(one.share(hours)) for hours in spent)
        table.add_row(one.actor, f"{one.on_shift:.0f}", *shares)
    return table


def _waited(forecast: Forecast) -> list[str]:
    """Return what laying edges waited for while crews were on shift."""
    told = [f"{hours:,.1f} for {what}" for what, hours in forecast.waited if hours >= 0.05]
    return [f"Hours on shift that laying edges waited, all laying edges together: {', '.join(told)}."] if told else []
