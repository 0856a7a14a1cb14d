"""What does a record of weather say, hour by hour or day by day, and what is wrong with it?

Nothing is mended silently: what is impossible, double, missing or filled is told with its line.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy import float64, intp
from numpy.typing import NDArray

from simulation.scenario.types.mistakes import shown
from simulation.scenario.types.texts.csv_form import CsvForm, word_of
from simulation.scenario.weather_record.weather_columns import VARIABLES, Column
from simulation.scenario.weather_record.weather_findings import Finding, RecordError
from simulation.scenario.weather_record.weather_gaps import fill_all, find_runs, name_step
from simulation.scenario.weather_record.weather_lines import MOST_LINES, Asked, counted_lines

#: What stands in records where nothing was measured.
_MISSING = {"", "na", "n/a", "nan", "null", "none", "-", "m"}
#: Least and most that can be true in an hour (a day): rain mm, mph, °C, %. Planning values beyond all records but of storms.
POSSIBLE = {"wind": (0.0, 100.0), "gust": (0.0, 150.0), "humidity": (0.0, 100.0)}
TEMPERATURES = (-90.0, 60.0)
MOST_RAIN = {1: 310.0, 24: 1900.0}

Array = NDArray[float64]


#: Units of wind and rain of those who write metres.
_METRIC = ("m/s", "km/h", "mm", "cm")


@dataclass(frozen=True, eq=False)
class WeatherRecord:
    """A record without holes in time: an hour, or a day, after the other.

    Attributes
    ----------
    first : datetime.datetime
        Local time of the first.
    step : int
        Hours: 1 or 24.
    values : dict of str to ndarray
        By what they are, a key of `VARIABLES`, in the units used inside; NaN where nothing is known.
    findings : tuple of Finding
        In the order of the lines.
    filled : dict of str to int
        How many values of each variable were filled in.
    lines : ndarray
        The line each stands on; −1 where there is none.
    read_as : tuple of str
        How the file was read, in words: what was found in it, or told.
    ahead : float
        Hours of local time ahead of that of the file, or of UTC where its times tell their zone.
    zoned : bool
        Whether they do.
    separator : str
        What parts the cells of the file.
    used : tuple of str
        Its columns that were read.
    units : dict of str to str
        The unit in which the file gives each variable.
    """

    first: datetime
    step: int
    values: dict[str, Array]
    findings: tuple[Finding, ...]
    filled: dict[str, int]
    lines: NDArray[intp] = field(repr=False)
    read_as: tuple[str, ...] = ()
    ahead: float = 0.0
    zoned: bool = False
    separator: str = ","
    used: tuple[str, ...] = ()
    units: Mapping[str, str] = field(default_factory=dict)

    @property
    def metric(self) -> bool:
        """Whether the file is metric: by the unit of its wind, which is what is told in two ways, or of its rain."""
        return self.units.get("wind", self.units.get("rain")) in _METRIC

    @property
    def length(self) -> int:
        """How many hours, or days, it goes over."""
        return len(self.lines)

    @property
    def years(self) -> float:
        """How many years it goes over."""
        return self.length * self.step / 8766.0

    def line_before(self, index: int) -> int:
        """Return the last line that stands before a place in the record."""
        return int(self.lines[: index + 1].max(initial=1))

    def gaps(self, name: str) -> list[tuple[int, int]]:
        """Return where nothing is known of a variable, as (from, up to)."""
        return find_runs(np.isnan(self.values[name]))


@lru_cache(maxsize=4)
def read_weather(text: str, asked: Asked, fill: float) -> WeatherRecord:
    """Return the record that stands in the text of a CSV file.

    Parameters
    ----------
    text : str
    asked : Asked
        Which columns and lines count, and how they are written.
    fill : float
        Gaps of up to so many hours are filled: rain by what was before, all else on a straight line.

    Raises
    ------
    RecordError
        If it holds nothing that can be read.
    """
    findings: list[Finding] = []
    counted = counted_lines(text, asked, findings)
    columns, local, lines, cells = counted.columns, counted.moments, counted.lines, counted.cells
    step = _step_of(local)
    _refuse_finer_than_hours(local)
    unit = timedelta(hours=step)
    origin = min(local).replace(hour=0, minute=0, second=0, microsecond=0)
    # Some stations report a few minutes before the hour. A time zone may lie half an hour beside the file's: halves all go up,
    # since Python's own rounding would put two hours in one place and leave the next one empty.
    early = unit / 2 if step == 1 else timedelta()
    places = np.array([(moment - origin + early) // unit for moment in local])
    start, count = int(places.min()), int(places.max() - places.min()) + 1
    if count > MOST_LINES:
        raise RecordError("columns", f"goes over {count:,} {name_step(step)}s", "check the column of the time")
    on_line = np.full(count, -1, dtype=np.intp)
    bad: dict[tuple[str, int], int] = {}
    values = {name: np.full(count, np.nan) for name, _ in columns.of}
    read: list[dict[str, float]] = [{} for _ in columns.of]  # cells that hold a value: a record has few different ones
    for row, index in enumerate((places - start).tolist()):
        asked.tell(len(places) + row, 2 * len(places))
        if on_line[index] >= 0:
            findings.append(Finding(lines[row], f"the {name_step(step)} of line {on_line[index]} once more; left out"))
            continue
        on_line[index] = lines[row]
        for (name, column), cell, known in zip(columns.of, cells[row], read, strict=True):
            value = known.get(cell)
            if value is None:
                before = len(findings)
                value = _value(name, column, cell, counted.form, step, lines[row], findings)
                if len(findings) > before:
                    bad[name, index] = before
                else:
                    known[cell] = value
            values[name][index] = value
    _lows_and_highs(values, on_line, findings, bad)
    filled = fill_all(values, step, fill, on_line, findings, bad)
    if np.isnan(values["rain"]).all():
        raise RecordError("columns", "the column of rain holds no number", "name another")
    values = {name: known for name, known in values.items() if not np.isnan(known).all()}
    findings.sort(key=lambda finding: finding.line)
    return WeatherRecord(
        origin + start * unit,
        step,
        values,
        tuple(findings),
        filled,
        on_line,
        counted.read_as,
        counted.ahead,
        counted.zoned,
        counted.form.separator,
        counted.columns.names,
        {name: column.unit for name, column in counted.columns.of},
    )


def _refuse_finer_than_hours(moments: list[datetime]) -> None:
    """Refuse a record whose lines stand less than an hour apart: all but one of each hour would be lost, rain and all."""
    apart = np.diff(np.array(sorted(moments), dtype="datetime64[s]")).astype(float) / 60.0
    apart = apart[apart > 0]
    if apart.size and (minutes := float(np.median(apart))) < 50.0:
        wrong = f"its lines stand {minutes:.0f} minutes apart, and a record is read by the hour or by the day"
        raise RecordError("file", wrong, "write one line for each hour: its rain added up, and the mean of all else")


def _step_of(moments: list[datetime]) -> int:
    """Return 24 for a record by days, 1 for one by hours."""
    order = sorted(moments)
    apart = np.median([(after - before) / timedelta(hours=1) for before, after in pairwise(order)])
    if apart > 30:
        raise RecordError("columns", f"the lines are {apart:.0f} hours apart", "give one line an hour, or one a day")
    return 24 if apart >= 20 else 1


def _value(name: str, column: Column, cell: str, form: CsvForm, step: int, line: int, findings: list[Finding]) -> float:
    """Return the value of a cell in the unit used inside, NaN if it holds none that can be true."""
    if cell.lower() in _MISSING:
        return np.nan
    if name == "rain" and cell.upper() in ("T", "TRACE"):
        return 0.0
    try:
        value = column.convert(form.number(cell))
    except (ValueError, OverflowError):
        findings.append(Finding(line, f"{column.name} holds {shown(word_of(cell))}, which is no number; taken as missing"))
        return np.nan
    low, high = (0.0, MOST_RAIN[step]) if name == "rain" else POSSIBLE.get(name, TEMPERATURES)
    if low <= value <= high:
        return value
    inside = {"rain": "mm", "wind": "mph", "temperature": "°C", "humidity": "%"}[VARIABLES[name]]
    said = f"{column.name} holds {shown(word_of(cell))}, not within {low:g} to {high:g} {inside}"
    findings.append(Finding(line, f"{said}; taken as missing"))
    return np.nan


def _lows_and_highs(
    values: dict[str, Array], lines: NDArray[intp], findings: list[Finding], bad: dict[tuple[str, int], int]
) -> None:
    """Take lowest temperatures above the highest of their day as missing, both, and tell of them."""
    pair = ("temperature_low", "temperature_high")
    if not set(pair) <= values.keys():
        return
    low, high = (values[name] for name in pair)
    crossed = np.flatnonzero(low > high)
    if len(crossed) > (low <= high).sum():
        wrong = "temperature_low is above temperature_high on most days"
        raise RecordError("columns", wrong, "name the two columns the other way round")
    for index in crossed.tolist():
        said = f"temperature_low, {low[index]:.1f} °C, is above temperature_high, {high[index]:.1f} °C; both taken as missing"
        for name in pair:
            bad[name, index] = len(findings)
            values[name][index] = np.nan
        findings.append(Finding(int(lines[index]), said))
