"""Writes the first page of a brief: when, how likely, what holds it up, what would help most, what to order."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.present import wording
from simulation.present.answer import Figure, Page, Part, Points, Table, Text
from simulation.present.change_format import INTERVAL, after, chance_in_words, change_format, meanings, whole
from simulation.present.pallet_words import planned_in_words, to_order_in_words
from simulation.questions.bottlenecks.attribution import attribute_hours
from simulation.questions.bottlenecks.sentences import gain_lines, held_back
from simulation.questions.brief.study import MEASURES
from simulation.questions.forecast import overview as facts
from simulation.questions.forecast.drawn.figures import S_CURVE
from simulation.questions.forecast.milestones import BANDS
from simulation.questions.forecast.outrun_words import outrun_lines
from simulation.questions.forecast.sentences import say_causes, say_late
from simulation.study.calendar import day

if TYPE_CHECKING:
    from collections.abc import Mapping

    from simulation.field import TakeOff
    from simulation.questions.bottlenecks.study import BottlenecksResult, BottlenecksRow
    from simulation.questions.brief.study import Findings
    from simulation.questions.forecast.study import Forecast
    from simulation.stats.quantiles import QuantileEstimate

#: Share of runs -> how it is said.
IN_WORDS = {0.5: "half of the runs", 0.8: "four in five", 0.9: "nine in ten"}
#: Measures, and causes, that the first page has room for. Planning value.
MOST = 6


def answer_page(found: Findings, quantities: TakeOff, pictures: Mapping[str, Figure]) -> Page:
    """Return the first page."""
    forecast = found.forecast
    return Page(
        "answer",
        "The answer",
        (
            Part("When is it ready?", _ready(forecast, pictures)),
            Part("How likely by the deadline?", _likely(forecast)),
            Part("What holds it up?", _drives(forecast)),
            Part("What would help most?", _helps(found.measures, MEASURES in found.missing)),
            Part("What to order?", order_points(forecast, quantities)),
        ),
    )


def _ready(forecast: Forecast, pictures: Mapping[str, Figure]) -> tuple[Text | Table | Figure, ...]:
    further = (_milestones(forecast),) if len(forecast.milestones) > 1 else ()
    curve = (pictures[S_CURVE],) if S_CURVE in pictures else ()
    return (Text(headline(forecast), strong=True), _when(forecast), *curve, *further)


def headline(forecast: Forecast) -> str:
    """Return the sentence that a commander repeats."""
    eighty = forecast.readiness.quantile(0.8)
    name = forecast.readiness.name
    if math.isinf(eighty.value):
        words = f"{name[:1].upper()}{name[1:]} is not reached by four in five runs (P80) by the last day simulated of "
        return f"{words}{wording.days(forecast.scenario.horizon)} days."
    return (
        f"Four in five runs (P80) reach {name} by {forecast.calendar.day_and_shift(eighty.value)}: "
        f"{wording.days(eighty.value)} days after the start."
    )


def _when(forecast: Forecast) -> Table:
    ready = forecast.readiness
    rows = []
    for share in BANDS:
        band = ready.quantile(share)
        when = wording.BEYOND if math.isinf(band.value) else str(forecast.calendar.day_and_shift(band.value))
        rows.append((f"{IN_WORDS[share]} ({band.name})", when, wording.short_days(band.value), band_interval(band)))
    return Table(
        f"{ready.name[:1].upper()}{ready.name[1:]}: ready by then",
        ("share of runs", "day and shift", "days", f"{INTERVAL}, days"),
        tuple(rows),
        frozenset({1}),
        interval_notes([ready.quantile(share) for share in BANDS]),
    )


def band_interval(band: QuantileEstimate) -> str:
    """Return the interval of a quantile in days."""
    return wording.interval(band)


def interval_notes(bands: list[QuantileEstimate]) -> tuple[str, ...]:
    """Return what the intervals of quantiles do not cover, and what they leave open."""
    notes = [
        "Intervals show sampling error only, from the limited number of runs; they do not cover wrong inputs or a wrong model."
    ]
    if any(wording.has_no_limit(band) for band in bands):
        notes.append(wording.NO_LIMIT_MEANS)
    return tuple(notes)


def _milestones(forecast: Forecast) -> Table:
    """Return P50, P80 and P90 of every milestone, with the day of its P80."""
    rows = []
    for one in forecast.milestones:
        bands = [one.quantile(share) for share in BANDS]
        eighty = bands[1]
        rows.append(
            (
                f"{one.name} (ready)" if one.ready and "ready" not in one.name and "readiness" not in one.name else one.name,
                *(wording.short_days(band.value) for band in bands),
                band_interval(eighty),
                wording.moment(forecast.calendar, eighty.value),
            )
        )
    return Table(
        "Each milestone, days from the start",
        ("milestone", "P50", "P80", "P90", "95 % interval of P80", "day and shift of P80"),
        tuple(rows),
        frozenset({5}),
    )


def _likely(forecast: Forecast) -> tuple[Text | Points, ...]:
    found = forecast.deadline
    if found is None:
        return (Text("No deadline was given. The table by day under “The risk” gives the chance for the end of each day."),)
    at = found.deadline.hours
    when = forecast.calendar.moment(at)
    chance = found.chance
    runs = f"{chance.count:,} of {wording.counted(chance.runs, 'run')}"
    lines = [
        f"Ready by {found.deadline.text} ({day(when)} {when:%H:%M}, {wording.days(at)} days): {chance_in_words(chance)}"
        f"{'' if ' run' in chance_in_words(chance) else f'; {runs}'}."
    ]
    if found.at_least:
        lines.append(
            "The deadline is later than the last day simulated: a run that was not finished by then may still have met it."
        )
    eighty = forecast.readiness.quantile(0.8).value
    if math.isfinite(eighty):
        apart = wording.days(abs(eighty - at))
        side = "after" if eighty > at else "before"
        lines.append(
            "P80, the time that four in five runs keep, is the deadline itself to a tenth of a day."
            if apart == "0.0"
            else f"P80, the time that four in five runs keep, lies {apart} days {side} the deadline."
        )
    return (Text(lines[0], strong=True), *([Points(tuple(lines[1:]))] if lines[1:] else []))


def _drives(forecast: Forecast) -> tuple[Text, ...]:
    if not forecast.causes:
        return (Text("No run finished by the last day simulated, so no cause can be given."),)
    held = held_back(attribute_hours(forecast.runs, forecast.readiness.name))
    lines = [*outrun_lines(forecast.outrun), *held, say_causes(forecast), *say_late(forecast)]
    return tuple(Text(line) for line in lines)


def _helps(found: BottlenecksResult | None, stopped: bool) -> tuple[Text | Points | Table, ...]:
    if found is None and stopped:
        return (Text("Not reached before the brief was stopped. The same command goes on from there."),)
    if found is None:
        return (Text("Not asked: measures were left out of this brief."),)
    lines = gain_lines(found)  # who holds it up is told above, of the runs of the forecast
    blocks: list[Text | Points | Table] = [Points(tuple(lines))] if lines else []
    # What is shown to move P80 stands before what moves the mean alone.
    told = [*(one for one in found.tried if one.earns), *(one for one in found.tried if one.earns_mean and not one.earns)][:MOST]
    if told:
        blocks.append(measures_table(found, told, f"What helps most, of {wording.counted(len(found.tried), 'change')} tried"))
    elif not lines:
        blocks.append(Text("Nothing was tried."))
    return tuple(blocks)


def measures_table(found: BottlenecksResult, tried: list[BottlenecksRow], title: str) -> Table:
    """Return what changes would buy at P80, and by the deadline if there is one."""
    digits = change_format(found.outcome)
    deadline = found.outcome.deadline
    before = found.outcome.chance
    rows = []
    for one in tried:
        cells = digits.cells(one.against.p80, one.identical)
        chance = () if deadline is None or before is None else (whole(after(before, one.against.chance)),)
        rows.append((one.what_if.name, *cells, *chance))
    by = () if deadline is None or before is None else (f"ready by {deadline.text} (as it is {whole(before.probability)})",)
    notes = [
        f"{found.counted}, each with the same random draws. Below zero is earlier. In brackets: no measurable effect.",
        *meanings([(digits, one.against.p80) for one in tried if not one.identical]),
    ]
    if any(one.what_if.name.startswith("day and night") for one in tried):
        notes.append("Day and night: other people work the night, at the rates of the day.")
    return Table(title, ("change", f"change of P80, {digits.name}", INTERVAL, *by), tuple(rows), notes=tuple(notes))


def order_points(forecast: Forecast, quantities: TakeOff) -> tuple[Text | Points, ...]:
    """Return what must be ordered, in sentences."""
    told, mass = quantities.told, quantities.ordered.mass
    return (
        Text(to_order_in_words(quantities), strong=True),
        Points(
            (
                f"They weigh {told.mass.rounded(mass)} gross ({told.tons.rounded(mass)}); the mats cover "
                f"{quantities.total('full'):,.0f} full and {quantities.total('half'):,.0f} half mats, "
                f"{told.area.rounded(quantities.total('square_feet'))}.",
                planned_in_words(quantities),
                f"Damage beyond the spares, so that mats are ordered again: {facts.shortage(forecast)}.",
                f"On site: {facts.people(forecast)}.",
            )
        ),
    )
