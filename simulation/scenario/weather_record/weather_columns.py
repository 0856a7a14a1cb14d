"""Which columns of a record of weather hold what, and in which units?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic_core import PydanticCustomError

from simulation.scenario.types.mistakes import did_you_mean, shown
from simulation.scenario.types.reads import Reads
from simulation.scenario.weather_record.weather_findings import RecordError
from simulation.scenario.weather_record.weather_names import meaning_of, unit_of
from simulation.scenario.weather_record.weather_units import WEATHER_UNITS, Conversion, conversion

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
        One column, or those of date and hour with a plus between them.
    of : tuple of (str, Column)
        By what they hold, a key of `VARIABLES`.
    by_name : bool
        Whether they were recognised by their names.
    """

    time: str
    of: tuple[tuple[str, Column], ...]
    by_name: bool = False

    @property
    def names(self) -> tuple[str, ...]:
        """The columns of the file that are used."""
        return (self.time, *(column.name for _, column in self.of))


#: The syntax of columns, in a scenario as on the command line.
EXAMPLE = "time=time,rain=precip:inch"


def read_columns(value: Any) -> Columns | None:
    """Return the columns that a scenario, or an option, names: as a text, or as a table of texts or of columns and units.

    None is returned for None: then they are recognised by their names.

    Raises
    ------
    PydanticCustomError
        With every mistake of the table as ``(key, wrong, right)`` under ``"mistakes"``.

    Examples
    --------
    >>> read_columns("time=t,rain=p:mm") == read_columns({"time": "t", "rain": {"column": "p", "unit": "mm"}})
    True
    """
    if value is None or isinstance(value, Columns):
        return value
    mistakes: list[tuple[str, str, str]] = []
    columns: list[tuple[str, Column]] = []
    table = _table_of(value, mistakes) if isinstance(value, str) else value if isinstance(value, dict) else {}
    for key, entry in table.items():
        if key == "time":
            continue
        if key not in VARIABLES:
            mistakes.append((key, "unknown key", did_you_mean(key, ["time", *VARIABLES])))
            continue
        name, unit = _name_and_unit(key, entry)
        inside, other = WEATHER_UNITS[VARIABLES[key]]
        if name is None:
            mistakes.append((key, "does not name a column and its unit", f'write {key} = "…:{inside}", the column and its unit'))
        elif not isinstance(unit, str):
            mistakes.append((key, "the unit of the column is not given", f'write {key} = "{name}:{inside}", or "{name}:{other}"'))
        elif (convert := conversion(VARIABLES[key], unit)) is None:
            mistakes.append((key, f"{shown(unit)} is no unit of this kind", f'write "{inside}" or "{other}"'))
        else:
            columns.append((key, Column(name, unit, convert)))
    if not table and not mistakes:
        mistakes.append(("", f"{shown(value)} names no columns", f'write columns = "{EXAMPLE}"'))
    elif not mistakes and not isinstance(table.get("time"), str):
        mistakes.append(("time", "the column of the time is not named", f'write columns = "{EXAMPLE}"'))
    elif not mistakes and "rain" not in table:
        mistakes.append(("rain", "the column of rain is not named", f'write columns = "{EXAMPLE}"'))
    if mistakes:
        raise PydanticCustomError("keystrip_table", "columns", {"mistakes": tuple(mistakes)})
    return Columns(table["time"], tuple(columns))


def _table_of(text: str, mistakes: list[tuple[str, str, str]]) -> dict[str, Any]:
    table: dict[str, Any] = {}
    for part in text.split(","):
        name, equals, value = (word.strip() for word in part.partition("="))
        if not (name and equals and value):
            mistakes.append(("", f"{shown(part.strip())} is not WHAT=COLUMN:UNIT", f"write them as in {EXAMPLE}"))
        else:
            table[name] = value
    return table


def _name_and_unit(key: str, entry: Any) -> tuple[str | None, Any]:
    """Return the column and the unit that an entry names; where it names none, the one that the column's name tells."""
    if isinstance(entry, str):
        column, colon, unit = entry.rpartition(":")
        return (column, unit) if colon else (entry, unit_of(key, entry))
    if not isinstance(entry, dict) or not isinstance(entry.get("column"), str) or not entry.keys() <= {"column", "unit"}:
        return None, None
    return entry["column"], entry["unit"] if "unit" in entry else unit_of(key, entry["column"])


def recognised(header: list[str]) -> Columns:
    """Return the columns of a file that say by their names what they hold, and in which unit.

    Raises
    ------
    RecordError
        If there is no column of time or of rain, or several could be it.
    """
    meant: dict[str, list[tuple[str, str | None]]] = {}
    for name in header:
        if (meaning := meaning_of(name)) is not None:
            meant.setdefault(meaning[0], []).append((name, meaning[1]))
    # Only what its name says is quoted: the first line of a file that is no record may be anything.
    known = [name for names in meant.values() for name, _ in names]
    among = f", and only {', '.join(known[:12])} {'says' if len(known) == 1 else 'say'} by name what is in it" if known else ""
    right = f"name them as in {EXAMPLE}; the file has {len(header)} columns{among}"
    times = [name for name, _ in meant.get("time", [])]
    if sorted(name.lower() for name in times) == ["date", "time"]:
        meant["time"] = [("+".join(sorted(times, key=str.lower)), None)]
    for key in ("time", "rain"):
        names = [name for name, _ in meant.get(key, [])]
        if len(names) != 1:
            which = f"several columns could be the {key}: {', '.join(names)}" if names else f"no column is plainly that of {key}"
            raise RecordError("columns", which, right)
    recognised_columns: list[tuple[str, Column]] = []
    for key, columns in meant.items():
        if key == "time" or len(columns) > 1:
            continue
        ((name, unit),) = columns
        if unit is not None and (convert := conversion(VARIABLES[key], unit)) is not None:
            recognised_columns.append((key, Column(name, unit, convert)))
        elif key == "rain":
            named = f"time={meant['time'][0][0]},rain={name}"
            raise RecordError(
                "columns", f"in which unit {name} is, its name does not tell", f"write columns {named}:mm or {named}:inch"
            )
    return Columns(meant["time"][0][0], tuple(recognised_columns), by_name=True)


def left_out(header: list[str], columns: Columns) -> list[str]:
    """Return the columns that are plainly weather, and are not used: their unit is not told, or several could be it."""
    used = {columns.time, *columns.time.split("+"), *(column.name for _, column in columns.of)}
    return [name for name in header if name not in used and (meaning := meaning_of(name)) is not None and meaning[0] != "time"]


ColumnsOfFile = Annotated[Columns | None, Reads(read_columns)]
