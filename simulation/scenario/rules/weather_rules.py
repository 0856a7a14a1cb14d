"""What in the weather of a scenario does not go together: a model without its table, a record that cannot be used as it says?"""

from __future__ import annotations

import shlex
from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from simulation.scenario.rules.on_earth import on_earth
from simulation.scenario.tables.sky import Weather
from simulation.scenario.types.mistakes import Mistake
from simulation.scenario.types.unreadable import apply_rule
from simulation.scenario.weather_record.outlook import spans
from simulation.scenario.weather_record.unusable import FEWEST_DAYS, record_mistakes
from simulation.scenario.weather_record.weather_records import WeatherFile

if TYPE_CHECKING:
    from simulation.scenario.tables.scenario import Scenario

#: Model -> the table that it goes by.
_TABLES = {"three-state": "states", "climate": "climate", "records": "records"}
#: A record up to so many years says nothing of the differences between years.
ONE_YEAR = 1.5


def weather_mistakes(weather: Weather) -> Iterator[Mistake]:
    """Yield what does not go together in the weather of a scenario."""
    for rule in (_table, _climate, _rain, _wind, _temperature, _humidity, _records, on_earth):
        yield from apply_rule(rule, weather)


def outlook_mistakes(scenario: Scenario) -> Iterator[Mistake]:
    """Yield that an outlook speaks of no hour that is simulated."""
    if (outlook := scenario.weather.outlook) is not None:
        inside = [low for low, _, _ in spans(outlook.lines, scenario.starts) if low < scenario.horizon]
        if not inside:
            first = outlook.lines[0].start
            wrong = f"{outlook.file} begins {first:%Y-%m-%d}: none of its days lies between the start and the last day simulated"
            yield Mistake("weather.outlook", wrong, f"give one that goes on from {scenario.starts:%Y-%m-%d}, or leave it out")


def _table(weather: Weather) -> Iterator[Mistake]:
    table = _TABLES.get(weather.model)
    if table is not None and getattr(weather, table) is None:
        yield Mistake(f"weather.{table}", "is missing", f"write [weather.{table}], which the model {weather.model} goes by")


def _one_of(key: str, given: Mapping[str, object], either: tuple[set[str], ...], right: str) -> Iterator[Mistake]:
    names = {name for name, value in given.items() if value is not None}
    if names not in either:
        yield Mistake(key, f"is given by {', '.join(sorted(names)) or 'nothing'}", right)


def _climate(weather: Weather) -> Iterator[Mistake]:
    if (climate := weather.climate) is not None:
        given = {"wet_hours": climate.wet_hours, "wet_days": climate.wet_days}
        yield from _one_of("weather.climate", given, ({"wet_hours"}, {"wet_days"}), "write wet_hours or wet_days")


def _rain(weather: Weather) -> Iterator[Mistake]:
    if (rain := weather.rain) is not None:
        yield from _one_of("weather.rain", {"mean": rain.mean, "month": rain.month}, ({"mean"}, {"month"}), "write mean or month")


def _wind(weather: Weather) -> Iterator[Mistake]:
    if (wind := weather.wind) is not None:
        given = {"mean": wind.mean, "dry": wind.dry, "wet": wind.wet}
        yield from _one_of("weather.wind", given, ({"mean"}, {"dry", "wet"}), "write mean, or dry and wet")


def _temperature(weather: Weather) -> Iterator[Mistake]:
    if (warm := weather.temperature) is not None:
        given = {"low": warm.low, "high": warm.high, "by_hour": warm.by_hour}
        yield from _one_of("weather.temperature", given, ({"low", "high"}, {"by_hour"}), "write low and high, or by_hour")
        if warm.low is not None and warm.high is not None:
            for low, high in zip(warm.low, warm.high, strict=True):
                if low > high:
                    yield Mistake("weather.temperature.high", f"{high:g} is below {low:g}, the low", "write low ≤ high")
                    break


def _humidity(weather: Weather) -> Iterator[Mistake]:
    if (humid := weather.humidity) is not None:
        given = {"dry": humid.dry, "by_hour": humid.by_hour}
        yield from _one_of("weather.humidity", given, ({"dry"}, {"by_hour"}), "write dry or by_hour")


def _records(weather: Weather) -> Iterator[Mistake]:
    if weather.records is not None and weather.model == "records":
        yield from record_mistakes(weather.records)


def record_warnings(
    weather: Weather, starts: datetime, horizon: float, file: str, of_site: float | None = None
) -> Iterator[Mistake]:
    """Yield what a planner should know of the record that a scenario's weather comes from.

    `file` is that of the scenario, `of_site` what its site's time is ahead of UTC.
    """
    if weather.model != "records" or weather.records is None:
        return
    named, record = weather.records, weather.records.record
    if record.findings:
        # The command fits a chain, and refuses what is too short for one.
        enough = record.length * record.step >= 24 * FEWEST_DAYS
        right = f"list all with: {shlex.join(['keystrip', 'weather', file])}" if enough else "look at those lines of the file"
        yield Mistake("weather.records", _in_short(named), right)
    if record.zoned and of_site is not None and abs(record.ahead - of_site) > 1e-9:
        wrong = f"the times tell their zone, and are made UTC {record.ahead:+g} h, where the site's time is UTC {of_site:+g} h"
        yield Mistake("weather.records.time_offset", wrong, "leave it out, so that weather and sun go by one clock")
    if named.use == "replay":
        yield from replay_beyond(named, starts, horizon)
    elif record.years <= ONE_YEAR:
        wrong = f"the record goes over {record.length * record.step / 24:.0f} days, so it does not say how years differ"
        yield Mistake("weather.records", wrong, "take a longer one if there is any")


def _in_short(named: WeatherFile) -> str:
    """Return on one line what is to be known of a record."""
    record, unit = named.record, "hour" if named.record.step == 1 else "day"

    def counted(number: int, what: str) -> str:
        return f"{number:,} {what}{'' if number == 1 else 's'}"

    filled, opened = max(record.filled.values()), sum(finding.lost for finding in record.findings) // record.step
    odd = sum(not finding.gap for finding in record.findings)
    parts = [f"{counted(filled, unit)} of {record.length:,} filled in"] if filled else []
    parts += [f"{counted(opened, unit)} without a value"] if opened else []
    parts += [f"{counted(odd, 'odd line')}"] if odd else []
    return f"{named.file}: {', '.join(parts)}"


def replay_beyond(named: WeatherFile, starts: datetime, horizon: float) -> Iterator[Mistake]:
    """Tell of a replay that outlasts its record."""
    record = named.record
    year = named.year or record.first.year
    begins = starts.replace(year=year, day=28) if (starts.month, starts.day) == (2, 29) else starts.replace(year=year)
    lasts = record.first + timedelta(hours=record.length * record.step)
    if not record.first <= begins < lasts:
        wrong = f"the record does not hold {begins.day} {begins:%b %Y}, with which the replay begins: other days of it stand in"
        yield Mistake("weather.records.year", wrong, "name a year that holds the season of the run")
    elif begins + timedelta(hours=horizon) > lasts:
        left = (lasts - begins) / timedelta(days=1)
        wrong = f"the record ends {left:.0f} days after the start, before the last day simulated: the replay goes on with others"
        yield Mistake("weather.records.year", wrong, "name an earlier year, or look at runs that last so long with care")
