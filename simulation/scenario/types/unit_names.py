"""Which units may a planner write, and which one was meant by a slip? Plain names alone: a library knows thousands, and prefixes.

With a prefix before any unit, ``hh`` would be a hundred hours and ``dd`` a tenth of a day, and nobody would be told.
"""

from __future__ import annotations

import re

from simulation.scenario.types.mistakes import nearest


def _apart(names: str) -> tuple[str, ...]:
    return tuple(names.split())


_TIMES = _apart("s sec secs second seconds min mins minute minutes h hr hrs hour hours d day days week weeks")
_LENGTHS = _apart(
    "in inch inches ft foot feet yd yard yards mi mile miles nmi nautical_mile nautical_miles mm millimeter "
    "millimeters millimetre millimetres cm centimeter centimeters centimetre centimetres dm decimeter decimeters "
    "decimetre decimetres m meter meters metre metres km kilometer kilometers kilometre kilometres"
)
_AREAS = _apart("acre acres hectare hectares ha sq_ft square_foot square_yard")
_SPEEDS = _apart("mph kph knot knots kt")
_MASSES = _apart(
    "lb lbs pound pounds oz ounce ounces g gram grams kg kilogram kilograms t tonne tonnes metric_ton metric_tons ton "
    "tons short_ton short_tons long_ton long_tons"
)
_ANGLES = _apart("deg degree degrees rad radian radians")

#: kind of quantity -> its units by one name, and what over what else it may be written as.
_NAMES: dict[str, tuple[tuple[str, ...], tuple[tuple[str, ...], tuple[str, ...]] | None]] = {
    "length": (_LENGTHS, None),
    "duration": (_TIMES, None),
    "speed": (_SPEEDS, (_LENGTHS, _TIMES)),
    "mass": (_MASSES, None),
    "angle": (_ANGLES, None),
    "area rate": ((), (_AREAS, _TIMES)),
}
_SQUARED = re.compile(r"(?:(?:sq|square) (?P<before>[^\W\d]+)|(?P<after>[^\W\d]+)\s*(?:(?:\*\*|\^)\s*2|²))")
#: Letters of the longest unit.
_LONGEST = 40


def is_plain_unit(kind: str, unit: str) -> bool:
    """Return whether a unit is written by the plain names of its kind: one name, or one over a time.

    Examples
    --------
    >>> is_plain_unit("area rate", "ft**2/h"), is_plain_unit("duration", "day"), is_plain_unit("duration", "dd")
    (True, True, False)
    """
    if kind not in _NAMES or len(unit) > _LONGEST:
        return False
    names, over = _NAMES[kind]
    above, slash, below = (part.strip() for part in unit.partition("/"))
    if not slash:
        return above in names
    if over is None or below not in over[1]:
        return False
    squared = _SQUARED.fullmatch(above) if kind == "area rate" else None
    return above in over[0] or (squared is not None and (squared["before"] or squared["after"]) in _LENGTHS)


def meant_unit(kind: str, unit: str) -> str | None:
    """Return the one plain name that was most likely meant: the same in small letters, a near one, or what it ends with.

    Examples
    --------
    >>> meant_unit("duration", "hh"), meant_unit("length", "FT"), meant_unit("duration", "sidereal_day")
    ('h', 'ft', 'day')
    """
    names, _ = _NAMES.get(kind, ((), None))
    small = unit.strip().lower()
    ends = [name for name in names if len(name) > 1 and small.endswith(name)]
    return (small if small in names else None) or nearest(small, names) or max(ends, key=len, default=None)
