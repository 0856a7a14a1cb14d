"""What stands in a site log, line by line? Cells become dates, counts and words here; every mistake is told with its line."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from simulation.scenario.site_log.log_columns import BY_NAME, column_meant, column_named
from simulation.scenario.types.mistakes import LogError, Mistake, shown
from simulation.scenario.types.texts.csv_form import SEPARATORS, CsvForm, FormError, decimal_of, lines_of, separator_of, word_of
from simulation.scenario.types.texts.site_log_text import SiteLog
from simulation.scenario.types.texts.written_times import Written, moment_of, order_of, parsed

#: Lines of the longest log: two crews at two laying edges on three years of days come to a tenth of it.
MOST_LINES = 50_000
#: Bytes of the largest log.
LARGEST = 8 * 2**20
#: No count in a log is larger: pallets of the largest field.
_MOST = 1_000_000
_DATES = "write dates year first, such as 2031-04-02"

Value = str | int | float | date
#: What a line is about; it says something by its other cells.
_NAMES = ("shift", "crew", "people", "area", "side")


@dataclass(frozen=True)
class LogLine:
    """One line: its number in the file, its date, and what stands in its other cells by column; empty cells are left out."""

    number: int
    date: date
    cells: Mapping[str, Value]

    @property
    def counts(self) -> bool:
        """Whether it says anything; a line of an empty log names a shift and who keeps it."""
        return any(column not in _NAMES for column in self.cells)

    def text(self, column: str) -> str:
        """Return the words in a cell, empty where there are none."""
        return str(self.cells.get(column, "")).strip()

    def count(self, column: str) -> int | None:
        """Return the count in a cell; None where there is none."""
        cell = self.cells.get(column)
        return None if cell is None else int(cell)  # type: ignore[arg-type]

    def amount(self, column: str) -> float | None:
        """Return the number in a cell; None where there is none."""
        cell = self.cells.get(column)
        return None if cell is None else float(cell)  # type: ignore[arg-type]

    def mistake(self, column: str, wrong: str, right: str) -> Mistake:
        """Return a mistake in a cell of this line."""
        return Mistake(f"line {self.number}, {column}" if column else f"line {self.number}", wrong, right)


@dataclass(frozen=True)
class LogRead:
    """The lines of a log, in the order of the file, and the columns that it has."""

    lines: tuple[LogLine, ...]
    columns: tuple[str, ...]


def read_lines(log: SiteLog) -> LogRead:
    """Return the lines of a log.

    Raises
    ------
    LogError
        With every mistake in it.
    """
    if log.text.count("\n") > MOST_LINES:
        raise LogError(log.file, [Mistake("", f"has more than {MOST_LINES:,} lines", "keep one log for each job")])
    separator = _separator(log.text)
    try:
        numbered = list(lines_of(log.text, separator))
    except FormError as error:
        raise LogError(log.file, [Mistake("", *error.said[1:])]) from None
    if not numbered:
        raise LogError(log.file, [Mistake("", "is empty", "keystrip log new SCENARIO writes one to be filled in")])
    head_at, header = numbered[0]
    names, mistakes = _columns(head_at, header)
    if mistakes:
        raise LogError(log.file, mistakes)
    body = numbered[1:]
    try:
        numeric = [index for index, name in enumerate(names) if name and BY_NAME[name].holds == "number"]
        decimal = decimal_of((cells[index].strip() for _, cells in body for index in numeric if index < len(cells)), separator)
    except FormError as error:
        raise LogError(log.file, [Mistake("", error.said[1], "write decimals alike, with a point")]) from None
    form = CsvForm(separator, decimal)
    at = names.index("date")
    written = {number: parsed(cells[at]) for number, cells in body if at < len(cells)}
    try:
        order = order_of(moment for moment in written.values() if moment is not None)
    except FormError as error:
        raise LogError(log.file, [Mistake("date", error.said[1], _DATES)]) from None
    lines: list[LogLine] = []
    for number, cells in body:
        line, wrong = _line(number, cells, names, form, written.get(number), order)
        mistakes += wrong
        if line is not None:
            lines.append(line)
    if mistakes:
        raise LogError(log.file, mistakes)
    return LogRead(tuple(lines), tuple(name for name in names if name))


def _separator(text: str) -> str:
    """Return what parts the cells: what makes most columns of a log out of the first line."""
    first = next((line for line in text.split("\n") if line.strip()), "")
    known = {sign: sum(bool(column_named(cell)) for cell in first.strip().split(sign)) for sign in SEPARATORS}
    best = max(known, key=lambda sign: known[sign])
    return best if known[best] > 1 else separator_of(text)


def _columns(at: int, header: list[str]) -> tuple[list[str], list[Mistake]]:
    """Return the columns of the first line by their own names, and what is wrong with it."""
    names = [column_named(cell) for cell in header]
    mistakes = [
        Mistake(f"line {at}", f"{shown(cell.strip())} is no column of a log", column_meant(cell))
        for cell, name in zip(header, names, strict=True)
        if cell.strip() and not name
    ]
    mistakes += [
        Mistake(f"line {at}", f"the column {name} stands twice", "keep one of the two")
        for name in dict.fromkeys(names)
        if name and names.count(name) > 1
    ]
    if "date" not in names and not mistakes:
        right = "its first line names the columns; keystrip log new SCENARIO writes one to be filled in"
        mistakes.append(Mistake(f"line {at}", "there is no column date", right))
    return names, mistakes


def _line(
    number: int, cells: list[str], names: list[str], form: CsvForm, written: Written | None, order: str
) -> tuple[LogLine | None, list[Mistake]]:
    """Return what stands in one line, and what is wrong with it."""
    if len(cells) > len(names) and any(cell.strip() for cell in cells[len(names) :]):
        wrong = f"has {len(cells)} cells, and the first line names {len(names)}"
        return None, [Mistake(f"line {number}", wrong, "put words that hold the separator in quotes")]
    named = [(name, cell.strip()) for name, cell in zip(names, cells, strict=False)]
    if lost := next((cell for name, cell in named if not name and cell), ""):
        return None, [Mistake(f"line {number}", f'"{word_of(lost)}" stands in a column without a name', "name the column")]
    moment = None if written is None else moment_of(written, order)
    mistakes: list[Mistake] = []
    if moment is None:
        cell = dict(named).get("date", "")
        wrong = f'"{word_of(cell)}" is no date' if cell else "there is no date"
        mistakes.append(Mistake(f"line {number}, date", wrong, _DATES))
    values: dict[str, Value] = {}
    for name, cell in named:
        if not name or name == "date" or not cell:
            continue
        value = _value(cell, name, form)
        if isinstance(value, Mistake):
            mistakes.append(Mistake(f"line {number}, {name}", value.wrong, value.right))
        else:
            values[name] = value
    if mistakes or moment is None:
        return None, mistakes
    return LogLine(number, moment.date(), values), []


def _value(cell: str, name: str, form: CsvForm) -> Value | Mistake:
    """Return what a cell holds, or what is wrong with it."""
    holds = BY_NAME[name].holds
    if holds in ("text", "length"):
        if len(cell) > 2000 or not all(letter.isprintable() or letter.isspace() for letter in cell):
            return Mistake("", "is no line of text", "write words, up to 2,000 letters")
        return cell
    try:
        number = form.number(cell.replace(" ", ""))
    except ValueError:
        number = math.nan
    if not 0.0 <= number <= _MOST:
        right = "write a whole number, 0 or more" if holds == "count" else "write a number, 0 or more"
        return Mistake("", f'"{word_of(cell)}" is no number from 0 on', right)
    if holds == "count":
        if number != int(number):
            return Mistake("", f'"{word_of(cell)}" is no whole number', "write a whole number, 0 or more")
        return int(number)
    return number


def missing_columns(columns: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """Yield the columns that a log does not have, each with what follows from it."""
    for column in BY_NAME.values():
        if column.written and column.missing and column.name not in columns:
            if column.name == "rows" and "station" in columns:
                continue
            yield column.name, column.missing
