"""What do the planner's own records say? One column of a CSV file, in the unit that the scenario names."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pydantic_core import PydanticCustomError

from simulation.scenario.types.mistakes import shown
from simulation.scenario.types.quantities.unit_names import meant_unit, unit_factor
from simulation.scenario.types.quantities.units import KINDS, LARGEST
from simulation.scenario.types.texts.csv_form import (
    DECIMALS,
    SEPARATORS,
    CsvForm,
    FormError,
    Line,
    decimal_of,
    lines_of,
    meant_by,
    one_of,
    one_of_head,
    separator_of,
    word_of,
)
from simulation.scenario.types.texts.source import DataFiles

#: Takes one mistake: the key, what is wrong, what would be right.
Wrong = Callable[[str, str, str], None]


def read_records(kind: str, table: dict[str, Any], files: DataFiles, wrong: Wrong) -> tuple[tuple[float, ...], CsvForm]:
    """Return the recorded values in ascending order and how the file is written, or tell `wrong` why there are none.

    Parameters
    ----------
    kind : str
        What the values are, a key of `KINDS`.
    table : dict
        The scenario's table, with ``data``, the file, and perhaps ``column``, ``unit``, ``separator`` and ``decimal``.
    files : DataFiles
        Where the file is read from.
    wrong : callable
        Takes the key, what is wrong and what would be right.
    """
    factor = _factor(kind, table, wrong)
    separator, decimal = (_sign(key, names, table, wrong) for key, names in (("separator", SEPARATORS), ("decimal", DECIMALS)))
    lines = _lines(table["data"], files, separator, wrong)
    if lines is None:
        return (), CsvForm()
    text, separator, ((_, header), *rows) = lines
    index = _index(table, header, wrong)
    if index is None or factor is None:
        return (), CsvForm()
    long = [number for number, row in rows if any(cell.strip() for cell in row[len(header) :])]
    if long:
        right = "write a decimal comma in quotes, or name the separator"
        wrong("data", f"line {long[0]} has more cells than the first line has names", right)
        return (), CsvForm()
    cells = [(number, row[index].strip() if index < len(row) else "") for number, row in rows]
    try:
        form = CsvForm(separator, decimal or decimal_of((cell for _, cell in cells), separator))
    except FormError as error:
        wrong(*error.said)
        return (), CsvForm()
    if not any("," in cell or "." in cell for _, cell in cells):
        form = CsvForm(separator, "")
    values: list[float] = []
    bad: list[str] = []
    for number, cell in cells:
        value = _value(cell, form, factor)
        if value is None:
            bad.append(f"line {number} holds {shown(word_of(cell))}")
        else:
            values.append(value)
    if bad:
        more = f" and {len(bad) - 3} more lines are no better" if len(bad) > 3 else ""
        wrong("data", f"{', '.join(bad[:3])}{more}", "write numbers of 0 or more, without units")
    files.use(table["data"], text, separator, [header[index].strip()])
    return tuple(sorted(values)), form


def _sign(key: str, names: dict[str, str], table: dict[str, Any], wrong: Wrong) -> str | None:
    try:
        return one_of(names)(table.get(key))
    except PydanticCustomError as error:
        context = error.context or {}
        wrong(key, context["wrong"], context["right"])
        return None


def _factor(kind: str, table: dict[str, Any], wrong: Wrong) -> float | None:
    unit, example = table.get("unit"), KINDS[kind][0]
    if kind == "share":
        if unit is not None:
            wrong("unit", "a share has no unit", "leave it out")
        return 1.0
    factor = unit_factor(kind, unit) if isinstance(unit, str) else None
    if unit is None:
        wrong("unit", "the unit of the records is not given", f'write unit = "{example}"')
    elif factor is None:
        meant = meant_unit(kind, unit) if isinstance(unit, str) else None
        wrong("unit", f"{shown(unit)} is no unit of this kind", f'write unit = "{meant or example}" or another of its kind')
    return factor


def _lines(file: Any, files: DataFiles, separator: str | None, wrong: Wrong) -> tuple[str, str, list[Line]] | None:
    """Return the text, what parts cells, and every line that is not empty, the header first; None where nothing is recorded."""
    if not isinstance(file, str):
        wrong("data", f"{shown(file)} is not the name of a file", 'write it in quotes, such as "records.csv"')
        return None
    try:
        text = files.text(file)
        separator = separator or separator_of(text)
        lines = list(lines_of(text, separator))
    except OSError as error:
        right = "name a CSV file beside the scenario or below its folder, or name its folder with --data"
        wrong("data", f"{shown(file)}: {(error.strerror or 'cannot be read').lower()}", right)
        return None
    except ValueError:
        wrong("data", f"{shown(file)} is not a CSV file in UTF-8", "save it as CSV in UTF-8")
        return None
    if len(lines) < 2:
        wrong("data", f"{shown(file)} holds no records", "write one line of column names, then one line a record")
        return None
    return text, separator, lines


def _index(table: dict[str, Any], header: list[str], wrong: Wrong) -> int | None:
    columns = [name.strip() for name in header]
    column = table.get("column", columns[0] if len(columns) == 1 else None)
    if not isinstance(column, str):
        wrong("column", "the file has several columns and none is named", one_of_head(columns))
    elif column not in columns:
        wrong("column", f"there is no column {shown(column)}", meant_by(column, columns))
    elif columns.count(column) > 1:
        wrong("column", f"several columns bear the name {shown(column)}", "give each its own")
    else:
        return columns.index(column)
    return None


def _value(cell: str, form: CsvForm, factor: float) -> float | None:
    try:
        value = round(form.number(cell) * factor, 12)
    except (ValueError, OverflowError):
        return None
    return value if 0 <= value <= LARGEST else None
