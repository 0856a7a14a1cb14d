"""What a record of weather says, what was fitted to it, and how well that gives it again, for a terminal and as JSON."""

from __future__ import annotations

import math
from dataclasses import asdict
from datetime import timedelta
from typing import TYPE_CHECKING, Any

from simulation.present import wording
from simulation.present.record_units import WEATHER_UNITS
from simulation.present.terminal_table import new_table, print_section, terms
from simulation.questions.weather.block import weather_block
from simulation.scenario.types.measures import FEET, Measures, Unit
from simulation.scenario.weather_record.unusable import can_be_resampled
from simulation.scenario.weather_record.weather_findings import by_weight

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from simulation.questions.weather.study import Measure, WeatherFit

#: Lines of a record that are listed; the rest are counted. All are in weather.json.
_LISTED = 12
_OWN = {"rain": "rain", "wind": "wind", "gust": "gusts", "temperature": "temperature", "humidity": "humidity"}


def print_weather(found: WeatherFit, console: Console, told: Measures = FEET) -> None:
    """Print all of it."""
    record = found.record
    last = record.first + timedelta(hours=(record.length - 1) * record.step)
    heading = (
        f"{found.named.file}: {record.length:,} {found.unit}s, {record.first:%Y-%m-%d %H:%M} to {last:%Y-%m-%d %H:%M} local time"
    )
    console.print(heading, style="bold")
    for line in weather_answer(found):
        console.print(line)
    for said in record.read_as:
        console.print(f"Read with {said}." if said == record.read_as[0] else f"{said[0].upper()}{said[1:]}.", highlight=False)
    print_section(console, "What the record has", _contents(found))
    if record.findings:
        listed = terms()
        for one in by_weight(record.findings)[:_LISTED]:
            listed.add_row(f"line {one.line}", one.text)
        more = len(record.findings) - _LISTED
        print_section(console, "What to know of it", listed, *([f"and {more} more, all in weather.json"] if more > 0 else []))
    notes = [f"Model: mean of {found.records} drawn records of the same dates, and the range of nine in ten of them."]
    if found.in_sample:
        days = wording.counted(found.days, "day")
        notes.append(f"In-sample: the record's {days} are fitted and compared; nothing is said of how years differ.")
    else:
        notes.append("The chain is compared with the record that it was fitted to: no hour was kept back.")
    print_section(console, "How well the fitted chain gives it again", _measures(found), *notes)
    print_section(console, "Fitted chain, by month", _chain(found), *_chain_notes(found))
    print_section(console, "Fitted hours, by month", _air(found, told.wind), *_air_notes(found))
    console.print()
    console.print("To paste into a scenario", style="bold")
    console.print(weather_block(found.fit), soft_wrap=True)


def weather_answer(found: WeatherFit) -> list[str]:
    """Return what it comes to."""
    outside = [one.name for one in found.measures if not one.within]
    first = next(one for one in found.measures if one.name == "wet days")
    wet = f"{first.record:.0%} of the days are wet ({found.named.wet:g} mm or more in one {found.unit})"
    share = f"{wet}. {_shares(found)}"
    if not outside:
        return [
            f"{share} All {len(found.measures)} figures of the record lie within nine in ten of the records drawn from the chain."
        ]
    resampled = can_be_resampled(found.named)
    instead = "Resample the record instead where that matters." if resampled else "Look at them before you use it."
    return [f"{share} Outside of nine in ten of the records drawn from the chain: {', '.join(outside)}. {instead}"]


def _shares(found: WeatherFit) -> str:
    """Return how much wetter or drier the chain is than the record, which a range of nine in ten could hide."""
    recorded, fitted = found.share
    more = fitted / recorded - 1.0
    told = f" ({abs(more):.0%} {'wetter' if more > 0 else 'drier'})" if abs(more) >= 0.01 else ""
    return f"Wet {found.unit}s: record {recorded:.2%}, fitted chain {fitted:.2%}{told}."


def _contents(found: WeatherFit) -> Table:
    table = new_table("variable", "known", "filled in", "not known", "gaps")
    record = found.record
    for name, values in record.values.items():
        unknown = int((values != values).sum())
        filled = record.filled[name]
        gaps = len(record.gaps(name)) if name != "gust" else 0
        table.add_row(
            name.replace("_", ", "),
            f"{len(values) - unknown - filled:,}",
            f"{filled:,}",
            f"{unknown:,}",
            f"{gaps}" if gaps else "–",
        )
    return table


def _measures(found: WeatherFit) -> Table:
    table = new_table("figure", "record", "model", "nine in ten", "")
    for one in found.measures:
        cells = [_figure(one, value) for value in (one.record, one.model)]
        between = f"{_figure(one, one.low)} to {_figure(one, one.high)}"
        table.add_row(one.name, *cells, between, "" if one.within else "outside")
    return table


def _figure(measure: Measure, value: float) -> str:
    return f"{value:.2f}" if measure.name.startswith("sd") else f"{value:.3f}"


def _chain(found: WeatherFit) -> Table:
    table = new_table("month", "p", "w", "a", "b", "wet", "record", "spell", "dry", "fitted\nto")
    chain = found.fit.chain
    for month, name in enumerate(wording.MONTHS):
        share = chain.shares(month)[0]
        spell, recorded = 1 / (1 - chain.wet[month]), found.recorded.by_month[month]
        numbers = (chain.wet[month], chain.short[month], chain.short_ends[month], chain.long_ends[month])
        dry = chain.cycle(month) - spell
        table.add_row(
            _marked(name, month, found),
            *(f"{one:.3f}" for one in numbers[:3]),
            f"{numbers[3]:.4f}",
            f"{share:.1%}",
            "–" if found.fit.daily or math.isnan(recorded) else f"{recorded:.1%}",
            f"{spell:.1f} h",
            f"{dry:.0f} h",
            found.fit.periods[month],
        )
    return table


def _chain_notes(found: WeatherFit) -> list[str]:
    notes = ["p: wet after wet; w: share of short dry spells; a, b: wet after an hour of a short, of a long one."]
    notes.append("Wet: hours of the chain; record: hours of the record.")
    notes += _nothing_of(found)
    if any("scaled" in one for one in found.fit.periods):
        notes.append("Year, scaled: too few dry spells; as often wet as the record of the season, with dry spells of the year.")
    if found.fit.daily:
        notes.append("The record is by days: p and a are planning values; w and b give the month its wet days, and runs of them.")
    return notes


def _air(found: WeatherFit, wind: Unit) -> Table:
    table = new_table("month", "rain, mm/h", f"wind, {wind.name}", "in rain", "low, °C", "high, °C", "humidity, %")
    air = found.fit.air
    for month, name in enumerate(wording.MONTHS):
        day, humid = air.temperature[month], air.humidity_dry[month]
        table.add_row(
            _marked(name, month, found),
            f"{air.rain[month]:.1f}",
            wind.number(air.wind_dry[month], 1),
            wind.number(air.wind_wet[month], 1),
            f"{min(day):.1f}",
            f"{max(day):.1f}",
            f"{min(humid):.0f}–{max(humid):.0f}",
        )
    return table


def _air_notes(found: WeatherFit) -> list[str]:
    planned = [name for key, name in _OWN.items() if key not in found.fit.air.stated]
    columns = found.named.columns
    why = "no column is plainly theirs" if columns is None or columns.by_name else "columns names none of them"
    notes = [f"{', '.join(planned).capitalize()}: planning values, {why}."] if planned else []
    shares = ", ".join(f"{name} {share:.0%}" for name, share in found.classes.items())
    if found.unit == "hour":
        notes.append(f"Of the recorded rain, by the hour: {shares} (up to 2.5, up to 7.6, and more mm/h).")
    return [*notes, *_nothing_of(found)]


def _marked(name: str, month: int, found: WeatherFit) -> str:
    return name if month in found.months else f"{name} *"


def _nothing_of(found: WeatherFit) -> list[str]:
    """Return what the mark of a month means, where one bears it."""
    if len(found.months) == len(wording.MONTHS):
        return []
    return ["* no record of this month: its figures are those of other months or planning values."]


def weather_record(found: WeatherFit) -> dict[str, Any]:
    """Return the answer as one object for JSON."""
    record, air = found.record, found.fit.air
    return {
        "file": found.named.file,
        "units": WEATHER_UNITS,
        "first": record.first.isoformat(),
        "unit": found.unit,
        "length": record.length,
        "read_as": list(record.read_as),
        "wet_from_mm": found.named.wet,
        "in_sample": found.in_sample,
        "filled": record.filled,
        "findings": [{"line": one.line, "text": one.text} for one in record.findings],
        "wet_share": {"record": found.share[0], "fitted": found.share[1]},
        "measures": [{**asdict(one), "within": one.within} for one in found.measures],
        "drawn_records": found.records,
        "fitted_to": list(found.fit.periods),
        "months_without_record": [name for month, name in enumerate(wording.MONTHS) if month not in found.months],
        "chain": asdict(found.fit.chain),
        "air": {**{key: value for key, value in asdict(air).items() if key != "stated"}, "stated": sorted(air.stated)},
        "rain_by_class": found.classes,
        "scenario": weather_block(found.fit),
    }
