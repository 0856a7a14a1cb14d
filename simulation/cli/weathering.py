"""`keystrip weather`: what a record of weather says, and the weather of a scenario that is fitted to it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from simulation.cli import talk

_EXAMPLE = "time=time_hour,rain=precip:inch,wind=wind_speed:mph,temperature=temp:degF,humidity=humid:%"


def weather(
    file: Annotated[Path, typer.Argument(metavar="CSV", help="A record by hours or by days.", show_default=False)],
    columns: Annotated[
        str | None,
        typer.Option("--columns", metavar="WHAT=COLUMN:UNIT,…", help=f"Such as {_EXAMPLE}.", show_default=False),
    ] = None,
    only: Annotated[
        str | None,
        typer.Option(
            "--only", metavar="COLUMN=TEXT,…", help="Count only lines with this text, such as a station's.", show_default=False
        ),
    ] = None,
    time_offset: Annotated[
        str, typer.Option("--time-offset", metavar="HOURS", help="Local time minus the times of the file.")
    ] = "0 h",
    wet: Annotated[float, typer.Option("--wet", metavar="MM", help="An hour, or day, with so much rain is wet.")] = 0.2,
    by: Annotated[str, typer.Option("--by", metavar="month|season|year", help="What the chain tells apart.")] = "month",
    fill: Annotated[str, typer.Option("--fill", metavar="HOURS", help="Gaps up to so long are filled in, and told.")] = "6 h",
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="DIR", help="Folder of picture and files. Default: reports/NAME.", show_default=False),
    ] = None,
    as_json: talk.JSON = False,
) -> None:
    """Check a record of weather, fit wet and dry spells and the hours to it, compare, and give a block for a scenario."""
    from simulation.scenario import ScenarioError
    from simulation.scenario.weather_records import name_record

    if columns is None:
        talk.stop(f"--columns: is missing{_columns_in(file)}; write --columns {_EXAMPLE}")
    keys: dict[str, Any] = {
        "file": str(file),
        "columns": _mapping(columns),
        "time_offset": time_offset,
        "wet": wet,
        "by": by,
        "fill": fill,
    }
    if only is not None:
        keys["only"] = dict(_pairs("--only", only))
    try:
        named = name_record(keys)
    except ScenarioError as error:
        talk.refuse(error)
    from simulation.analysis.weather_fit import fit_weather
    from simulation.report.weather_picture import write_weather
    from simulation.report.weather_tables import print_weather, weather_record

    found = fit_weather(named)
    folder = out or Path("reports") / file.stem
    talk.show(as_json, lambda: weather_record(found), lambda console: print_weather(found, console))
    talk.leave(lambda: write_weather(found, folder), folder, "")


def _pairs(option: str, text: str) -> list[tuple[str, str]]:
    pairs = []
    for part in text.split(","):
        name, equals, value = (one.strip() for one in part.partition("="))
        if not (name and equals and value):
            talk.stop(f"{option}: {part!r} is not NAME=VALUE; separate several by commas")
        pairs.append((name, value))
    return pairs


def _mapping(text: str) -> dict[str, Any]:
    """Return the table of columns that stands in the option."""
    table: dict[str, Any] = {}
    for name, value in _pairs("--columns", text):
        column, colon, unit = value.rpartition(":")
        table[name] = value if name == "time" else {"column": column, "unit": unit} if colon else {"column": value}
    return table


def _columns_in(file: Path) -> str:
    """Return what the first line of a file names, as far as it can be read."""
    try:
        with file.open(encoding="utf-8-sig") as text:
            return f", and the file has {text.readline(500).strip()}"
    except (OSError, ValueError):
        return ""
