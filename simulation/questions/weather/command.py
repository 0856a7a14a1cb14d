"""`keystrip weather`: what a record of weather says, and the weather of a scenario that is fitted to it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from simulation.session import session
from simulation.session.asking import FolderAsking, with_folder_options
from simulation.session.data_option import data_folders
from simulation.session.lines import stop

if TYPE_CHECKING:
    from simulation.scenario.types.quantities.measures import System
    from simulation.scenario.weather_record.weather_records import WeatherFile

_EXAMPLE = "time=hour,rain=rain:mm,wind=wind:mph,temperature=temp:degF"
#: What the command asks that a scenario says itself.
_OF_RECORDS = ("columns", "only", "time_offset", "separator", "decimal", "date_order", "wet", "by", "fill")


@with_folder_options(seed=False)
def weather(
    context: typer.Context,
    file: Annotated[
        Path,
        typer.Argument(metavar="FILE", help="A record by hours or by days as CSV, or the scenario that names one."),
    ],
    columns: Annotated[
        str | None,
        typer.Option(
            "--columns",
            metavar="WHAT=COLUMN:UNIT,…",
            help=f"Such as {_EXAMPLE}. Default: those whose names say it, such as time, rain_mm, temp_c, rh_pct, wind_mps.",
        ),
    ] = None,
    only: Annotated[
        str | None,
        typer.Option("--only", metavar="COLUMN=TEXT,…", help="Count only lines with this text, such as a station's."),
    ] = None,
    time_offset: Annotated[
        str | None,
        typer.Option(
            "--time-offset",
            metavar="HOURS",
            help="Local time minus the times of the file, or minus UTC where they tell their zone. Default: 0 h.",
        ),
    ] = None,
    separator: Annotated[
        str | None,
        typer.Option("--separator", metavar=", ; | tab", help="What parts cells. Default: read from the file."),
    ] = None,
    decimal: Annotated[
        str | None,
        typer.Option("--decimal", metavar=". ,", help="Decimal sign. Default: read from the file."),
    ] = None,
    date_order: Annotated[
        str | None,
        typer.Option("--date-order", metavar="ORDER", help='"day first" or "month first". Default: found.'),
    ] = None,
    wet: Annotated[float, typer.Option("--wet", metavar="MM", help="An hour, or day, with so much rain is wet.")] = 0.2,
    by: Annotated[
        str,
        typer.Option(
            "--by", metavar="month|season|year", help="What is fitted by itself: each month, each season, or the whole year."
        ),
    ] = "month",
    fill: Annotated[str, typer.Option("--fill", metavar="HOURS", help="Gaps up to so long are filled in, and counted.")] = "6 h",
    *,
    asking: FolderAsking,
) -> None:
    """Check a record of weather, fit wet and dry spells and the hours to it, compare, and give a block for a scenario."""
    from simulation.scenario import ScenarioError

    values = (columns, only, time_offset, separator, decimal, date_order, wet, by, fill)
    sources = [context.get_parameter_source(key) for key in _OF_RECORDS]
    given = [source is not None and source.name != "DEFAULT" for source in sources]
    keys: dict[str, Any] = {key: value for key, value, stated in zip(_OF_RECORDS, values, given, strict=True) if stated}
    if only is not None:
        keys["only"] = dict(_pairs("--only", only))
    try:
        named, own = _of_scenario(file, keys) if file.suffix == ".toml" else (_of_file(file, keys), None)
    except ScenarioError as error:
        session.refuse(error)
    from simulation.present.file_names import answer_files
    from simulation.present.own_files import keep
    from simulation.questions.weather.answer import BLOCK, weather_answer
    from simulation.questions.weather.study import fit_weather
    from simulation.scenario.types.quantities.measures import measures_named

    keep([file])
    measures = measures_named(session.units_of(asking.units) or own or ("metric" if named.record.metric else "feet"))
    files = ("weather", answer_files("weather", sheets=(BLOCK,)))
    asking.answer(str(file), [], files, lambda: weather_answer(fit_weather(named), measures))


def _pairs(option: str, text: str) -> list[tuple[str, str]]:
    from simulation.scenario.types.mistakes import shown

    pairs = []
    for part in text.split(","):
        name, equals, value = (word.strip() for word in part.partition("="))
        if not (name and equals and value):
            stop(f"{option}: {shown(part)} is not COLUMN=TEXT; write such as station=north, with commas between several")
        pairs.append((name, value))
    return pairs


def _of_file(file: Path, keys: dict[str, Any]) -> WeatherFile:
    from simulation.scenario import ScenarioError
    from simulation.scenario.weather_record.weather_records import name_record

    try:
        with session.progress(workers=1) as advance:
            return name_record({"file": str(file), **keys}, advance)
    except ScenarioError as error:  # here a key is an option
        mistakes = [replace(mistake, key=_as_option(mistake.key)) for mistake in error.mistakes]
        raise ScenarioError(error.file, mistakes) from None


def _as_option(key: str) -> str:
    """Return a key of a record as the option that stands for it, such as ``--columns rain``; others as they are."""
    name, _, part = key.partition(".")
    return f"--{name.replace('_', '-')} {part}".rstrip() if name in _OF_RECORDS else key


def _of_scenario(file: Path, keys: dict[str, Any]) -> tuple[WeatherFile, System]:
    """Return the record that a scenario names, read as it says, and the units of the scenario."""
    from simulation.scenario import load_scenario

    if keys:
        option = next(iter(keys)).replace("_", "-")
        stop(f"--{option}: {file} says how its record is read; leave the option out, or name the record itself")
    with session.progress(workers=1) as advance:
        scenario = load_scenario(file, also=data_folders(), progress=advance)
    records = scenario.weather.records
    if records is None:
        stop(f"{file}: names no record of weather; write [weather.records], or name a CSV file")
    return records, "metric" if scenario.measures.metric else "feet"
