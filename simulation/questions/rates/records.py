"""Which times and shares stand in a file of own records, of which job, and what in the scenario does each inform?

A column's name tells its unit and what it times: `minutes_per_row`, `seconds_per_mat`, `haul_min`. A column `row` numbers rows,
each line one row; a column `rows` counts them, so that the line's time is that of so many. A cell such as `18+` is still under
way.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from simulation.scenario.types.mistakes import Mistake, ScenarioError, shown
from simulation.scenario.types.texts.bounded import DATA, read_text
from simulation.scenario.types.texts.csv_form import (
    CsvForm,
    FormError,
    Line,
    decimal_of,
    lines_of,
    meant_by,
    separator_of,
    twice,
    word_of,
)

#: The time of a row, which several keys make up together.
ROW = "row"
_UNITS = {
    1 / 3600: ("s", "sec", "secs", "second", "seconds"),
    1 / 60: ("min", "mins", "minute", "minutes"),
    1.0: ("h", "hr", "hrs", "hour", "hours"),
}
HOURS = {word: hours for hours, words in _UNITS.items() for word in words}
#: Words in a column's name -> what it times; the first that fits.
_KEYS = (
    ({"row", "rows"}, ROW),
    ({"mat", "mats", "place", "placing"}, "laying.place"),
    ({"pick"}, "laying.pick_up"),
    ({"joint", "lock", "locking"}, "laying.lock"),
    ({"starter"}, "laying.starter_key_strip"),
    ({"strip"}, "laying.key_strip"),
    ({"check"}, "laying.check"),
    ({"reseat"}, "laying.reseat"),
    ({"connect", "connectors"}, "laying.connect"),
    ({"move"}, "laying.move"),
    ({"repair"}, "forklifts.repair"),
    ({"handle", "handling"}, "forklifts.handle"),
    ({"breakdown", "breakdowns"}, "forklifts.breakdown_every"),
    ({"open", "opening"}, "laying.open_pallet"),
    ({"haul"}, "supply.trucks.1.haul"),
    ({"return", "back"}, "supply.trucks.1.return"),
    ({"load", "loading"}, "supply.trucks.1.load"),
)
_SHARES = ({"eff", "efficiency", "productive"}, "laying.efficiency")
_JOB, _COUNT = {"job", "jobs", "project", "exercise"}, {"rows"}
#: What a word of `--columns` may be: the job, the number of rows in the time, or a key.
_ROLES = ("job", "rows")


@dataclass(frozen=True)
class Measure:
    """One column of times or shares, from all files.

    Attributes
    ----------
    name : str
        Of the column.
    key : str
        What it informs: an address in a scenario, or `ROW`.
    share : bool
        Whether it is a share; else it is a time, in hours.
    jobs : dict of str to list of (float, float, bool)
        Records by job: value, how many rows or trips it is the mean of, whether it is still under way.
    """

    name: str
    key: str
    share: bool
    jobs: dict[str, list[tuple[float, float, bool]]] = field(default_factory=dict)


@dataclass(frozen=True)
class Column:
    """A column that is read: its place, and hours (or 1 for a share) that its numbers are in."""

    name: str
    index: int
    key: str
    factor: float
    share: bool


def read_logs(files: Sequence[Path], of: str | None, named: Sequence[tuple[str, str]]) -> tuple[list[Measure], list[str]]:
    """Return what stands in some files, and what is to be known of how they were read.

    Parameters
    ----------
    files : sequence of Path
        A file without a column of jobs is one job.
    of : str, optional
        What the only column of times informs, where its name does not say.
    named : sequence of (str, str)
        What a column is, and the column with its unit: ``("job", "name")``, ``("laying.place", "t:s")``.

    Raises
    ------
    ScenarioError
        With what cannot be read, by line and column.
    """
    measures: dict[str, Measure] = {}
    notes: list[str] = []
    for file in files:
        mistakes: list[Mistake] = []
        for record in _read(file, of, named, mistakes, notes):
            measure = measures.setdefault(record.key, Measure(record.name, record.key, record.share))
            for job, records in record.jobs.items():
                measure.jobs.setdefault(job if len(files) == 1 or job != "" else file.stem, []).extend(records)
        if mistakes:
            raise ScenarioError(str(file), mistakes)
    return list(measures.values()), notes


def _read(
    file: Path, of: str | None, named: Sequence[tuple[str, str]], mistakes: list[Mistake], notes: list[str]
) -> Iterator[Measure]:
    lines = _lines(file, mistakes)
    if lines is None:
        return
    separator, ((_, header), *rows) = lines
    names = [name.strip() for name in header]
    if doubled := twice(names) - {""}:
        mistakes.append(Mistake("", f"several columns bear the name {shown(min(doubled))}", "give each its own"))
        return
    roles = _roles(names, of, named, mistakes)
    if roles is None:
        return
    job, count, columns = roles
    try:
        cells = (row[column.index].rstrip("+ ").lstrip("> ") for _, row in rows for column in columns if column.index < len(row))
        form = CsvForm(separator, decimal_of(cells, separator))
    except FormError as error:
        mistakes.append(Mistake("", *error.said[1:]))
        return
    if not form.plain:
        notes.append(f"{file.name} was read with {form.said}.")
    for column in columns:
        reader = _ColumnReader(column, names, job, count, form, mistakes)
        for number, row in rows:
            reader.take(number, row)
        if reader.empty:
            notes.append(f"{file.name}: {reader.empty} line{'s' if reader.empty > 1 else ''} without {column.name} left out.")
        if not reader.measure.jobs and not mistakes:
            mistakes.append(Mistake(column.name, "holds no records", "name another column, or leave the file out"))
        yield reader.measure


class _ColumnReader:
    """Takes the records of one column, line by line; `empty` counts the lines that say nothing of it."""

    def __init__(
        self, column: Column, names: list[str], job: int | None, count: int | None, form: CsvForm, mistakes: list[Mistake]
    ) -> None:
        self.column, self.names, self.job, self.form, self.mistakes = column, names, job, form, mistakes
        self.count = count if column.key == ROW else None
        self.measure, self.empty = Measure(column.name, column.key, column.share), 0

    def take(self, number: int, row: list[str]) -> None:
        column = self.column
        cell = _cell(row, column.index)
        if not cell:
            self.empty += 1
            return
        written = cell.rstrip("+ ").lstrip("> ")
        value = _number(written, self.form)
        if value is None or not 0 < value < 1e9 or (column.share and value > 1):
            right = "write a share above 0, up to 1" if column.share else "write a number above 0, without its unit"
            self._wrong(number, column.name, f"holds {shown(word_of(cell))}", right)
            return
        many = 1.0 if self.count is None else _number(_cell(row, self.count), self.form)
        if many == 0:
            self.empty += 1  # a shift without rows says nothing of how long one takes
        elif many is None or not 0 < many < 1e6:
            self._wrong(number, self.names[self.count or 0], "holds no number of rows", "write 1 or more")
        elif self.job is not None and not _cell(row, self.job):
            self._wrong(number, self.names[self.job], "names no job", "write which job it was")
        else:
            whose = "" if self.job is None else _cell(row, self.job)
            self.measure.jobs.setdefault(whose, []).append((value * column.factor / many, many, cell != written))

    def _wrong(self, number: int, name: str, wrong: str, right: str) -> None:
        self.mistakes.append(Mistake(f"line {number}, {name}", wrong, right))


def _cell(row: list[str], index: int) -> str:
    return row[index].strip() if index < len(row) else ""


def _lines(file: Path, mistakes: list[Mistake]) -> tuple[str, list[Line]] | None:
    try:
        text = read_text(file, DATA)
        separator = separator_of(text)
        lines = list(lines_of(text, separator))
    except OSError as error:
        mistakes.append(Mistake("", (error.strerror or "cannot be read").lower(), "name a CSV file of records"))
        return None
    except ValueError:
        mistakes.append(Mistake("", "is not a CSV file in UTF-8", "save it as CSV in UTF-8"))
        return None
    if len(lines) < 2:
        mistakes.append(Mistake("", "holds no records", "write one line of column names, then one line a record"))
        return None
    return separator, lines


def _roles(
    names: list[str], of: str | None, named: Sequence[tuple[str, str]], mistakes: list[Mistake]
) -> tuple[int | None, int | None, list[Column]] | None:
    """Return the places of the job and of the number of rows, and the columns of times and shares."""
    words = [set(re.findall(r"[a-z]+", name.lower())) for name in names]
    if named:
        return _as_named(names, words, named, mistakes)
    job = next((index for index, words_in in enumerate(words) if words_in & _JOB and not words_in & HOURS.keys()), None)
    count = next((index for index, words_in in enumerate(words) if words_in & _COUNT and not words_in & HOURS.keys()), None)
    numbers = any(words_in == {"row"} for words_in in words)
    columns = []
    for index, words_in in enumerate(words):
        unit = next((word for word in words_in if word in HOURS), None)
        if words_in & _SHARES[0]:
            columns.append(Column(names[index], index, _SHARES[1], 1.0, True))
        elif unit is not None:
            rest = words_in - {unit, "per", "of", "a", "in", "time"}
            key = next((key for known, key in _KEYS if known & rest), None)
            if not rest & {"lost", "off"} and (key or not rest):
                columns.append(
                    Column(names[index], index, key or of or (ROW if numbers or count is not None else ""), HOURS[unit], False)
                )
    if of is not None and any(column.key == of for column in columns):
        columns = [column for column in columns if column.key == of]
    if not columns:
        wrong = "no column is plainly one of times or shares"
        mistakes.append(Mistake("", wrong, "name it so (minutes_per_row, haul_min), or say it: --columns row=COLUMN:min"))
        return None
    for column in columns:
        if not column.key:
            wrong = "says no more than its unit"
            mistakes.append(Mistake(column.name, wrong, "say what it times: --of row, or such as --of supply.trucks.1.haul"))
    if doubled := twice([column.key for column in columns]):
        mistakes.append(Mistake("", f"several columns seem to be {min(doubled)}", "say which: --columns row=COLUMN:min"))
    return None if mistakes else (job, count, columns)


def _as_named(
    names: list[str], words: list[set[str]], named: Sequence[tuple[str, str]], mistakes: list[Mistake]
) -> tuple[int | None, int | None, list[Column]] | None:
    roles: dict[str, int] = {}
    columns = []
    for what, where in named:
        name, _, unit = where.rpartition(":") if ":" in where else (where, "", "")
        if name not in names:
            mistakes.append(Mistake(f"--columns {what}", f"there is no column {shown(name)}", meant_by(name, names)))
            continue
        index = names.index(name)
        if what in _ROLES:
            roles[what] = index
        elif unit == "share" or (not unit and words[index] & _SHARES[0]):
            columns.append(Column(name, index, what, 1.0, True))
        elif (unit or next((word for word in words[index] if word in HOURS), "")) in HOURS:
            columns.append(Column(name, index, what, HOURS[unit or next(word for word in words[index] if word in HOURS)], False))
        else:
            mistakes.append(Mistake(f"--columns {what}", "has no unit of time", f"write such as {what}={name}:min"))
    if not columns and not mistakes:
        mistakes.append(Mistake("--columns", "names no times", "write such as row=minutes:min, with commas between several"))
    return None if mistakes else (roles.get("job"), roles.get("rows"), columns)


def _number(cell: str, form: CsvForm) -> float | None:
    try:
        return form.number(cell)
    except ValueError:
        return None
