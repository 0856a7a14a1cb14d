"""Which record of weather does the scenario name, and what is done with it?"""

from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path
from typing import Annotated, Any, Literal, Self

from pydantic import Field, PrivateAttr, StrictInt, ValidationError, ValidationInfo, model_validator
from pydantic_core import PydanticCustomError

from simulation.scenario.types.mistakes import ScenarioError, complaint, shown
from simulation.scenario.types.reads import Reads
from simulation.scenario.types.section import Duration, HoursEitherWay, Number, Section, written
from simulation.scenario.types.texts.csv_form import DECIMALS, SEPARATORS, one_of
from simulation.scenario.types.texts.source import DataFiles
from simulation.scenario.types.unreadable import UNREAD, UnreadError
from simulation.scenario.types.usual_range import Usual
from simulation.scenario.weather_record.weather_columns import ColumnsOfFile
from simulation.scenario.weather_record.weather_findings import RecordError
from simulation.scenario.weather_record.weather_lines import Asked
from simulation.scenario.weather_record.weather_record import WeatherRecord, read_weather


def _read_only(value: Any) -> tuple[tuple[str, str], ...]:
    pairs = value.items() if isinstance(value, dict) else value
    if not isinstance(pairs, Iterable) or not all(isinstance(word, str) for pair in pairs for word in pair):
        raise complaint(f"{shown(value)} is no table of columns and texts", 'write only = { station = "north" }')
    return tuple(sorted(pairs))


class WeatherFile(Section):
    """A record of weather in a CSV file, hourly or daily."""

    file: Annotated[str, Field(strict=True)]
    """The file, beside the scenario or below its folder; elsewhere only in a folder that `--data` names."""
    columns: ColumnsOfFile = None
    """Which column holds what: `time`, `rain`, and as far as there are any `wind`, `gust`, `temperature`, `humidity`, and by days
    `temperature_low` and `temperature_high`; each but the time with its unit, as in "time=utc,rain=precip:inch" or in a table;
    "time=date+hour" where these are two columns.
    Default: those whose names say it, such as time, rain_mm, temp_c, rh_pct, wind_mps, gust_mps."""
    only: Annotated[tuple[tuple[str, str], ...], Reads(_read_only)] = ()
    """Columns and what must stand in them for a line to count, such as a station. Default: every line counts."""
    time_offset: HoursEitherWay = written("0 h")
    """Local time minus the times of the file, or minus UTC where these tell their zone (Z, +01:00). Default: none (planning
    value); of times that tell their zone, the site's `utc_offset`."""
    separator: Annotated[str | None, one_of(SEPARATORS)] = None
    """What parts the cells of a line: "," ";" "|" or "tab". Default: found in the file."""
    decimal: Annotated[str | None, one_of(DECIMALS)] = None
    """What stands before decimals: "." or ",". Default: found in the file."""
    date_order: Literal["year first", "day first", "month first"] | None = None
    """Which part of a date comes first. Default: found in the file; where no day is above 12, dotted dates have the day first."""
    use: Literal["fit", "resample", "replay"] = "fit"
    """`fit` a chain and what goes with it by month; `resample` whole years, or pieces of days where there are fewer than 15;
    `replay` one year. Of a record by days each day keeps its figures, and its hours are drawn."""
    by: Literal["month", "season", "year"] = "month"
    """What a fit tells apart. A month with fewer than 20 dry spells is fitted with others of its season; a season with fewer is
    as often wet as it is recorded, with the dry spells of the year."""
    year: Annotated[StrictInt, Field(ge=1800, le=2200)] | None = None
    """The year of the record that is replayed. Default: its first."""
    wet: Annotated[Number, Field(gt=0, le=25), Usual("share", 0.05, 10.0)] = 0.2
    """An hour, or day, with so many mm of rain is wet. What common gauges resolve (common practice)."""
    fill: Annotated[Duration, Usual("duration", "1 h", "72 h")] = written("6 h")
    """Gaps up to so long are filled: rain by what was before, all else on a straight line. Planning value."""

    _record: WeatherRecord | None = PrivateAttr(default=None)

    @property
    def record(self) -> WeatherRecord:
        """What stands in the file."""
        if self._record is None:  # a key that it needs could not be read
            raise UnreadError
        return self._record

    @model_validator(mode="after")
    def _read_file(self, info: ValidationInfo) -> Self:
        forms = (self.separator, self.decimal, self.date_order)
        parts = (self.file, self.columns, self.only, self.time_offset, self.fill, *forms)
        if any(part is UNREAD for part in parts):
            return self
        files = (info.context or {}).get("files") or DataFiles(Path())
        try:
            text = files.text(self.file)
        except OSError as error:
            right = "name a CSV file beside the scenario or below its folder, or name its folder with --data"
            raise _wrong("file", f"{shown(self.file)}: {(error.strerror or 'cannot be read').lower()}", right) from None
        except ValueError:
            raise _wrong("file", f"{shown(self.file)} is not a CSV file in UTF-8", "save it as CSV in UTF-8") from None
        try:
            offset = self.time_offset if "time_offset" in self.model_fields_set else None
            asked = Asked(self.columns, self.only, offset, (info.context or {}).get("utc_offset"), *forms, files.progress)
            self._record = read_weather(text, asked, self.fill)
            files.use(self.file, text, self._record.separator, [*self._record.used, *(name for name, _ in self.only)])
        except RecordError as error:
            raise _wrong(*error.said) from None
        return self


class _Named(Section):
    """A record that stands alone."""

    records: WeatherFile


def name_record(keys: dict[str, Any], progress: Callable[[int, int, str], None] | None = None) -> WeatherFile:
    """Return a record that is named outside of a scenario, by the keys of [weather.records]; `progress` as in `load_scenario`.

    Raises
    ------
    ScenarioError
        With every mistake in the keys, or in what the file holds.
    """
    from simulation.scenario.types.refusals import from_pydantic
    from simulation.scenario.weather_record.unusable import record_mistakes

    try:
        # Whoever names a file on the command line means that one, wherever it lies.
        files = DataFiles(Path(), also=(Path(str(keys.get("file", ""))).resolve().parent,), progress=progress)
        named = _Named.model_validate({"records": keys}, context={"files": files}).records
    except ValidationError as error:
        unread = from_pydantic(error.errors(include_url=False), _Named, {"records": keys})
        mistakes = [replace(mistake, key=mistake.key.removeprefix("records.")) for mistake in unread]
        raise ScenarioError(str(keys.get("file", "")), mistakes) from None
    if unread := list(record_mistakes(named, "")):
        raise ScenarioError(named.file, unread)
    return named


def _wrong(key: str, wrong: str, right: str) -> PydanticCustomError:
    return PydanticCustomError("keystrip_table", "record", {"mistakes": ((key, wrong, right),)})
