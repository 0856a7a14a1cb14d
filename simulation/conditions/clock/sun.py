"""When is it light enough to work without lamps? From civil dawn to civil dusk, tabulated once for a scenario."""

from __future__ import annotations

from datetime import date, datetime, timedelta, timezone
from typing import TYPE_CHECKING

from simulation.scenario.types.spans import join_spans

if TYPE_CHECKING:
    from simulation.scenario.tables.ground import Site

#: The sun this far below the horizon, in degrees, ends daylight work: civil twilight.
CIVIL = 6.0

Span = tuple[float, float]


def sun_up(site: Site, day: date, depression: float = CIVIL) -> Span | None:
    """Return from when to when the sun stands above `depression` degrees below the horizon.

    Parameters
    ----------
    site : Site
    day : datetime.date
    depression : float
        0.833 gives sunrise and sunset, 6 civil dawn and dusk.

    Returns
    -------
    tuple of float or None
        Hours after local midnight of `day`: the dusk may fall after 24 and the dawn before 0 where the clock is set so. Where
        the sun does not cross that height all day, ``(0, 24)`` if it is above it at noon and None if it is below.
    """
    from astral import Observer, SunDirection
    from astral.sun import elevation, noon, time_of_transit

    observer = Observer(site.latitude, site.longitude)
    midnight = datetime(day.year, day.month, day.day, tzinfo=timezone(timedelta(hours=site.utc_offset)))
    try:
        # The depression is that of the sun's true centre, refraction included, as almanacs state it.
        ends = [
            time_of_transit(observer, day, 90.0 + depression, direction, with_refraction=False)
            for direction in (SunDirection.RISING, SunDirection.SETTING)
        ]
    except ValueError:  # the library's word for a sun that does not cross that height
        top = noon(observer, day)
        heights = [elevation(observer, at, with_refraction=False) for at in (top, top + timedelta(hours=12))]
        return (0.0, 24.0) if sum(heights) / 2 > -depression else None
    # Far from Greenwich the library may answer for the day before or after, a minute or two off: only the time of day is used.
    # Counted from the sun's noon, not from midnight: where nights are short the dawn may fall before midnight.
    mean_noon = (12.0 + site.utc_offset - site.longitude / 15) % 24
    rise, fall = ((moment - midnight).total_seconds() / 3600 for moment in ends)
    middle = mean_noon + _apart((noon(observer, day) - midnight).total_seconds() / 3600 - mean_noon)
    before, after = (middle - rise) % 24, (fall - middle) % 24
    if max(before, after) > 18.0:  # the sun barely reaches that height at noon, and the library missed it by a little
        return None
    return middle - before, middle + after


def _apart(hours: float) -> float:
    return (hours + 12.0) % 24 - 12.0


def daylight(site: Site, starts: datetime, days: int) -> list[Span]:
    """Return the spans of daylight, in hours since `starts`, from the day before it on; those that touch are one."""
    spans: list[Span] = []
    for number in range(-1, days + 2):
        day = starts.date() + timedelta(days=number)
        up = sun_up(site, day)
        if up is None:
            continue
        offset = (datetime(day.year, day.month, day.day) - starts).total_seconds() / 3600
        spans.append((offset + up[0], offset + up[1]))
    return join_spans(spans, 1e-9)
