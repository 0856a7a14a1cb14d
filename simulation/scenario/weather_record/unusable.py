"""Why can a record of weather not be used as a scenario says?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from simulation.scenario.types.mistakes import Mistake
from simulation.scenario.weather_record.weather_record import WeatherRecord

if TYPE_CHECKING:
    from simulation.scenario.weather_record.weather_records import WeatherFile

#: Days that a record must hold to be fitted, and to be put together anew: a year but for a few days.
FEWEST_DAYS, YEAR = 30, 360
#: Hours of a gap that may sensibly be filled in. Planning value.
MOST_FILLED = 24


def record_mistakes(named: WeatherFile, at: str = "weather.records.") -> Iterator[Mistake]:
    """Yield why a record cannot be used as the scenario says."""
    record = named.record
    days = record.length * record.step / 24
    known = record.values["rain"][~(record.values["rain"] != record.values["rain"])]
    wet = float((known >= named.wet).mean())
    if not 0.0 < wet < 1.0:
        wrong = f"every {'hour' if record.step == 1 else 'day'} of it is {'wet' if wet else 'dry'}"
        yield Mistake(f"{at}file", wrong, "take a longer record, or check the column and unit of rain")
    elif named.use == "fit":
        if days < FEWEST_DAYS:
            yield Mistake(f"{at}file", f"goes over {days:.0f} days", f"take a record of {FEWEST_DAYS} days or more")
    else:
        yield from _without_gaps(named, record, at)
        if named.use == "resample" and days < YEAR:
            wrong = f"the record goes over {days:.0f} days, and pieces are taken from around the date"
            yield Mistake(f"{at}use", wrong, f'take {YEAR} days or more, or write use = "fit"')
        last = record.first.year + int(days // YEAR) + 1
        if named.use == "replay" and named.year is not None and not record.first.year <= named.year <= last:
            yield Mistake(f"{at}year", f"the record has nothing of {named.year}", f"it begins in {record.first.year}")


def _without_gaps(named: WeatherFile, record: WeatherRecord, at: str) -> Iterator[Mistake]:
    for name in record.values:
        if name != "gust" and (gaps := record.gaps(name)):
            start, end = max(gaps, key=lambda gap: gap[1] - gap[0])
            which = f"a gap of {name} is" if len(gaps) == 1 else f"{len(gaps)} gaps of {name} are"
            hours, unit = (end - start) * record.step, "hour" if record.step == 1 else "day"
            longest = f"{hours} hours after line {record.line_before(start)}"
            wrong = f"{named.use} needs every {unit}, and {which} longer than fill: {longest}"
            # Nobody should fill in a week: what stands there would be made up.
            ways = [f'write "{hours} h"'] if hours <= MOST_FILLED else []
            ways += [f"leave {name} out of columns"] if name != "rain" else []
            ways.append(f'{"or " if ways else ""}write use = "fit"')
            yield Mistake(f"{at}fill", wrong, ", ".join(ways))


def can_be_resampled(named: WeatherFile) -> bool:
    """Return whether runs could put their weather together from pieces of a record."""
    return not list(record_mistakes(named.model_copy(update={"use": "resample"})))
