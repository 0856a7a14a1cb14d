"""What a record of weather says and what was fitted to it, as an answer: sentences, tables, a picture, a block and a record."""

from __future__ import annotations

import math
from datetime import timedelta
from functools import partial

from simulation.present.answer import Answer, Figure, Page, Part, Points, Table, Terms, Verbatim
from simulation.present.words import wording
from simulation.questions.weather.block import weather_block
from simulation.questions.weather.picture import describe_weather, draw_weather
from simulation.questions.weather.record import weather_record
from simulation.questions.weather.sentences import conclusion, weather_lines
from simulation.questions.weather.study import Measure, WeatherResult
from simulation.scenario.types.quantities.measures import FEET, Measures, Unit
from simulation.scenario.weather_record.weather_findings import by_weight

BLOCK = "weather.toml"
#: Findings of a record in the short form, and in all; the rest are counted. All are in weather.json.
_SHORT, _LISTED = 3, 12
_OWN = {"rain": "rain", "wind": "wind", "gust": "gusts", "temperature": "temperature", "humidity": "humidity"}


def weather_answer(result: WeatherResult, measures: Measures = FEET) -> Answer:
    """Return the answer to what a record says; wind is shown in the units of `measures`."""
    record = result.record
    last = record.first + timedelta(hours=(record.length - 1) * record.step)
    headline, *lines = weather_lines(result)
    figure = Figure("weather", conclusion(result), partial(draw_weather, result), partial(describe_weather, result))
    tables = _contents(result), _measures(result), _chain(result), _air(result, measures.wind)
    contents, compared, chain, air = (Part.of(table, short=index < 2) for index, table in enumerate(tables))
    block = weather_block(result.fit)
    title = "To paste into a scenario"
    parts = (
        *([Part("How the record was read", (Points(_read_as(result)),), short=True)] if record.read_as else []),
        contents,
        *_findings(result),
        compared,
        chain,
        air,
        Part.of(figure),
        Part(title, (Verbatim(title, block),)),
    )
    return Answer(
        question="weather",
        title=result.named.file,
        about=f"{record.length:,} {result.unit}s, {record.first:%Y-%m-%d %H:%M} to {last:%Y-%m-%d %H:%M} local time",
        headline=headline,
        lines=tuple(lines),
        pages=(Page("weather", "What the record says", parts),),
        record=weather_record(result),
        sheets={BLOCK: block},
        cautions=(),
    )


def _read_as(result: WeatherResult) -> tuple[str, ...]:
    first, *others = result.record.read_as
    return f"Read with {first}.", *(f"{wording.capitalised(said)}." for said in others)


def _findings(result: WeatherResult) -> list[Part]:
    """Return what is to be known of single lines of the record, what loses most first."""
    findings = by_weight(result.record.findings)
    more = len(findings) - _LISTED
    parts = []
    for title, some, short in (
        ("What to know of the record", findings[:_SHORT], True),
        ("What else to know of the record", findings[_SHORT:_LISTED], False),
    ):
        if some:
            rows = tuple((f"line {finding.line}", finding.text) for finding in some)
            rest = () if short or more <= 0 else (("", f"and {more} more, all in weather.json"),)
            parts.append(Part(title, (Terms((*rows, *rest)),), short=short))
    return parts


def _contents(result: WeatherResult) -> Table:
    rows = []
    record = result.record
    for name, values in record.values.items():
        unknown = int((values != values).sum())
        filled = record.filled[name]
        gaps = len(record.gaps(name)) if name != "gust" else 0
        counts = f"{len(values) - unknown - filled:,}", f"{filled:,}", f"{unknown:,}", f"{gaps}" if gaps else "–"
        rows.append((name.replace("_", ", "), *counts))
    return Table("What the record has", ("variable", "known", "filled in", "not known", "gaps"), tuple(rows))


def _measures(result: WeatherResult) -> Table:
    rows = []
    for measure in result.measures:
        cells = (_figure(measure, value) for value in (measure.record, measure.model))
        between = f"{_figure(measure, measure.low)} to {_figure(measure, measure.high)}"
        rows.append((measure.name, *cells, between, "" if measure.within else "outside"))
    drawn = f"Model: mean of {result.drawn_records} drawn records of the same dates, and the range of nine in ten of them."
    title = "How well the fitted model reproduces the record"
    return Table(title, ("figure", "record", "model", "nine in ten", ""), tuple(rows), notes=(drawn,))


def _figure(measure: Measure, value: float) -> str:
    return f"{value:.2f}" if measure.name.startswith("sd") else f"{value:.3f}"


def _chain(result: WeatherResult) -> Table:
    chain = result.fit.chain
    rows = []
    for month, name in enumerate(wording.MONTHS):
        share = chain.shares(month)[0]
        spell, recorded = 1 / (1 - chain.wet[month]), result.recorded.by_month[month]
        numbers = (chain.wet[month], chain.short[month], chain.short_ends[month])
        rows.append(
            (
                _marked(name, month, result),
                *(f"{number:.3f}" for number in numbers),
                f"{chain.long_ends[month]:.4f}",
                f"{100 * share:.1f} %",
                "–" if result.fit.daily or math.isnan(recorded) else f"{100 * recorded:.1f} %",
                f"{spell:.1f} h",
                f"{chain.cycle(month) - spell:.0f} h",
                result.fit.periods[month],
            )
        )
    columns = ("month", "p", "w", "a", "b", "wet", "record", "spell", "dry", "fitted\nto")
    return Table("Fitted wet and dry spells, by month", columns, tuple(rows), notes=tuple(_chain_notes(result)))


def _chain_notes(result: WeatherResult) -> list[str]:
    notes = ["p: wet after wet; w: share of short dry spells; a, b: wet after an hour of a short, of a long one."]
    notes.append("Wet: hours of the model; record: hours of the record.")
    notes += _mark_meaning(result)
    if any("scaled" in period for period in result.fit.periods):
        notes.append("Year, scaled: too few dry spells; as often wet as the record of the season, with dry spells of the year.")
    if result.fit.daily:
        notes.append("The record is by days: p and a are planning values; w and b give the month its wet days, and runs of them.")
    return notes


def _air(result: WeatherResult, wind: Unit) -> Table:
    air = result.fit.air
    rows = []
    for month, name in enumerate(wording.MONTHS):
        day, humid = air.temperature[month], air.humidity_dry[month]
        rows.append(
            (
                _marked(name, month, result),
                f"{air.rain[month]:.1f}",
                wind.number(air.wind_dry[month], 1),
                wind.number(air.wind_wet[month], 1),
                f"{min(day):.1f}",
                f"{max(day):.1f}",
                f"{min(humid):.0f}–{max(humid):.0f}",
            )
        )
    columns = ("month", "rain, mm/h", f"wind, {wind.name}", "in rain", "low, °C", "high, °C", "humidity, %")
    return Table("Fitted hours, by month", columns, tuple(rows), notes=tuple(_air_notes(result)))


def _air_notes(result: WeatherResult) -> list[str]:
    planned = [name for key, name in _OWN.items() if key not in result.fit.air.stated]
    columns = result.named.columns
    why = "no column is plainly theirs" if columns is None or columns.by_name else "columns names none of them"
    notes = [f"{', '.join(planned).capitalize()}: planning values, {why}."] if planned else []
    shares = ", ".join(f"{name} {100 * share:.0f} %" for name, share in result.classes.items())
    if result.unit == "hour":
        notes.append(f"Of the recorded rain, by the hour: {shares} (up to 2.5, up to 7.6, and more mm/h).")
    return [*notes, *_mark_meaning(result)]


def _marked(name: str, month: int, result: WeatherResult) -> str:
    return name if month in result.months else f"{name} *"


def _mark_meaning(result: WeatherResult) -> list[str]:
    """Return what the mark of a month means, where one bears it."""
    if len(result.months) == len(wording.MONTHS):
        return []
    return ["* no record of this month: its figures are those of other months or planning values."]
