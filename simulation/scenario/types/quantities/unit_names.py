"""Which units may a planner write, how large is each, and which one was meant by a slip? Plain names alone, no prefixes.

With a prefix before any unit, ``hh`` would be a hundred hours and ``dd`` a tenth of a day, and nobody would be told. Sizes are
exact: the international foot is 0.3048 m and the pound 0.45359237 kg by definition (NIST SP 811, appendix B), an acre is 43,560
square feet. A library that knows thousands of units takes half a second to load; the tests hold these to it.
"""

from __future__ import annotations

import math
import re
from fractions import Fraction
from functools import lru_cache

from simulation.scenario.types.mistakes import nearest

_METRE, _KILOGRAM = Fraction(10_000, 3_048), Fraction(100_000_000, 45_359_237)


def _sizes(*named: tuple[str, Fraction | int]) -> dict[str, Fraction]:
    """Return the size of each unit by its names, which stand apart by blanks."""
    return {name: Fraction(size) for names, size in named for name in names.split()}


_TIMES = _sizes(
    ("s sec secs second seconds", Fraction(1, 3600)),
    ("min mins minute minutes", Fraction(1, 60)),
    ("h hr hrs hour hours", 1),
    ("d day days", 24),
    ("week weeks", 168),
)
_LENGTHS = _sizes(
    ("in inch inches", Fraction(1, 12)),
    ("ft foot feet", 1),
    ("yd yard yards", 3),
    ("mi mile miles", 5280),
    ("nmi nautical_mile nautical_miles", 1852 * _METRE),
    ("mm millimeter millimeters millimetre millimetres", _METRE / 1000),
    ("cm centimeter centimeters centimetre centimetres", _METRE / 100),
    ("dm decimeter decimeters decimetre decimetres", _METRE / 10),
    ("m meter meters metre metres", _METRE),
    ("km kilometer kilometers kilometre kilometres", 1000 * _METRE),
)
_AREAS = _sizes(
    ("acre acres", 43_560), ("hectare hectares ha", (100 * _METRE) ** 2), ("sq_ft square_foot", 1), ("square_yard", 9)
)
_SPEEDS = _sizes(("mph", 1), ("kph", 1000 * _METRE / 5280), ("knot knots kt", 1852 * _METRE / 5280))
_MASSES = _sizes(
    ("lb lbs pound pounds", 1),
    ("oz ounce ounces", Fraction(1, 16)),
    ("g gram grams", _KILOGRAM / 1000),
    ("kg kilogram kilograms", _KILOGRAM),
    ("t tonne tonnes metric_ton metric_tons", 1000 * _KILOGRAM),
    ("ton tons short_ton short_tons", 2000),
    ("long_ton long_tons", 2240),
)
_ANGLES = _sizes(("deg degree degrees", 1), ("rad radian radians", Fraction(math.degrees(1.0))))

#: kind of quantity -> its units by one name, each in the unit used inside, and what over what else it may be written as.
UNITS: dict[str, tuple[dict[str, Fraction], tuple[dict[str, Fraction], dict[str, Fraction]] | None]] = {
    "length": (_LENGTHS, None),
    "duration": (_TIMES, None),
    "speed": (_SPEEDS, ({name: size / 5280 for name, size in _LENGTHS.items()}, _TIMES)),
    "mass": (_MASSES, None),
    "angle": (_ANGLES, None),
    "area rate": ({}, (_AREAS, _TIMES)),
}
_SQUARED = re.compile(r"(?:(?:sq|square) (?P<before>[^\W\d]+)|(?P<after>[^\W\d]+)\s*(?:(?:\*\*|\^)\s*2|²))")
#: Letters of the longest unit.
_LONGEST = 40


@lru_cache(maxsize=1024)
def unit_factor(kind: str, unit: str) -> float | None:
    """Return how many of the unit used inside make one `unit`; None unless it is a plain name of that kind, or one over a time.

    Parameters
    ----------
    kind : str
        A key of `units.KINDS`.
    unit : str
        As a planner writes it.

    Examples
    --------
    >>> unit_factor("length", "in") == 1 / 12, unit_factor("area rate", "ft**2/h"), unit_factor("duration", "dd")
    (True, 1.0, None)
    """
    if kind not in UNITS or len(unit) > _LONGEST:
        return None
    sizes, over = UNITS[kind]
    above, slash, below = (part.strip() for part in unit.partition("/"))
    if not slash:
        return float(sizes[above]) if above in sizes else None
    if over is None or below not in over[1]:
        return None
    size = over[0].get(above)
    if size is None and kind == "area rate" and (squared := _SQUARED.fullmatch(above)):
        length = _LENGTHS.get(squared["before"] or squared["after"])
        size = None if length is None else length**2
    return None if size is None else float(size / over[1][below])


def meant_unit(kind: str, unit: str) -> str | None:
    """Return the one plain name that was most likely meant: the same in small letters, a near one, or what it ends with.

    Examples
    --------
    >>> meant_unit("duration", "hh"), meant_unit("length", "FT"), meant_unit("duration", "sidereal_day")
    ('h', 'ft', 'day')
    """
    names = tuple(UNITS[kind][0]) if kind in UNITS else ()
    small = unit.strip().lower()
    ends = [name for name in names if len(name) > 1 and small.endswith(name)]
    return (small if small in names else None) or nearest(small, names) or max(ends, key=len, default=None)
