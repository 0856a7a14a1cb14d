"""Which columns of a record of weather hold what, and in which units?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BeforeValidator
from pydantic_core import PydanticCustomError

from simulation.scenario.mistakes import did_you_mean, shown
from simulation.scenario.weather_units import WEATHER_UNITS, Conversion, conversion

#: What a column may hold besides the time -> the variable whose units it has.
VARIABLES = {
    "rain": "rain",
    "wind": "wind",
    "gust": "wind",
    "temperature": "temperature",
    "temperature_low": "temperature",
    "temperature_high": "temperature",
    "humidity": "humidity",
}


@dataclass(frozen=True)
class Column:
    """A column of the file, and what turns its figures into the unit used inside."""

    name: str
    unit: str
    convert: Conversion


@dataclass(frozen=True)
class Columns:
    """The columns of a record.

    Attributes
    ----------
    time : str
    of : tuple of (str, Column)
        By what they hold, a key of `VARIABLES`.
    """

    time: str
    of: tuple[tuple[str, Column], ...]


def read_columns(value: Any) -> Columns:
    """Return the columns that a table of a scenario names.

    Raises
    ------
    PydanticCustomError
        With every mistake of the table as ``(key, wrong, right)`` under ``"mistakes"``.
    """
    if isinstance(value, Columns):
        return value
    example = 'write columns = { time = "time", rain = { column = "precip", unit = "mm" } }'
    mistakes: list[tuple[str, str, str]] = []
    found: list[tuple[str, Column]] = []
    table: Mapping[str, Any] = value if isinstance(value, dict) else {}
    for key, entry in table.items():
        if key == "time":
            continue
        if key not in VARIABLES:
            mistakes.append((key, "unknown key", did_you_mean(key, ["time", *VARIABLES])))
            continue
        column = entry if isinstance(entry, dict) else {"column": entry}
        name, unit = column.get("column"), column.get("unit")
        inside, other = WEATHER_UNITS[VARIABLES[key]]
        if not isinstance(name, str) or not column.keys() <= {"column", "unit"}:
            mistakes.append((key, "does not name a column and its unit", f'write {key} = {{ column = "…", unit = "{inside}" }}'))
        elif not isinstance(unit, str):
            mistakes.append((key, "the unit of the column is not given", f'write unit = "{inside}" or "{other}"'))
        elif (convert := conversion(VARIABLES[key], unit)) is None:
            mistakes.append((key, f"{shown(unit)} is no unit of this kind", f'write unit = "{inside}" or "{other}"'))
        else:
            found.append((key, Column(name, unit, convert)))
    if not table:
        mistakes.append(("", f"{shown(value)} names no columns", example))
    elif not isinstance(table.get("time"), str):
        mistakes.append(("time", "the column of the time is not named", example))
    elif "rain" not in table:
        mistakes.append(("rain", "the column of rain is not named", example))
    if mistakes:
        raise PydanticCustomError("keystrip_table", "columns", {"mistakes": tuple(mistakes)})
    return Columns(table["time"], tuple(found))


ColumnsOfFile = Annotated[Columns, BeforeValidator(read_columns)]
