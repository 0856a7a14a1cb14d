"""What do columns of a weather record hold, by their names alone? Only what a name says without doubt, unit and all."""

from __future__ import annotations

import re

#: Words of a name -> what it may hold.
_TIMES = {"time", "date", "datetime", "timestamp", "stamp", "utc"}
_TIME_TOO = _TIMES | {"local", "hour", "day", "valid", "obs", "observation", "of", "the"}
_KINDS = {
    **dict.fromkeys(("rain", "rainfall", "precip", "precipitation", "prcp"), "rain"),
    **dict.fromkeys(("wind", "windspeed"), "wind"),
    **dict.fromkeys(("gust", "gusts", "windgust"), "gust"),
    **dict.fromkeys(("temp", "temperature", "tmin", "tmax"), "temperature"),
    **dict.fromkeys(("rh", "humidity", "humid"), "humidity"),
}
#: Words that say no more than the kind does.
_PLAIN = {"speed", "mean", "avg", "average", "hourly", "daily", "total", "sum", "air", "relative", "amount", "deg", "of", "fall"}
_PLAIN_OF = {"gust": {"wind", "max", "maximum", "peak"}, "rain": {"h", "hr", "hour", "per", "day"}}
_LOW, _HIGH = {"min", "low", "lowest", "minimum", "tmin"}, {"max", "high", "highest", "maximum", "tmax"}
#: Words of a name -> unit, by the kind of figure.
_UNITS = {
    "rain": {"mm": "mm", "cm": "cm", "in": "inch", "inch": "inch", "inches": "inch"},
    "wind": {
        **dict.fromkeys(("mps", "ms"), "m/s"),
        **dict.fromkeys(("kmh", "kph"), "km/h"),
        "mph": "mph",
        **dict.fromkeys(("kn", "kt", "kts", "knot", "knots"), "knot"),
    },
    "temperature": {
        **dict.fromkeys(("c", "degc", "celsius"), "degC"),
        **dict.fromkeys(("f", "degf", "fahrenheit"), "degF"),
        **dict.fromkeys(("k", "kelvin"), "K"),
    },
    "humidity": {**dict.fromkeys(("pct", "percent"), "%"), **dict.fromkeys(("share", "fraction"), "share")},
}
_SPELT = (("m/s", " mps "), ("km/h", " kmh "), ("mi/h", " mph "), ("%", " pct "), ("°", " deg "), ("m s-1", " mps "))


def words_of(name: str) -> list[str]:
    """Return the words of a name, in small letters: ``"Wind [m/s]"`` is ``["wind", "mps"]``."""
    text = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", name).lower()
    for sign, word in _SPELT:
        text = text.replace(sign, word)
    return re.findall(r"[a-z0-9]+", text)


def meaning_of(name: str) -> tuple[str, str | None] | None:
    """Return what a column holds, ``"time"`` or a kind of figure, and its unit, None if it is not told; None if it says neither.

    Examples
    --------
    >>> meaning_of("rain_mm"), meaning_of("Wind gust [km/h]"), meaning_of("temp"), meaning_of("pressure_hpa")
    (('rain', 'mm'), ('gust', 'km/h'), ('temperature', None), None)
    """
    words = words_of(name)
    if words and set(words) <= _TIME_TOO and set(words) & _TIMES:
        return "time", None
    kinds = {_KINDS[word] for word in words if word in _KINDS}
    if "gust" in kinds:
        kinds -= {"wind"}
    if len(kinds) != 1:
        return None
    (kind,) = kinds
    units = _UNITS["wind" if kind == "gust" else kind]
    meanings = {units[word] for word in words if word in units}
    # Heights above the ground, such as 10m, say nothing of what it is.
    rest = (
        {word for word in words if word not in _KINDS and word not in units and not re.fullmatch(r"\d+m", word)}
        - _PLAIN
        - _PLAIN_OF.get(kind, set())
    )
    if kind == "temperature":
        low, high = bool(set(words) & _LOW), bool(set(words) & _HIGH)
        rest -= _LOW | _HIGH
        kind = "temperature_low" if low and not high else "temperature_high" if high and not low else kind
    if rest or len(meanings) > 1:
        return None
    return kind, meanings.pop() if meanings else "%" if kind == "humidity" and "rh" in words else None


def unit_of(key: str, name: str) -> str | None:
    """Return the unit that a name tells of itself, for a figure of this kind; None if it does not."""
    kind = "wind" if key == "gust" else key.partition("_")[0]
    units = {_UNITS[kind][word] for word in words_of(name) if word in _UNITS[kind]}
    return units.pop() if len(units) == 1 else None
