"""Which lines of a record of weather count, when is each, and what stands in the columns that are used?

Nothing but the columns of the time and of what is read from the file is kept, nor quoted.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from simulation.scenario.types.mistakes import shown
from simulation.scenario.types.texts.csv_form import CsvForm, FormError, Line, decimal_of, lines_of, meant_by, separator_of, twice
from simulation.scenario.types.texts.written_times import NO_TIME, Written, moment_of, no_time, order_of, parsed
from simulation.scenario.weather_record.weather_columns import Columns, left_out, recognised
from simulation.scenario.weather_record.weather_findings import Finding, RecordError

#: Share of the dates that may be none of the calendar before it is the order that is wrong. Planning value.
_MOST_MISSING = 0.1

#: Lines from which on it is told how far a file is read, and how many from one time to the next. Planning values.
_LONG, _TOLD_EVERY = 20_000, 1_000
#: A file of more lines than this is a slip, not a record: 100 years of hours.
MOST_LINES = 1_000_000


@dataclass(frozen=True)
class Asked:
    """What is asked of a file.

    Attributes
    ----------
    columns : Columns or None
        None: recognised by their names.
    only : tuple of (str, str)
        Columns and what must stand in them for a line to count.
    offset : float or None
        Hours to add to the times of the file, or to UTC where they tell their zone; None if it is not written.
    of_site : float or None
        Hours of the site's time ahead of UTC, for times that tell their zone; None where there is no site.
    separator, decimal, order : str or None
        What parts cells, what stands before decimals, the order of dates; None: found in the file.
    progress : callable, optional
        Told how far a long file is read. Two that ask the same are the same, whoever is told.
    """

    columns: Columns | None
    only: tuple[tuple[str, str], ...] = ()
    offset: float | None = None
    of_site: float | None = None
    separator: str | None = None
    decimal: str | None = None
    order: str | None = None
    progress: Callable[[int, int, str], None] | None = field(default=None, compare=False)

    def tell(self, done: int, total: int) -> None:
        """Tell now and then how far a long file is read: each line counts once for its time and once for what else it holds."""
        if self.progress is not None and done % _TOLD_EVERY == 0 and total > 2 * _LONG:
            self.progress(done // 2, total // 2, "lines of weather")


@dataclass(frozen=True)
class Counted:
    """The lines that count: local time, number and cells of each, and how the file was read."""

    columns: Columns
    form: CsvForm
    moments: list[datetime]
    lines: list[int]
    cells: list[list[str]]
    read_as: tuple[str, ...]
    ahead: float
    zoned: bool


def counted_lines(text: str, asked: Asked, findings: list[Finding]) -> Counted:
    """Return the lines of a file that count; what is wrong with others is told.

    Raises
    ------
    RecordError
        If the file cannot be read as it is asked for.
    """
    try:
        return _counted(text, asked, findings)
    except FormError as error:
        key, wrong, right = error.said
        raise RecordError(key or "file", wrong, right) from None


def _counted(text: str, asked: Asked, findings: list[Finding]) -> Counted:
    if (count := text.count("\n")) > MOST_LINES:
        raise RecordError("file", f"has {count:,} lines", f"write {MOST_LINES:,} at most: a century by the hour")
    separator = asked.separator or separator_of(text)
    numbered = lines_of(text, separator)
    header = [name.strip() for name in next(numbered, (0, []))[1]]
    columns = asked.columns or recognised(header)
    time_at, at = _find_columns(header, columns, asked)
    rows, untimed = _timed_rows(numbered, header, time_at, at, asked, findings, count)
    times = [time for _, time, _ in rows]
    order = asked.order or order_of(times)
    ahead = _ahead(times, asked)
    moments = [moment_of(time, order) for time in times]
    missing = sum(moment is None for moment in moments)
    if missing > _MOST_MISSING * len(moments):
        wrong = f"{missing:,} of {len(moments):,} dates are not in the calendar, read {order}"
        raise RecordError("date_order", wrong, "write another order, or leave it out")
    for (line, _, _), moment in zip(rows, moments, strict=True):
        if moment is None:
            findings.append(Finding(line, f"its date is not in the calendar, read {order}; left out"))
    there = [row for row, moment in zip(rows, moments, strict=True) if moment is not None]
    if len(there) < 2:
        raise _too_few(asked, findings, untimed)
    cells = [of_line for _, _, of_line in there]
    decimal = asked.decimal or decimal_of(dict.fromkeys(cell for row in cells for cell in row), separator)
    form = CsvForm(separator, decimal)
    return Counted(
        columns,
        form,
        [moment.replace(tzinfo=None) + timedelta(hours=ahead) for moment in moments if moment is not None],
        [line for line, _, _ in there],
        cells,
        tuple(_read_as(header, columns, form, order, ahead, times, asked)),
        ahead,
        times[0].zone is not None,
    )


def _find_columns(header: list[str], columns: Columns, asked: Asked) -> tuple[list[int], list[int]]:
    """Return where the time stands, and where each other thing does; date and hour may stand in columns of their own."""
    of_time = [columns.time] if columns.time in header else [name.strip() for name in columns.time.split("+")]
    wanted = [*(("time", name) for name in of_time), *((key, column.name) for key, column in columns.of)]
    for key, name in wanted:
        if name not in header:
            raise RecordError("columns", f"there is no column {shown(name)} of {key}", meant_by(name, header))
        if name in twice(header):
            raise RecordError("columns", f"several columns bear the name {shown(name)}", "give each its own")
    for name, _ in asked.only:
        if name not in header:
            raise RecordError("only", f"there is no column {shown(name)}", meant_by(name, header))
    indices = [header.index(name) for _, name in wanted]
    return indices[: len(of_time)], indices[len(of_time) :]


def _timed_rows(
    numbered: Iterable[Line],
    header: list[str],
    time_at: list[int],
    at: list[int],
    asked: Asked,
    findings: list[Finding],
    count: int,
) -> tuple[list[tuple[int, Written, list[str]]], set[int]]:
    """Return number, time and cells of the lines that count, and the numbers of those that would, had they a time."""
    kept = [(header.index(name), value) for name, value in asked.only]
    rows: list[tuple[int, Written, list[str]]] = []
    untimed: set[int] = set()
    for line, row in numbered:
        asked.tell(line, 2 * count)
        if len(row) < len(header) or any(cell.strip() for cell in row[len(header) :]):
            findings.append(Finding(line, f"has {len(row)} cells of {len(header)}; left out"))
        elif all(row[index].strip() == value for index, value in kept):
            cell = " ".join(row[index].strip() for index in time_at)
            time = parsed(cell)
            if time is None:
                findings.append(Finding(line, f"{no_time(cell)}; left out"))
                untimed.add(line)
            else:
                rows.append((line, time, [row[index].strip() for index in at]))
    return rows, untimed


def _too_few(asked: Asked, findings: list[Finding], untimed: set[int]) -> RecordError:
    """Return the error of a file that may be no record at all, so that nothing that stands in it is quoted."""
    why = "no two lines can be read"
    if asked.only:
        why += " where " + " and ".join(f"{name} is {shown(value)}" for name, value in asked.only)
    first = next(iter(findings), None)
    if first is not None:
        said = f"what stands there {NO_TIME}" if first.line in untimed else first.text
        why += f" (line {first.line}: {said})"
    return RecordError("file", why, "check columns and only")


def _ahead(times: list[Written], asked: Asked) -> float:
    """Return the hours of local time ahead of the times of the file, or of UTC where they tell their zone."""
    zoned = sum(time.zone is not None for time in times)
    if zoned and zoned < len(times):
        raise RecordError("columns", "some times tell their zone and some do not", "write them all alike")
    if asked.offset is not None or not zoned:
        return asked.offset or 0.0
    if asked.of_site is not None:
        return asked.of_site
    wrong = "the times tell their zone, and what local time is ahead of UTC is not told"
    raise RecordError("time_offset", wrong, 'write time_offset = "1 h", or whatever it is, or [site] with its utc_offset')


def _read_as(
    header: list[str], columns: Columns, form: CsvForm, order: str, ahead: float, times: list[Written], asked: Asked
) -> list[str]:
    said = [f"{form.said}, dates {order}"]
    if times and times[0].zone is not None:
        whose = "time_offset" if asked.offset is not None else "utc_offset of the site"
        said.append(f"times tell their zone: local time is UTC {ahead:+g} h ({whose})")
    elif ahead:
        said.append(f"local time is that of the file {ahead:+g} h")
    held = ", ".join(f"{key.replace('_', ', ')} {column.name} in {column.unit}" for key, column in columns.of)
    said.append(f"columns{' by their names' if columns.by_name else ''}: time {columns.time}, {held}")
    if columns.by_name and (others := left_out(header, columns)):
        said.append(f"not used, since their names do not say all: {', '.join(others[:6])}")
    return said
