"""What do the next days look like, as a forecaster gives them? A CSV file, one line for each day or for some hours of it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Annotated, Self

from pydantic import Field, PrivateAttr, ValidationInfo, model_validator
from pydantic_core import PydanticCustomError

from simulation.scenario.types.mistakes import shown
from simulation.scenario.types.section import Duration, Section, written
from simulation.scenario.types.texts.csv_form import CsvForm, FormError, Line, decimal_of, lines_of, separator_of, word_of
from simulation.scenario.types.texts.source import DataFiles
from simulation.scenario.types.texts.written_times import moment_of, no_time, order_of, parsed
from simulation.scenario.types.unreadable import UNREAD, UnreadError
from simulation.scenario.types.usual_range import Usual
from simulation.scenario.weather_record.weather_names import meaning_of, words_of
from simulation.scenario.weather_record.weather_units import Conversion, conversion

#: Words of a column that holds the chance of rain.
_CHANCE = {"chance", "probability", "prob", "pop"}
_PERCENT = {"pct", "percent"}
#: What may stand in a column, in the unit used inside, and how it is told.
_LIMITS = {
    "chance": (0.0, 1.0, "a chance from 0 to 1, or 0 to 100 in a column of per cent"),
    "rain": (0.0, 500.0, "mm of rain, 0 or more"),
    "wind": (0.0, 250.0, "a wind of 0 or more"),
    "gust": (0.0, 300.0, "a gust of 0 or more"),
    "temperature": (-80.0, 60.0, "a temperature"),
    "temperature_low": (-80.0, 60.0, "a temperature"),
    "temperature_high": (-80.0, 60.0, "a temperature"),
    "humidity": (1.0, 100.0, "a humidity from 1 to 100 %"),
}
#: Lines of the longest outlook, and hours of its longest line.
MOST_LINES, MOST_HOURS = 1000, 24
_EXAMPLE = "date, chance_of_rain_pct, wind_mps, temp_low_c, temp_high_c"


@dataclass(frozen=True)
class OutlookLine:
    """What a forecaster says of some hours; None is what he does not speak of.

    Attributes
    ----------
    number : int
        Line of the file.
    start : datetime.datetime
        Local time.
    hours : int
    chance : float or None
        That it rains in them at all.
    rain : float or None
        mm, if it does.
    wind, gust : float or None
        mph: their mean, and the highest gust.
    temperature, temperature_low, temperature_high : float or None
        °C.
    humidity : float or None
        %, the mean.
    """

    number: int
    start: datetime
    hours: int
    chance: float | None = None
    rain: float | None = None
    wind: float | None = None
    gust: float | None = None
    temperature: float | None = None
    temperature_low: float | None = None
    temperature_high: float | None = None
    humidity: float | None = None


class WeatherOutlook(Section):
    """The next days as a forecaster gives them; they stand in the place of the weather that would be drawn."""

    file: Annotated[str, Field(strict=True)]
    """CSV, beside the scenario or below its folder; elsewhere only in a folder that `--data` names. Local times (a date is the
    whole day), and as far as there are any: chance_of_rain_pct, rain_mm, wind_mps, gust_mps, temp_low_c and temp_high_c, or
    temp_c, and rh_pct."""
    fade: Annotated[Duration, Usual("duration", "6 h", "7 day")] = written("2 day")
    """How long after its last line it still counts, less and less. Planning value."""

    _lines: tuple[OutlookLine, ...] = PrivateAttr(default=())

    @property
    def lines(self) -> tuple[OutlookLine, ...]:
        """Its lines in the order of their times."""
        if not self._lines:
            raise UnreadError
        return self._lines

    @model_validator(mode="after")
    def _read_file(self, info: ValidationInfo) -> Self:
        if self.file is UNREAD or self.fade is UNREAD:
            return self
        files = (info.context or {}).get("files") or DataFiles(Path())
        try:
            text = files.text(self.file)
        except OSError as error:
            right = "name a CSV file beside the scenario or below its folder, or name its folder with --data"
            raise _wrong([("file", f"{shown(self.file)}: {(error.strerror or 'cannot be read').lower()}", right)]) from None
        except ValueError:
            raise _wrong([("file", f"{shown(self.file)} is not a CSV file in UTF-8", "save it as CSV in UTF-8")]) from None
        reader = _Reader(text)
        lines = reader.lines()
        if reader.mistakes:
            raise _wrong(
                [("file", f"{where}: {wrong}" if where else wrong, right) for where, wrong, right in reader.mistakes[:20]]
            )
        self._lines = lines
        files.use(self.file, text, reader.separator, reader.used)
        return self


def _wrong(mistakes: list[tuple[str, ...]]) -> PydanticCustomError:
    return PydanticCustomError("keystrip_table", "outlook", {"mistakes": tuple(mistakes)})


class _Reader:
    """Reads one file and gathers every mistake in it, by line and column."""

    def __init__(self, text: str) -> None:
        self.text, self.separator = text, separator_of(text)
        self.mistakes: list[tuple[str, str, str]] = []
        self.used: list[str] = []

    def wrong(self, where: str, wrong: str, right: str) -> None:
        self.mistakes.append((where, wrong, right))

    def lines(self) -> tuple[OutlookLine, ...]:
        """Return the lines, or none where there are mistakes."""
        try:
            numbered = list(lines_of(self.text, self.separator))
        except FormError as error:
            self.wrong("", *error.said[1:])
            return ()
        if len(numbered) < 2:
            self.wrong("", "holds no days", f"write one line of column names ({_EXAMPLE}), then one line a day")
            return ()
        if len(numbered) > MOST_LINES + 1:
            self.wrong(
                "", f"holds {len(numbered) - 1:,} lines", f"an outlook goes over days: write {MOST_LINES:,} lines at the most"
            )
            return ()
        (_, header), *rows = numbered
        columns = self._columns([name.strip() for name in header])
        if columns is None:
            return ()
        time, others = columns
        times = self._times(header[time].strip(), [(number, row[time] if time < len(row) else "") for number, row in rows])
        if self.mistakes:
            return ()
        try:
            cells = (row[index] for _, row in rows for index, *_ in others if index < len(row))
            form = CsvForm(self.separator, decimal_of((cell.strip().rstrip("%") for cell in cells), self.separator))
        except FormError as error:
            self.wrong("", *error.said[1:])
            return ()
        made = [self._line(row, start, hours, others, form) for row, (start, hours) in zip(rows, times, strict=True)]
        return () if self.mistakes else tuple(made)

    def _columns(self, names: list[str]) -> tuple[int, list[tuple[int, str, str, Conversion]]] | None:
        """Return the place of the time, and of every other column what it holds and what turns its figures."""
        times, columns = [], []
        for index, name in enumerate(names):
            words = set(words_of(name))
            if words & _CHANCE:
                percent = bool(words & _PERCENT) or "pop" in words
                columns.append((index, "chance", name, Conversion(0.01 if percent else 1.0)))
            elif (meaning := meaning_of(name)) is not None:
                kind, unit = meaning
                if kind == "time":
                    times.append(index)
                    continue
                of = "wind" if kind == "gust" else kind.partition("_")[0]
                convert = conversion(of, unit) if unit is not None else None
                if convert is None:
                    self.wrong(name, "does not tell its unit", "name it with its unit, such as wind_mps, temp_high_c, rain_mm")
                else:
                    columns.append((index, kind, name, convert))
        if len(times) != 1:
            wrong = "no column is the time" if not times else "several columns are times"
            self.wrong("", wrong, "name one date or time: the day, or the local hour at which the line begins")
        kinds = [kind for _, kind, *_ in columns]
        for kind in dict.fromkeys(kinds):
            if kinds.count(kind) > 1:
                self.wrong("", f"several columns hold {kind.replace('_', ' ')}", "leave one of them")
        if not columns and not self.mistakes:
            self.wrong("", "no column speaks of weather", f"name them so: {_EXAMPLE}")
        if self.mistakes:
            return None
        self.used = [names[times[0]], *(name for _, _, name, _ in columns)]
        return times[0], columns

    def _times(self, name: str, cells: list[tuple[int, str]]) -> list[tuple[datetime, int]]:
        """Return when each line begins, and for how many hours it holds: up to the next, a day at the most."""
        read = [(number, parsed(cell), cell) for number, cell in cells]
        for number, time, cell in read:
            if time is None:
                self.wrong(f"line {number}, {name}", no_time(cell), "write a date, or a date and a local hour")
            elif time.zone is not None:
                self.wrong(f"line {number}, {name}", f"{shown(word_of(cell))} tells a zone", "write local times, without a zone")
        if self.mistakes:
            return []
        try:
            order = order_of(time for _, time, _ in read if time is not None)
        except FormError as error:
            self.wrong(name, error.said[1], "write dates with the year first, such as 2031-04-02")
            return []
        starts: list[datetime] = []
        for number, time, cell in read:
            moment = None if time is None else moment_of(time, order)
            if moment is None or moment.minute or moment.second:
                self.wrong(f"line {number}, {name}", f"{shown(word_of(cell))} is no whole hour of the calendar", "write one")
            elif starts and moment <= starts[-1]:
                self.wrong(f"line {number}, {name}", f"{shown(word_of(cell))} is not after the line before", "order them by time")
            else:
                starts.append(moment)
        if self.mistakes:
            return []
        gaps = [int((after - before) / timedelta(hours=1)) for before, after in pairwise(starts)]
        hours = [min(gap, MOST_HOURS) for gap in gaps]
        return list(zip(starts, [*hours, hours[-1] if hours else MOST_HOURS], strict=True))

    def _line(
        self, row: Line, start: datetime, hours: int, columns: list[tuple[int, str, str, Conversion]], form: CsvForm
    ) -> OutlookLine:
        number, cells = row
        values: dict[str, float] = {}
        for index, kind, name, convert in columns:
            cell = cells[index].strip() if index < len(cells) else ""
            if cell in ("", "-", "–"):
                continue
            low, high, right = _LIMITS[kind]
            per_cent = kind == "chance" and "%" in cell and convert.factor == 1.0
            try:
                value = convert(form.number(cell.rstrip("% "))) * (0.01 if per_cent else 1.0)
            except ValueError:
                value = float("nan")
            if low <= value <= high:
                values[kind] = value
            else:
                self.wrong(f"line {number}, {name}", f"holds {shown(word_of(cell))}", f"write {right}")
        for below, above in (("temperature_low", "temperature_high"), ("wind", "gust")):
            if below in values and above in values and values[below] > values[above]:
                wrong = "the low is above the high" if below.startswith("temp") else "the gust is below the mean wind"
                self.wrong(f"line {number}", wrong, "look at the line again")
        return OutlookLine(number, start, hours, **values)


def spans(lines: tuple[OutlookLine, ...], starts: datetime) -> Iterator[tuple[float, float, OutlookLine]]:
    """Yield from when to when each line holds, in hours since the start of the job, as far as that is not past."""
    first = starts.replace(minute=0, second=0, microsecond=0)
    for line in lines:
        low = (line.start - first) / timedelta(hours=1)
        if low + line.hours > 0:
            yield max(low, 0.0), low + line.hours, line
