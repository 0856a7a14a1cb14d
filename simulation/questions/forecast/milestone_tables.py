"""When is each milestone reached? Its quantiles as days, as day and shift, and with their intervals."""

from __future__ import annotations

from collections.abc import Sequence

from simulation.present.answer import Table
from simulation.present.words import wording
from simulation.present.words.change_format import INTERVAL
from simulation.questions.forecast.milestones import BANDS
from simulation.questions.forecast.study import Forecast
from simulation.stats.quantiles import SAMPLING_ERROR_ONLY, QuantileEstimate

#: Share of runs -> how it is said.
IN_WORDS = {0.5: "half of the runs", 0.8: "four runs in five", 0.9: "nine runs in ten"}
_WHEN = "day and shift"


def ready_table(forecast: Forecast) -> Table:
    """Return by when half, four in five and nine in ten of the runs are ready."""
    ready = forecast.readiness
    bands = [ready.quantile(share) for share in BANDS]
    rows = [(f"{IN_WORDS[band.share]} ({band.name})", *_cells(forecast, band)) for band in bands]
    columns = ("reached by", _WHEN, "days", INTERVAL)
    return Table(
        f"{wording.capitalised(ready.name)}: days from the start",
        columns,
        tuple(rows),
        frozenset({1}),
        tuple(_notes(forecast, bands)),
    )


def other_milestones_table(forecast: Forecast) -> Table:
    """Return P50, P80 and P90 of every milestone but readiness, with the day of its P80."""
    rows = []
    for milestone in (milestone for milestone in forecast.milestones if not milestone.ready):
        bands = [milestone.quantile(share) for share in BANDS]
        when, _, interval = _cells(forecast, bands[1])
        rows.append((milestone.name, *(wording.short_days(band.value) for band in bands), interval, when))
    return Table(
        "Other milestones, days from the start",
        ("milestone", "P50", "P80", "P90", f"{INTERVAL} of P80", "day and shift of P80"),
        tuple(rows),
        frozenset({5}),
    )


def means_table(forecast: Forecast) -> Table:
    """Return mean, standard deviation and all quantiles of every milestone."""
    rows = [
        (
            milestone.name,
            wording.days(milestone.mean),
            wording.days(milestone.sd),
            *(wording.short_days(band.value) for band in milestone.quantiles),
        )
        for milestone in forecast.milestones
    ]
    columns = ("milestone", "mean", "sd", *(band.name for band in forecast.readiness.quantiles))
    by_then = f"one run in ten is {forecast.ready_word} by then"
    notes = (f"sd: standard deviation, how far runs lie from the mean. P10: {by_then}.",)
    return Table("Mean and spread of every milestone, days from the start", columns, tuple(rows), notes=notes)


def bands_table(forecast: Forecast) -> Table:
    """Return P50, P80 and P90 of every milestone, each with its interval, day and shift."""
    rows, ends = [], []
    for milestone in forecast.milestones:
        for share in BANDS:
            band = milestone.quantile(share)
            when, days, interval = _cells(forecast, band)
            rows.append((milestone.name if share == BANDS[0] else "", band.name, days, interval, when))
        ends.append(len(rows) - 1)
    bands = [milestone.quantile(share) for milestone in forecast.milestones for share in BANDS]
    return Table(
        "Every milestone with a stated chance, as days and as day and shift",
        ("milestone", "", "days", INTERVAL, _WHEN),
        tuple(rows),
        frozenset({4}),
        tuple(_notes(forecast, bands)),
        ends=frozenset(ends),
    )


def _cells(forecast: Forecast, band: QuantileEstimate) -> tuple[str, str, str]:
    return wording.moment(forecast.calendar, band.value), wording.short_days(band.value), wording.interval(band)


def _notes(forecast: Forecast, bands: Sequence[QuantileEstimate]) -> list[str]:
    shifts = f"{'Crews' if forecast.scenario.takes_up else 'Laying'} shifts: {wording.laying_shifts(forecast.calendar)}"
    notes = [f"P80: four runs in five are {forecast.ready_word} by then. {shifts}."]
    if forecast.calendar.day_ends > 24.0:
        notes.append("What a shift does after midnight stands under the day on which it begins.")
    if any("beyond" in (wording.short_days(band.value), wording.interval(band)) for band in bands):
        notes.append(f"Beyond: {wording.BEYOND}.")
    if any(wording.has_no_limit(band) for band in bands):
        notes.append(wording.NO_LIMIT_MEANS)
    return [*notes, SAMPLING_ERROR_ONLY]
