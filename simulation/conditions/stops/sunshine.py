"""How high does the sun stand in each hour, and how much does it shine from a clear sky? Worked out once for each week."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache

import numpy as np
from numpy import float64
from numpy.typing import NDArray

Array = NDArray[float64]

#: Solar constant, MJ/m² a minute, and latent heat of vaporisation, MJ/kg (FAO-56).
_SOLAR, _LATENT = 0.0820, 2.45


@dataclass(frozen=True)
class Location:
    """Where and when start is: degrees north and east, local time minus UTC, local time."""

    latitude: float
    longitude: float
    utc_offset: float
    starts: datetime


@lru_cache(maxsize=1024)
def cosines(location: Location, first: int, count: int) -> Array:
    """Return the cosine of the sun's zenith angle in the middle of hours `first` to ``first + count``; 0 while it is down."""
    from astral.julian import julianday, julianday_to_juliancentury
    from astral.sun import eq_of_time, sun_declination

    since = location.starts.hour + location.starts.minute / 60 + location.starts.second / 3600
    local = since + first + 0.5 + np.arange(count)
    day = np.floor(local / 24).astype(int)
    noon = location.starts.replace(hour=12, minute=0, second=0) - timedelta(hours=location.utc_offset)
    # Declination and equation of time change by 0.4° and half a minute a day: the hours of a day share those of its noon.
    days = range(int(day[0]), int(day[-1]) + 1)
    centuries = [julianday_to_juliancentury(julianday(noon + timedelta(days=day))) for day in days]
    tilt = np.radians([sun_declination(century) for century in centuries])
    minutes = np.array([eq_of_time(century) for century in centuries])
    day -= day[0]
    solar = local + (location.longitude / 15 - location.utc_offset) + minutes[day] / 60
    latitude = math.radians(location.latitude)
    up = math.sin(latitude) * np.sin(tilt[day])
    height = up + math.cos(latitude) * np.cos(tilt[day]) * np.cos(np.radians(15 * (solar - 12)))
    table: Array = np.maximum(height, 0.0)
    table.setflags(write=False)
    return table


def clear_sky(cosine: Array) -> Array:
    """Return the radiation on flat ground under a clear sky in W/m² (Haurwitz 1945, J. Meteorol. 2; from memory)."""
    safe = np.maximum(cosine, 1e-3)
    shine: Array = np.where(cosine > 0.0, 1098.0 * cosine * np.exp(-0.057 / safe), 0.0)
    return shine


@lru_cache(maxsize=1024)
def above_air(location: Location, day: int) -> float:
    """Return what the sun would evaporate above the air in mm, on the day `day` days after that of the start (FAO-56, eq. 21)."""
    number = (location.starts + timedelta(days=day)).timetuple().tm_yday
    angle = 2 * math.pi * number / 365
    nearness, tilt = 1 + 0.033 * math.cos(angle), 0.409 * math.sin(angle - 1.39)
    latitude = math.radians(location.latitude)
    dusk = math.acos(min(1.0, max(-1.0, -math.tan(latitude) * math.tan(tilt))))
    part = dusk * math.sin(latitude) * math.sin(tilt) + math.cos(latitude) * math.cos(tilt) * math.sin(dusk)
    return max(0.0, 24 * 60 / math.pi * _SOLAR * nearness * part) / _LATENT


def evaporation(location: Location, day: int, lowest: float, highest: float) -> float:
    """Return reference evaporation in mm a day from a day's lowest and highest °C (Hargreaves; FAO-56, eq. 52)."""
    mean = (lowest + highest) / 2
    return max(0.0, 0.0023 * above_air(location, day) * (mean + 17.8) * math.sqrt(max(highest - lowest, 0.0)))
